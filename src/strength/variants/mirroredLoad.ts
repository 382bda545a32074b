import type { Load } from "../../design/index.ts";

/** Weights closer than this are the same. */
const SAME = 1e-9;

/**
 * A load as it is in a mirror; null where that is the same load on the part turned, as of every sector, of one tooth and of two alike. Named
 * teeth that press on their other flanks are in a mirror these teeth on their loaded ones, wherever the flanks are mirror images; a worst
 * choice is as bad either way.
 */
export function mirroredLoad(load: Load): Load | null {
  const { sharing } = load;
  if (sharing.mode !== "teeth" || sharing.worstOf !== undefined) return null;
  const { weights } = sharing;
  const count = weights.length;
  const weight = (k: number) => weights[((k % count) + count) % count]!;
  const turnedBy = (step: number) => weights.every((w, k) => Math.abs(w - weight(step - k)) < SAME);
  if (weights.some((_, step) => turnedBy(step))) return null;
  return { ...load, sharing: { ...sharing, weights: weights.map((_, k) => weight(-k)) } };
}
