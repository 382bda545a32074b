import type { Fault } from "../design/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import type { SolveOptions } from "./designKey.ts";
import { readParts } from "./readParts.ts";
import { chosenNames, runSettings } from "./runSettings.ts";

/** Options that every command which solves by itself has. */
export interface AskOptions {
  readonly accuracy?: string;
  readonly mostUnknowns?: string;
}

/**
 * The variants a question about strength is asked of, and every fault that can be found before anything is solved: in the files, in
 * the options, in `names` (undefined: all variants; `key` names the option or argument), or, where one is needed, that a variant names no steel.
 */
export function askedVariants(
  files: readonly string[],
  names: readonly string[] | undefined,
  key: string,
  options: AskOptions,
  steelNeeded = true,
): {
  readonly variants: readonly CheckedVariant[];
  readonly solve: SolveOptions;
  readonly faults: Fault[];
} {
  const { parts, faults } = readParts(files);
  const sound = faults.length === 0;
  const { settings, faults: optionFaults } = runSettings({ ...options, maps: false });
  const { variants: all, faults: geometryFaults } = checkDesigns(parts);
  faults.push(...optionFaults, ...geometryFaults);
  let variants: readonly CheckedVariant[] = all;
  if (sound) {
    const known = [...new Set(parts.flatMap(({ part }) => part.designs.map(({ variant }) => variant)))];
    const only = chosenNames(key, names, known, faults);
    if (only) variants = all.filter(({ design }) => only.has(design.variant));
  }
  for (const { design, label, file } of variants) {
    if (design.steel || !steelNeeded) continue;
    faults.push({
      key: "steel",
      problem: `variant "${label}" of ${file} names none`,
      remedy: "give a grade and a hardness: without a steel nothing can be said of strength",
    });
  }
  return { variants, solve: settings.solve, faults };
}
