import { fileStem } from "../design/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";

type Named = Pick<CheckedVariant, "file" | "design">;

/**
 * Name of a file of each variant, without its ending, no two alike. With several part files among `all` the part's name
 * comes first, since variants of two parts are often called the same.
 */
export function uniqueStems(variants: readonly Named[], all: readonly Named[] = variants): string[] {
  const several = new Set(all.map(({ file }) => file)).size > 1;
  const taken = new Set<string>();
  return variants.map(({ design }) => {
    const stem = fileStem(several ? `${design.part} ${design.variant}` : design.variant);
    let name = stem;
    for (let k = 2; taken.has(name); k++) name = `${stem}-${k}`;
    taken.add(name);
    return name;
  });
}
