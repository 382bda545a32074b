import { cornerOpening } from "./cornerIntensity.ts";
import type { RootPaths } from "./criticalDistance.ts";
import { type OpeningPath, pathLength, readPath, withinFirst } from "./openingPath.ts";

export const FLAW_FORMULA =
  "K = 2/√(πa) ∫₀ᵃ s(x) (1.3 − 0.3 (x/a)^(5/4)) / √(1 − (x/a)²) dx on the worst path; 1/T² = 1/T_K² + 1/T_root²";
export const FLAW_SOURCE =
  "weight function of an edge crack (R. J. Hartranft and G. C. Sih 1973, in Tada, Paris & Irwin; from memory); no flaw is better than none after M. H. El Haddad et al. 1979 (from memory)";

const PANELS = 12;
const POINTS = [0.06943184420297371, 0.33000947820757187, 0.6699905217924281, 0.9305681557970262];
const WEIGHTS = [0.17392742256872692, 0.3260725774312731, 0.3260725774312731, 0.17392742256872692];

/**
 * Stress intensity, in the paths' stress unit × √mm, of a crack of depth `a` mm from the surface along one path, of the stress there
 * before it cracked; the crack's faces carry that stress. Exact for an edge crack in a half plane to 0.2 %. From a
 * hollow surface it is on the safe side: by 5 % at a depth of a twentieth of the radius, 9 % at a tenth (against Bowie's cracks from a hole), and
 * out of a sharp corner by up to 39 % (a crack out of a crack).
 */
export function flawIntensity(stress: (x: number) => number, a: number): number {
  if (!(a > 0)) throw new Error(`flawIntensity: a depth of ${a} mm`);
  let sum = 0;
  // x = a sin φ takes the root out; φ = (π/2) v³ crowds points towards the surface, where a corner's stress is unbounded
  for (let k = 0; k < PANELS; k++) {
    for (let g = 0; g < POINTS.length; g++) {
      const v = (k + POINTS[g]) / PANELS;
      const u = Math.sin((Math.PI / 2) * v ** 3);
      const slope = (3 * Math.PI * v * v) / 2;
      sum += (WEIGHTS[g] / PANELS) * slope * stress(a * u) * (1.3 - 0.3 * u ** 1.25);
    }
  }
  return 2 * Math.sqrt(a / Math.PI) * sum;
}

/** Opening stress along a path at any distance; within the first reading of a sharp corner, its tip field. */
export function openingAt({ corner }: Pick<RootPaths, "corner">, path: OpeningPath): (r: number) => number {
  if (!corner) return (r) => readPath(path, path.opening, r);
  const tip = cornerOpening(corner);
  return (r) =>
    r < path.distances[0]
      ? withinFirst(path, path.opening, (at) => tip(at, path.angle), Math.max(r, 1e-12))
      : readPath(path, path.opening, r);
}

/** Largest intensity of a flaw of depth a over all paths, and the angle of the path that has it. Null when a is longer than every path. */
export function worstFlaw(
  root: RootPaths,
  a: number,
): { readonly intensity: number; readonly angle: number } | null {
  let best: { intensity: number; angle: number } | null = null;
  for (const path of root.paths) {
    if (a > pathLength(path)) continue;
    const intensity = flawIntensity(openingAt(root, path), a);
    if (!best || intensity > best.intensity) best = { intensity, angle: path.angle };
  }
  return best;
}

/** Torque with a flaw: what linear fracture of the flaw says, and never more than the root stands without one. */
export function withFlaw(flawTorque: number, rootTorque: number): number {
  return 1 / Math.hypot(1 / flawTorque, 1 / rootTorque);
}
