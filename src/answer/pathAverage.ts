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

/** Four-point Gauss rule on 0 … 1. */
const POINTS = [0.06943184420297371, 0.33000947820757187, 0.6699905217924281, 0.9305681557970262];
const WEIGHTS = [0.17392742256872692, 0.3260725774312731, 0.3260725774312731, 0.17392742256872692];

/** Intervals of the path, each half as long as the next: a corner's r^(λ−1) is then integrated to 1e-6. */
const HALVINGS = 16;

/**
 * Mean stress from (x, y) over `distance` along the unit direction (dx, dy). The rule crowds its points towards the start, where
 * the stress of a sharp corner is unbounded but its mean is not. Returns null when the path leaves the material.
 */
export function pathAverage(
  at: StressAt,
  x: number,
  y: number,
  dx: number,
  dy: number,
  distance: number,
): PathAverage | null {
  const s = new Float64Array(3);
  let opening = 0;
  let principal = 0;
  let to = 1;
  for (let k = 0; k <= HALVINGS; k++) {
    const from = k === HALVINGS ? 0 : to / 2;
    for (let g = 0; g < POINTS.length; g++) {
      const u = distance * (from + (to - from) * POINTS[g]);
      if (!at(x + u * dx, y + u * dy, s)) return null;
      const w = (to - from) * WEIGHTS[g];
      opening += w * (dy * dy * s[0] + dx * dx * s[1] - 2 * dx * dy * s[2]);
      principal += w * firstPrincipal(s[0], s[1], s[2]);
    }
    to = from;
  }
  return { opening, principal };
}
