import type { Fault } from "../design/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import { type PartFile, readParts } from "./readParts.ts";
import { chosenNames } from "./runSettings.ts";

/** The names of all variants of some part files, each once, sound or not; those that nothing could be read of are in `faults`. */
const variantNames = (parts: readonly PartFile[], faults: readonly Fault[]): string[] => [
  ...new Set([
    ...parts.flatMap(({ part }) => part.names),
    ...faults.flatMap(({ variants }) => variants ?? []),
  ]),
];

/**
 * The faults that stand in the way of the variants asked for: their own, and those of a whole file. Every fault where all are asked for
 * (null), or where one asked for is missing from what is `sound` of its file without a fault that says why.
 */
function faultsOfAsked(
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

/** What part files hold, as far as a command asks for it. */
export interface Chosen {
  readonly variants: readonly CheckedVariant[];
  /** What stands in their way. */
  readonly faults: Fault[];
  /** Names that further ones may be among: of those asked for, and of all; null where a file reads so badly that they are not known. */
  readonly names: { readonly asked: readonly string[]; readonly all: readonly string[] } | null;
}

/**
 * The variants of part files, or those of them that `names` gives (undefined: all; `key` names the option or argument), and every fault in
 * the files, their geometry and the names that stands in their way, with `optionFaults`, of what else was asked for.
 */
export function chosenVariants(
  files: readonly string[],
  names: readonly string[] | undefined,
  key: string,
  optionFaults: readonly Fault[] = [],
): Chosen {
  const { parts, faults: fileFaults } = readParts(files);
  const { variants, faults: geometryFaults } = checkDesigns(parts);
  const all = variantNames(parts, fileFaults);
  const nameFaults: Fault[] = [];
  const only = chosenNames(key, names, all, nameFaults);
  // a name may be wrong only because the whole file reads badly: then nothing is said of it
  const known = fileFaults.every((fault) => fault.variants);
  return {
    variants: only ? variants.filter(({ design }) => only.has(design.variant)) : variants,
    faults: [
      ...optionFaults,
      ...faultsOfAsked([...fileFaults, ...geometryFaults], only, parts, variants),
      ...(known ? nameFaults : []),
    ],
    names: known ? { asked: only ? all.filter((name) => only.has(name)) : all, all } : null,
  };
}
