import type { LengthWords } from "../design/index.ts";

/** What helps where a tip chamfer cuts into the contact: one of the length that fits, none, or another band. */
export function chamferRemedy(say: LengthWords, fits: number, band: string): string {
  return `use ${fits > 1e-6 ? `${say.atMost(fits)} or less` : "0 for none"}, or ${band}`;
}
