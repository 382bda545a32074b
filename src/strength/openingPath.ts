/** Stress [sxx, syy, sxy], MPa, at a place, written into `out`; false where there is no material. */
export type StressSampler = (x: number, y: number, out: Float64Array) => boolean;

/**
 * Stress that opens a straight path from a point of the surface into the material: the component normal to the
 * path, read once at distances that grow by a fixed ratio and kept with its running mean.
 */
export interface OpeningPath {
  /** From the corner's bisector, or the surface's inward normal, rad, counter-clockwise. */
  readonly angle: number;
  /** mm, ascending; the first is 0 unless the start is a sharp corner. */
  readonly distances: Float64Array;
  readonly opening: Float64Array;
  /** Mean opening stress from the start to that distance. */
  readonly mean: Float64Array;
  /** True when the path ends because the material does, not because the asked length was reached. */
  readonly through: boolean;
}

export interface PathOptions {
  /** Distance below which nothing is read, mm. */
  readonly least: number;
  /** Longest distance wanted, mm. */
  readonly most: number;
  /** Sharp corner: opening stress of its tip field along this path, and that stress's mean from 0, in the scaled unit. */
  readonly tip?: { readonly opening: (r: number) => number; readonly mean: (r: number) => number };
}

/**
 * Power with which what the field has beside a corner's tip field grows from the corner. The next exponent of the expansion makes it
 * 0.5 (a crack) to 0.63 (a square corner); within the first reading it is a small share, so one value serves all.
 */
const REST = 0.6;

/** Opening stress or its mean nearer to a sharp corner than the first reading: the tip field, and the rest fading from that reading. */
export function withinFirst(
  path: OpeningPath,
  column: Float64Array,
  tip: (r: number) => number,
  r: number,
): number {
  const first = path.distances[0];
  return tip(r) + (column[0] - tip(first)) * (r / first) ** REST;
}

/**
 * Distances grow by this; straight-line reading between them is then good to 3e-4 of an r^(−1/2) field, and Simpson's rule for
 * the mean to 3e-7.
 */
const RATIO = 1.1;

/**
 * Reads the path from (x, y) along the unit direction (dx, dy); stresses are multiplied by `scale`. Null when there is no
 * material at twice the least distance.
 */
export function openingPath(
  at: StressSampler,
  x: number,
  y: number,
  dx: number,
  dy: number,
  angle: number,
  { least, most, tip }: PathOptions,
  scale = 1,
): OpeningPath | null {
  if (!(least > 0 && most > least)) throw new Error(`openingPath: from ${least} to ${most} mm`);
  const s = new Float64Array(3);
  const read = (r: number): number | null =>
    at(x + r * dx, y + r * dy, s) ? scale * (dy * dy * s[0] + dx * dx * s[1] - 2 * dx * dy * s[2]) : null;
  const distances: number[] = [];
  const opening: number[] = [];
  const mean: number[] = [];
  let area = 0;
  let from = 0;
  if (tip) {
    const first = read(least);
    if (first === null) return null;
    const startMean = tip.mean(least) + (first - tip.opening(least)) / (1 + REST);
    area = startMean * least;
    from = least;
    distances.push(least);
    opening.push(first);
    mean.push(startMean);
  } else {
    const first = read(0) ?? read(1e-3 * least);
    if (first === null) return null;
    distances.push(0);
    opening.push(first);
    mean.push(first);
  }
  let through = false;
  while (from < most) {
    const to = Math.min(most, from === 0 ? least : from * RATIO);
    const middle = read((from + to) / 2);
    const end = middle === null ? null : read(to);
    if (middle === null || end === null) {
      through = true;
      break;
    }
    area += ((opening[opening.length - 1] + 4 * middle + end) / 6) * (to - from);
    distances.push(to);
    opening.push(end);
    mean.push(area / to);
    from = to;
  }
  if (distances.length < 3) return null;
  return {
    angle,
    distances: Float64Array.from(distances),
    opening: Float64Array.from(opening),
    mean: Float64Array.from(mean),
    through,
  };
}

/** Length of a path, mm. */
export const pathLength = (path: OpeningPath): number => path.distances[path.distances.length - 1];

/** Value of a column at distance r, straight between readings; the first below the first, the last beyond the last. */
export function readPath({ distances }: OpeningPath, column: Float64Array, r: number): number {
  let low = 0;
  let high = distances.length - 1;
  if (r <= distances[low]) return column[low];
  if (r >= distances[high]) return column[high];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (distances[middle] <= r) low = middle;
    else high = middle;
  }
  const t = (r - distances[low]) / (distances[high] - distances[low]);
  return column[low] + t * (column[high] - column[low]);
}
