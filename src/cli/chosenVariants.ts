import type { Fault } from "../design/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import { type PartFile, readParts } from "./readParts.ts";
import { chosenNames } from "./runSettings.ts";

/** The names of all variants of some part files, each once. */
export const variantNames = (parts: readonly PartFile[]): string[] => [
  ...new Set(parts.flatMap(({ part }) => part.designs.map(({ variant }) => variant))),
];

/**
 * The variants of part files, or those of them that `names` gives (undefined: all; `key` names the option or argument), and every
 * fault in the files, their geometry and the names. `optionFaults`, of what else was asked for, are told before those of geometry.
 */
export function chosenVariants(
  files: readonly string[],
  names: readonly string[] | undefined,
  key: string,
  optionFaults: readonly Fault[] = [],
): { readonly variants: readonly CheckedVariant[]; readonly faults: Fault[] } {
  const { parts, faults } = readParts(files);
  // a variant that does not read well is no wrong name
  const sound = faults.length === 0;
  const { variants, faults: geometryFaults } = checkDesigns(parts);
  faults.push(...optionFaults, ...geometryFaults);
  const only = sound ? chosenNames(key, names, variantNames(parts), faults) : null;
  return { variants: only ? variants.filter(({ design }) => only.has(design.variant)) : variants, faults };
}
