import type { Fault } from "../design/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import { faultsOfAsked, namesKnown, variantNames } from "./chosenVariants.ts";
import type { RunOptions } from "./commands/run.ts";
import { compareCountFault } from "./compareCountFault.ts";
import { inspectOutput } from "./outputFolder.ts";
import { FIXED_NAMES, mapNames } from "./outputNames.ts";
import { readParts } from "./readParts.ts";
import { chosenNames, type RunSettings, runSettings } from "./runSettings.ts";
import { type Share, shareOut } from "./shareOut.ts";

/** The run that a share is cut from. */
export interface SharedRun {
  readonly share: Share;
  readonly all: readonly CheckedVariant[];
  /** The share that each of them falls to. */
  readonly shareOf: readonly number[];
}

/** A run whose every input was found good. */
export interface Plan {
  readonly variants: readonly CheckedVariant[];
  /** Path of each variant's map in the folder. */
  readonly maps: readonly string[];
  readonly compare: ReadonlySet<string> | null;
  readonly settings: RunSettings;
  /** Set where only a share of the variants is this run's. */
  readonly share: SharedRun | null;
  readonly options: RunOptions & { readonly out: string };
}

/** Checks everything that can be checked before anything is solved or written. @returns the plan, or every fault. */
export function planRun(files: readonly string[], options: RunOptions): Plan | Fault[] {
  const { parts, faults: fileFaults } = readParts(files);
  const { settings, faults: optionFaults } = runSettings(options);
  const { variants: all, faults: geometryFaults } = checkDesigns(parts);
  const known = variantNames(parts, fileFaults);
  const nameFaults: Fault[] = [];
  const only = chosenNames("--only", options.only, known, nameFaults);
  const within = only === null ? known : known.filter((name) => only.has(name));
  const compare = chosenNames("--compare", options.compare, within, nameFaults, known);
  const found = faultsOfAsked([...fileFaults, ...geometryFaults], only, parts, all);
  // a variant with faults is not in the count
  const miscounted =
    compare && found.length + nameFaults.length === 0 ? compareCountFault(all, compare) : null;
  if (miscounted) nameFaults.push(miscounted);
  const faults = [...optionFaults, ...found, ...(namesKnown(fileFaults) ? nameFaults : [])];
  let variants = only ? all.filter(({ design }) => only.has(design.variant)) : all;
  let share: SharedRun | null = null;
  if (settings.share && faults.length === 0) {
    const { index, count } = settings.share;
    const shareOf = shareOut(
      variants.map(({ design }) => design),
      count,
    );
    share = { share: settings.share, all: variants, shareOf };
    variants = variants.filter((_, k) => shareOf[k] === index);
  }
  const maps = mapNames(variants);
  const wanted = [...FIXED_NAMES, ...(options.maps ? maps : [])];
  const { out: target } = options;
  if (target === undefined) {
    faults.push({ key: "--out", problem: "missing", remedy: "name a folder to write into, say --out out" });
    return faults;
  }
  faults.push(...inspectOutput(target, wanted, options.intoExisting === true));
  return faults.length > 0
    ? faults
    : { variants, maps, compare, settings, share, options: { ...options, out: target } };
}
