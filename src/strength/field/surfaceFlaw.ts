import { GAUSS_POINTS, GAUSS_WEIGHTS } from "../../numerics/index.ts";
import { cornerOpening } from "./cornerIntensity.ts";
import type { RootPaths } from "./criticalDistance.ts";
import { type OpeningPath, pathLength, readPath, withinFirst } from "./openingPath.ts";

export const FLAW_FORMULA =
  "K = ∫₀ᵃ s(x) h(x, a/t) dx on the worst path, h the weight function of a strip as thick as the tooth's root, or the wall " +
  "behind it where that is thinner; 1/T² = 1/T_K² + 1/T_root²";
export const FLAW_SOURCE =
  "weight function of an edge crack in a strip (T. Fett and D. Munz, Stress Intensity Factors and Weight Functions, 1997, from " +
  "memory); no flaw is better than none after M. H. El Haddad et al. 1979 (from memory)";

const PANELS = 12;

/** Fett and Munz's numbers: row ν goes with (1 − x/a)^(ν+1), column μ with (a/t)^μ. */
const STRIP = [
  [0.498, 2.4463, 0.07, 1.3187, -3.067],
  [0.5416, -5.0806, 24.3447, -32.7208, 18.1214],
  [-0.19277, 2.55863, -12.6415, 19.763, -10.986],
];
/** Share of the strip up to which they are good. */
const DEEPEST = 0.6;

/**
 * Stress intensity, in the paths' stress unit × √mm, of a crack of depth `a` mm from the surface along one path, of the stress there
 * before it cracked; the crack's faces carry that stress. `thickness` mm is that of the strip; left out, a half plane's. Within 2 % of
 * computed elasticity in tension and in bending up to a = 0.6 t. From a hollow surface it is on the safe side: by 5 % at a depth of a
 * twentieth of the radius, 9 % at a tenth (against Bowie's cracks from a hole), and out of a sharp corner by up to 39 % (a crack out of a crack).
 * @throws Error for a depth that is none, or deeper than that.
 */
export function flawIntensity(stress: (x: number) => number, a: number, thickness = Infinity): number {
  const share = a / thickness;
  if (!(a > 0 && share <= DEEPEST)) throw new Error(`flawIntensity: a depth of ${a} mm in ${thickness} mm`);
  const [first, second, third] = STRIP.map(
    (row) => row.reduceRight((sum, d) => sum * share + d, 0) / (1 - share) ** 1.5,
  ) as [number, number, number];
  let sum = 0;
  // x = a (1 − w²) takes the root at the tip out; w = 1 − v³ crowds points towards the surface, where a corner's stress is unbounded
  for (let k = 0; k < PANELS; k++) {
    for (let g = 0; g < GAUSS_POINTS.length; g++) {
      const v = (k + GAUSS_POINTS[g]) / PANELS;
      const deep = v ** 3 * (2 - v ** 3);
      const left = (1 - v ** 3) ** 2;
      const weight = 1 + left * (first + left * (second + left * third));
      sum += (GAUSS_WEIGHTS[g] / PANELS) * 6 * v * v * stress(a * deep) * weight;
    }
  }
  return Math.sqrt((2 * a) / Math.PI) * sum;
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

/** Depths at which a flaw up to some depth is looked at begin at this share of the thickness and grow by this. */
const SHALLOWEST = 0.005;
const DEEPER = 1.15;

const known = new WeakMap<RootPaths, Map<string, number>>();

/**
 * The worst intensity of a flaw that is no deeper than `a`, 0 where nothing pulls: where the stress falls off or turns within that depth a
 * shallow flaw is the worse one. A path that ends before is cracked as far as it goes. Kept for each root, since a sweep of hardness asks
 * again and again.
 */
export function flawUpTo(root: RootPaths, a: number, thickness: number): number {
  const kept = known.get(root) ?? new Map<string, number>();
  known.set(root, kept);
  const key = `${a} ${thickness}`;
  const found = kept.get(key) ?? worstUpTo(root, a, thickness);
  kept.set(key, found);
  return found;
}

function worstUpTo(root: RootPaths, a: number, thickness: number): number {
  // the same depths for every flaw, so that a deeper one has all of a shallower one's
  const depths = [a];
  for (let depth = SHALLOWEST * thickness; depth < a; depth *= DEEPER) depths.push(depth);
  let worst = 0;
  for (const place of [root, ...(root.others ?? [])]) {
    for (const path of place.paths) {
      const stress = openingAt(place, path);
      const length = pathLength(path);
      let deepest = 0;
      for (const depth of depths) {
        const reached = Math.min(depth, length);
        if (depth > length && deepest === length) continue;
        deepest = Math.max(deepest, reached);
        worst = Math.max(worst, flawIntensity(stress, reached, thickness));
      }
    }
  }
  return worst;
}

/** Torque with a flaw: what linear fracture of the flaw says, and never more than the root stands without one. */
export function withFlaw(flawTorque: number, rootTorque: number): number {
  return 1 / Math.hypot(1 / flawTorque, 1 / rootTorque);
}
