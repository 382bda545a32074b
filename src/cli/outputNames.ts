import { fileStem } from "../design/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";

/** The sheet with variants side by side. */
export const SHEET_NAME = "comparison.svg";

/** What a run writes beside the maps. */
export const FIXED_NAMES = ["results.json", "summary.csv", "index.html", SHEET_NAME] as const;

/**
 * Path of each variant's map inside the output folder, no two alike. With several part files the part's name
 * comes first, since variants of two parts are often called the same.
 */
export function mapNames(variants: readonly Pick<CheckedVariant, "file" | "design">[]): string[] {
  const several = new Set(variants.map(({ file }) => file)).size > 1;
  const taken = new Set<string>();
  return variants.map(({ design }) => {
    const stem = fileStem(several ? `${design.part} ${design.variant}` : design.variant);
    let name = stem;
    for (let k = 2; taken.has(name); k++) name = `${stem}-${k}`;
    taken.add(name);
    return `maps/${name}.svg`;
  });
}
