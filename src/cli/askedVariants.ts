import type { Fault } from "../design/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { chosenVariants } from "./chosenVariants.ts";
import type { SolveOptions } from "./designKey.ts";
import { runSettings } from "./runSettings.ts";

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
  const { settings, faults: optionFaults } = runSettings({ ...options, maps: false });
  const { variants, faults } = chosenVariants(files, names, key, optionFaults);
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
