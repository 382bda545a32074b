import { GAUSS_POINTS, GAUSS_WEIGHTS } from "../numerics/index.ts";
import { firstPrincipal } from "../solver/index.ts";

/** Stress [sxx, syy, sxy] at a point, MPa, written into `out`; false where there is no material. */
export type StressAt = (x: number, y: number, out: Float64Array) => boolean;

/** Means along a straight path into the material, MPa. */
export interface PathAverage {
  /** Mean of the stress component normal to the path: what pulls a crack along the path open. */
  readonly opening: number;
  /** Mean of the first principal stress. */
  readonly principal: number;
}

/** Intervals of the path, each half as long as the next: a corner's r^(λ−1) is then integrated to 1e-6. */
const HALVINGS = 16;
/** Enough where the stress is smooth: beside a fillet the mean is that of sixteen to 1e-4. */
export const FEW_HALVINGS = 2;

/**
 * Points of the path from (x, y) over `distance` along the unit direction (dx, dy), with the weights of sxx, syy, sxy in the
 * mean opening stress: x, y and the three weights, five numbers a point. The rule crowds its points towards the start, where
 * the stress of a sharp corner is unbounded but its mean is not.
 */
export function pathPoints(
  x: number,
  y: number,
  dx: number,
  dy: number,
  distance: number,
  halvings = HALVINGS,
): Float64Array {
  const points = new Float64Array(5 * GAUSS_POINTS.length * (halvings + 1));
  let to = 1;
  let at = 0;
  for (let k = 0; k <= halvings; k++) {
    const from = k === halvings ? 0 : to / 2;
    for (let g = 0; g < GAUSS_POINTS.length; g++) {
      const u = distance * (from + (to - from) * GAUSS_POINTS[g]);
      const w = (to - from) * GAUSS_WEIGHTS[g];
      points[at] = x + u * dx;
      points[at + 1] = y + u * dy;
      points[at + 2] = w * dy * dy;
      points[at + 3] = w * dx * dx;
      points[at + 4] = -2 * w * dx * dy;
      at += 5;
    }
    to = from;
  }
  return points;
}

/** Mean stresses over such a path; null when it leaves the material. */
export function pathAverage(at: StressAt, points: Float64Array): PathAverage | null {
  const s = new Float64Array(3);
  let opening = 0;
  let principal = 0;
  for (let k = 0; k < points.length; k += 5) {
    if (!at(points[k], points[k + 1], s)) return null;
    opening += points[k + 2] * s[0] + points[k + 3] * s[1] + points[k + 4] * s[2];
    // the weights of the two normal components add up to the weight of the point
    principal += (points[k + 2] + points[k + 3]) * firstPrincipal(s[0], s[1], s[2]);
  }
  return { opening, principal };
}
