import type { Band } from "./band.ts";
import { subsets } from "./subsets.ts";

/** One thing in which two variants differ. */
export interface Change {
  readonly id: string;
  readonly title: string;
}

/** Effect on the low end of a band, every figure at its worst, and on its high end; not in order of size. */
export type Ends = readonly [number, number];

/** What one change is worth, in the unit of the capacity (N·mm). */
export interface ChangeWorth extends Change {
  /** Its effect averaged over all orders in which the changes can be made. The worths of all changes add up to the whole. */
  readonly fair: Band;
  /** Its effect when made alone to the first variant. */
  readonly alone: Band;
  /** Its effect when made last, all others being there. */
  readonly last: Band;
  /** The same three on the low end of the capacity and on its high end: by ends the fair ones add up to the whole's. */
  readonly ends: Readonly<Record<"fair" | "alone" | "last", Ends>>;
  /** True when the band is wider than the effect: what it bought is not known. */
  readonly uncertain: boolean;
  readonly words: string;
}

export interface FairSplit {
  readonly before: Band;
  readonly after: Band;
  readonly total: Band;
  readonly totalEnds: Ends;
  readonly changes: readonly ChangeWorth[];
  /** Capacities worked out: 2^n. */
  readonly evaluations: number;
}

export const SPLIT_SOURCE =
  "each change's effect averaged over the orders of making them (L. S. Shapley, A Value for n-Person Games, 1953)";

const MOST_CHANGES = 12;
/** Effects under this share of the largest capacity are rounding. */
const ROUNDING = 1e-12;

/**
 * Splits the change of capacity from one variant to another among the things they differ in. `capacity` is asked once for every
 * set of changes made. Both ends of its band are split by themselves, the material being the same whatever is
 * changed; an effect's band spans what the two ends say.
 * @throws Error for no change, more than twelve, or two of one name.
 */
export function fairSplit(
  changes: readonly Change[],
  capacity: (made: ReadonlySet<string>) => Band,
): FairSplit {
  const n = changes.length;
  if (n === 0 || n > MOST_CHANGES)
    throw new Error(`fairSplit: ${n} changes; 1 to ${MOST_CHANGES} can be split`);
  if (new Set(changes.map((one) => one.id)).size !== n)
    throw new Error("fairSplit: two changes share a name");
  const of = Array.from(subsets(changes), (made) => capacity(new Set(made.map((one) => one.id))));
  const all = (1 << n) - 1;
  const weight = orderWeights(n);
  const effect = (to: Band, from: Band): [number, number] => [to.low - from.low, to.high - from.high];
  // sums of differences leave rounding where nothing is
  const size = Math.max(...of.map(({ high }) => Math.abs(high)).filter(Number.isFinite), 0);
  const settled = ([low, high]: Ends): Ends =>
    [low, high].map((x) => (Math.abs(x) < ROUNDING * size ? 0 : x)) as [number, number];
  const worths = changes.map((change, k): ChangeWorth => {
    const bit = 1 << k;
    const fair: [number, number] = [0, 0];
    for (let set = 0; set <= all; set++) {
      if (set & bit) continue;
      const [low, high] = effect(of[set | bit], of[set]);
      fair[0] += weight[ones(set)] * low;
      fair[1] += weight[ones(set)] * high;
    }
    const ends = {
      fair: settled(fair),
      alone: settled(effect(of[bit], of[0])),
      last: settled(effect(of[all], of[all ^ bit])),
    };
    const span = spanOf(ends.fair);
    const middle = Math.abs(ends.fair[0] + ends.fair[1]) / 2;
    const uncertain = span.high - span.low > middle;
    return {
      ...change,
      fair: span,
      alone: spanOf(ends.alone),
      last: spanOf(ends.last),
      ends,
      uncertain,
      words: uncertain
        ? span.low < 0 && span.high > 0
          ? "its band spans gain and loss: it may help or harm"
          : "its band is wider than its effect"
        : middle === 0
          ? "no effect"
          : span.low >= 0
            ? "a gain at both ends of the band"
            : "a loss at both ends of the band",
    };
  });
  const totalEnds = settled(effect(of[all], of[0]));
  return {
    before: of[0],
    after: of[all],
    total: spanOf(totalEnds),
    totalEnds,
    changes: worths,
    evaluations: of.length,
  };
}

const spanOf = ([a, b]: Ends): Band => ({ low: Math.min(a, b), high: Math.max(a, b) });

/** Share of all orders in which a given change comes right after a given set of s others: s! (n − s − 1)! / n!. */
function orderWeights(n: number): number[] {
  const weights: number[] = [];
  for (let s = 0; s < n; s++) {
    let w = 1 / n;
    for (let k = 1; k <= s; k++) w *= k / (n - k);
    weights.push(w);
  }
  return weights;
}

function ones(set: number): number {
  let count = 0;
  for (let rest = set; rest > 0; rest >>= 1) count += rest & 1;
  return count;
}
