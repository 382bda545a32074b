import type { CheckedVariant } from "./checkDesigns.ts";
import { uniqueStems } from "./uniqueStems.ts";

/** The sheet with variants side by side. */
export const SHEET_NAME = "comparison.svg";

/** What a run writes beside the maps. */
export const FIXED_NAMES = ["results.json", "summary.csv", "index.html", SHEET_NAME] as const;

/** Path of each variant's map inside the output folder, no two alike. */
export function mapNames(variants: readonly Pick<CheckedVariant, "file" | "design">[]): string[] {
  return uniqueStems(variants).map((stem) => `maps/${stem}.svg`);
}
