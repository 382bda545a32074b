import type { Design } from "../design/index.ts";
import type { Band } from "../strength/index.ts";

/** Head of a column of verdicts. */
export const VERDICT_HEAD = "enough?";

/** Margin that a part file wants over the required torque, 1 unless stated. */
export const wantedMargin = ({ strength }: Design): number => strength?.margin ?? 1;

/** Whether a margin reaches what its design wants: with every figure at its worst, only with better ones, or not at their best. */
export function marginVerdict({ low, high }: Band, design: Design): "yes" | "not sure" | "no" {
  const wanted = wantedMargin(design);
  return low >= wanted ? "yes" : high >= wanted ? "not sure" : "no";
}

/** The verdict with the margin wanted, "no (2 wanted)", for rows that want different ones; `said`: it stands elsewhere. */
export function verdictText(margin: Band, design: Design, said: boolean): string {
  return marginVerdict(margin, design) + (said ? "" : ` (${wantedMargin(design)} wanted)`);
}

/** " (margin wanted: 2)" where all designs want the same and more than 1; null when they want different ones. */
export function wantedWords(designs: readonly Design[]): string | null {
  const all = new Set(designs.map(wantedMargin));
  if (all.size > 1) return null;
  const [one = 1] = all;
  return one === 1 ? "" : ` (margin wanted: ${one})`;
}
