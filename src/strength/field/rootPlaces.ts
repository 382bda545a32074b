import { type CornerIntensity, cornerMeanOpening, cornerOpening } from "./cornerIntensity.ts";
import { lineStress, type RootPaths } from "./criticalDistance.ts";
import {
  atPlaces,
  type OpeningPath,
  PathReader,
  type PlaceSampler,
  type StressSampler,
} from "./openingPath.ts";

/** A root point and the unit direction of angle 0. */
export interface PathStart {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
}

/** A place of a root from which a crack may start: a sharp corner with its bisector, or a point of a fillet or land with its inward normal. */
export interface RootStart extends PathStart {
  /** Of the root, mm; 0 sharp. */
  readonly radius: number;
  /** Distance over which the stress changes there, mm: the radius, less beside a smaller fillet, more far from any. */
  readonly scale: number;
  /** Angle of material at its corner before any fillet, rad. */
  readonly materialAngle: number;
}

export interface ScanOptions {
  /** Tip field in the unit of the scaled stresses; null for a rounded root. */
  readonly corner: CornerIntensity | null;
  readonly least: number;
  readonly most: number;
  readonly scale?: number;
  readonly step?: number;
}

/** Paths scanned to either side of the bisector (sharp) or of the inward normal (rounded), rad. */
const SHARP_SCAN = (75 * Math.PI) / 180;
const ROUND_SCAN = (60 * Math.PI) / 180;

/** A root from which no path as long as the shortest lies in the material: a wall thinner than that behind it. */
export class NoRootPath extends Error {
  override readonly name = "NoRootPath";
  constructor(x: number, y: number) {
    super(`root field: no path from (${x}, ${y}) lies in the material`);
  }
}

/** Paths at all scanned angles about the direction (dx, dy) from one root point. */
export function scanPaths(at: StressSampler, from: PathStart, options: ScanOptions): OpeningPath[] {
  return readPaths(atPlaces(at), from, options);
}

export function readPaths(
  at: PlaceSampler,
  { x, y, dx, dy }: PathStart,
  { corner, least, most, scale = 1, step = Math.PI / 60 }: ScanOptions,
): OpeningPath[] {
  const side = corner ? Math.min(SHARP_SCAN, corner.materialAngle / 2 - step) : ROUND_SCAN;
  const mean = corner ? cornerMeanOpening(corner) : null;
  const opening = corner ? cornerOpening(corner) : null;
  const count = Math.floor(side / step);
  const reader = new PathReader(at, x, y, least, most, scale);
  const paths: OpeningPath[] = [];
  for (let k = -count; k <= count; k++) {
    const angle = k * step;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const tip =
      mean && opening
        ? { opening: (r: number) => opening(r, angle), mean: (r: number) => mean(r, angle) }
        : null;
    const path = reader.read(c * dx - s * dy, s * dx + c * dy, angle, tip);
    if (path) paths.push(path);
  }
  if (paths.length === 0) throw new NoRootPath(x, y);
  return paths;
}

/** A place whose mean is higher by no more than this, 1 %, is left out: starts stand so far apart that a peak between two is missed by half of that. */
const HIGHER = 1.01;

/** Depths at which places are compared grow by this. */
const DEPTHS_GROW = 1.3;

/** Angles of the paths by which a place is judged before all of them are read, rad, and the ratio by which their distances grow. */
const PROBED = [-Math.PI / 4, 0, Math.PI / 4];
const PROBE_RATIO = 1.2;

/** Some paths of a rounded place, coarsely read; none where none lies in the material. */
export function probePaths(
  at: PlaceSampler,
  { x, y, dx, dy }: PathStart,
  { least, most, scale = 1 }: Pick<ScanOptions, "least" | "most" | "scale">,
): OpeningPath[] {
  const reader = new PathReader(at, x, y, least, most, scale, PROBE_RATIO);
  return PROBED.flatMap((angle) => {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    return reader.read(c * dx - s * dy, s * dx + c * dy, angle, null) ?? [];
  });
}

/**
 * Of further places of the roots, those behind which the mean stress over some depth is higher than behind the `first` and all taken
 * before: their paths, none where the first is the worst at every depth. A peak may be steep and another place have the higher mean
 * over the depth that decides.
 *
 * @param depths from the least to the largest that is compared, mm. @param probe some paths of a place, none where none lies in the
 * material. @param whole all of them.
 */
export function placesBeside(
  first: RootPaths,
  starts: readonly RootStart[],
  [least, largest]: readonly [number, number],
  probe: (start: RootStart) => readonly OpeningPath[],
  whole: (start: RootStart) => RootPaths,
): RootPaths[] {
  const depths: number[] = [];
  for (let r = least; r <= largest; r *= DEPTHS_GROW) depths.push(r);
  // the line criterion's mean is over 2 L
  const means = (root: RootPaths) => depths.map((r) => lineStress(root, r / 2).stress);
  const left = starts.flatMap((start) => {
    const paths = probe(start);
    return paths.length > 0 ? [{ start, mean: means({ paths, corner: null }) }] : [];
  });
  const reached = means(first);
  const taken: RootPaths[] = [];
  for (;;) {
    let most = HIGHER;
    let worst = -1;
    left.forEach(({ mean }, k) => {
      mean.forEach((stress, depth) => {
        if (!(stress > most * reached[depth] && stress > 0)) return;
        most = reached[depth] > 0 ? stress / reached[depth] : Infinity;
        worst = k;
      });
    });
    if (worst < 0) return taken;
    const [{ start, mean }] = left.splice(worst, 1);
    const root = whole(start);
    taken.push(root);
    means(root).forEach((stress, depth) => {
      reached[depth] = Math.max(reached[depth], stress, mean[depth]);
    });
  }
}
