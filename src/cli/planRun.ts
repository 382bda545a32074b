import type { Fault } from "../design/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { chosenVariants } from "./chosenVariants.ts";
import type { RunOptions } from "./commands/run.ts";
import { compareCountFault } from "./compareCountFault.ts";
import { inspectOutput } from "./outputFolder.ts";
import { FIXED_NAMES, mapNames } from "./outputNames.ts";
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
  const { settings, faults: optionFaults } = runSettings(options);
  const { variants: chosen, faults, names } = chosenVariants(files, options.only, "--only", optionFaults);
  let compare: Set<string> | null = null;
  if (names) {
    compare = chosenNames("--compare", options.compare, names.asked, faults, names.all);
    // a variant with faults is not in the count
    const miscounted =
      compare && faults.length === optionFaults.length ? compareCountFault(chosen, compare) : null;
    if (miscounted) faults.push(miscounted);
  }
  let variants = chosen;
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
