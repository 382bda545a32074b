import type { Band } from "../strength/index.ts";

/** What is asked of a design: the margin that its part file wants, 1 unless it has a section on strength. */
export interface Asking {
  readonly strength?: { readonly margin: number };
}

/** Head of a column of verdicts. */
export const VERDICT_HEAD = "enough?";

/** Margin wanted over the required torque. */
export const wantedMargin = ({ strength }: Asking): number => strength?.margin ?? 1;

/** The verdict where what may come first is not counted. */
export const UNKNOWN = "not known";

/** Whether a margin reaches what its design wants: with every figure at its worst, only with better ones, or not at their best. */
export function marginVerdict({ low, high }: Band, design: Asking): "yes" | "not sure" | "no" {
  const wanted = wantedMargin(design);
  return low >= wanted ? "yes" : high >= wanted ? "not sure" : "no";
}

/** A verdict with the margin wanted, "no (2 wanted)", for rows that want different ones; `said`: it stands elsewhere. */
export const withWanted = (verdict: string, design: Asking, said: boolean): string =>
  said ? verdict : `${verdict} (${wantedMargin(design)} wanted)`;

/** " (margin wanted: 2)" where all designs want the same and more than 1; null when they want different ones. */
export function wantedWords(designs: readonly Asking[]): string | null {
  const all = new Set(designs.map(wantedMargin));
  if (all.size > 1) return null;
  const [one = 1] = all;
  return one === 1 ? "" : ` (margin wanted: ${one})`;
}
