import type { VariantResult } from "../answer/result.ts";
import { loadedRadius } from "../strength/index.ts";

/**
 * What the comparison sheet shows when nobody chose: the variant with the sharpest root beside the one whose root
 * is least stressed for its steel. Averages over the same distance put sharp and rounded roots on one scale; each
 * counts as a share of its steel's yield where every variant names one.
 * @returns indices into `results`; one or two.
 */
export function sharpestAndBest(results: readonly VariantResult[]): number[] {
  const everySteel = results.every(({ steel }) => steel !== null);
  const share = ({ root, steel }: VariantResult) => root.average.opening / (everySteel ? steel!.yieldLow : 1);
  const radius = (k: number) => loadedRadius(results[k]!.design);
  const order = results.map((_, k) => k);
  // of equally sharp ones the first, which others are mostly compared with
  const sharpest = order.reduce((a, b) => (radius(b) < radius(a) ? b : a));
  const best = order.reduce((a, b) => (share(results[b]!) < share(results[a]!) ? b : a));
  return sharpest === best ? [best] : [sharpest, best];
}
