import type { Fault } from "../design/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import { type PartFile, readParts } from "./readParts.ts";
import { chosenNames } from "./runSettings.ts";

/** The names of all variants of some part files, each once, sound or not; those that nothing could be read of are in `faults`. */
export const variantNames = (parts: readonly PartFile[], faults: readonly Fault[]): string[] => [
  ...new Set([
    ...parts.flatMap(({ part }) => part.names),
    ...faults.flatMap(({ variants }) => variants ?? []),
  ]),
];

/** A name may be wrong only because the whole file reads badly: then nothing is said of it. */
export const namesKnown = (faults: readonly Fault[]): boolean => faults.every(({ variants }) => variants);

/**
 * The faults that stand in the way of the variants asked for: their own, and those of a whole file. Every fault where all are asked for
 * (null), or where one asked for is missing from what is `sound` of its file without a fault that says why.
 */
export function faultsOfAsked(
  faults: readonly Fault[],
  asked: ReadonlySet<string> | null,
  parts: readonly PartFile[],
  sound: readonly CheckedVariant[],
): Fault[] {
  if (!asked) return [...faults];
  const own = faults.filter(({ variants }) => variants?.some((name) => asked.has(name)) ?? true);
  const missing = parts.some(({ file, part }) => {
    const found = new Set(sound.filter((one) => one.file === file).map(({ design }) => design.variant));
    return part.names.some((name) => asked.has(name) && !found.has(name));
  });
  return own.length > 0 || !missing ? own : [...faults];
}

/**
 * The variants of part files, or those of them that `names` gives (undefined: all; `key` names the option or argument), and every
 * fault in the files, their geometry and the names that stands in their way. `optionFaults`, of what else was asked for, are told before those of geometry.
 */
export function chosenVariants(
  files: readonly string[],
  names: readonly string[] | undefined,
  key: string,
  optionFaults: readonly Fault[] = [],
): { readonly variants: readonly CheckedVariant[]; readonly faults: Fault[] } {
  const { parts, faults: fileFaults } = readParts(files);
  const { variants, faults: geometryFaults } = checkDesigns(parts);
  const found = [...fileFaults, ...optionFaults, ...geometryFaults];
  const nameFaults: Fault[] = [];
  const only = chosenNames(key, names, variantNames(parts, fileFaults), nameFaults);
  const faults = faultsOfAsked(found, only, parts, variants);
  if (namesKnown(fileFaults)) faults.push(...nameFaults);
  return { variants: only ? variants.filter(({ design }) => only.has(design.variant)) : variants, faults };
}
