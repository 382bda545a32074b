/** Stress [sxx, syy, sxy], MPa, at a place, written into `out`; false where there is no material. */
export type StressSampler = (x: number, y: number, out: Float64Array) => boolean;

/** The same with the place, x and y, in an array: numbers handed from call to call are boxed, and paths read thousands. */
export type PlaceSampler = (place: Float64Array, out: Float64Array) => boolean;

export function atPlaces(at: StressSampler): PlaceSampler {
  return (place, out) => at(place[0], place[1], out);
}

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
/** Halvings of the step in which a path leaves the material. */
const END_HALVINGS = 8;

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
  return new PathReader(atPlaces(at), x, y, least, most, scale).read(dx, dy, angle, tip ?? null);
}

/** Reads paths in all directions from one point, at the same distances as far as each goes. */
export class PathReader {
  readonly #sampler: PlaceSampler;
  readonly #x: number;
  readonly #y: number;
  readonly #scale: number;
  readonly #least: number;
  readonly #most: number;
  readonly #ratio: number;
  /** Distances of a path that reaches its end, by where it starts, handed out as they are. */
  #distances = new Float64Array(0);
  readonly #opening: Float64Array;
  readonly #mean: Float64Array;
  readonly #place = new Float64Array(2);
  readonly #stress = new Float64Array(3);

  /**
   * @param least distance below which nothing is read; @param most longest distance wanted, mm.
   * @param ratio by which distances grow.
   */
  constructor(
    at: PlaceSampler,
    x: number,
    y: number,
    least: number,
    most: number,
    scale: number,
    ratio = RATIO,
  ) {
    if (!(least > 0 && most > least)) throw new Error(`openingPath: from ${least} to ${most} mm`);
    this.#sampler = at;
    this.#x = x;
    this.#y = y;
    this.#scale = scale;
    this.#least = least;
    this.#most = most;
    // as many as a path of that length can have
    const room = 3 + Math.ceil(Math.log(most / least) / Math.log(ratio));
    this.#ratio = ratio;
    this.#opening = new Float64Array(room);
    this.#mean = new Float64Array(room);
  }

  /** The path along the unit direction (dx, dy). */
  read(dx: number, dy: number, angle: number, tip: PathOptions["tip"] | null): OpeningPath | null {
    const least = this.#least;
    const start = tip ? least : 0;
    const distances = this.#distancesFrom(start);
    const opening = this.#opening;
    const mean = this.#mean;
    let first = this.#at(start, dx, dy);
    if (!tip && Number.isNaN(first)) first = this.#at(1e-3 * least, dx, dy);
    if (Number.isNaN(first)) return null;
    opening[0] = first;
    mean[0] = tip ? tip.mean(least) + (first - tip.opening(least)) / (1 + REST) : first;
    let area = mean[0] * start;
    let count = 1;
    let through = false;
    let to = start;
    while (!through && count < distances.length) {
      const from = distances[count - 1];
      to = distances[count];
      let middle = this.#at((from + to) / 2, dx, dy);
      let end = Number.isNaN(middle) ? middle : this.#at(to, dx, dy);
      if (Number.isNaN(end)) {
        // the last step is as long as there is material: else a wall would seem thinner by up to a step
        through = true;
        to = this.#lastInside(from, to, dx, dy);
        middle = this.#at((from + to) / 2, dx, dy);
        end = this.#at(to, dx, dy);
        if (to === from || Number.isNaN(middle)) break;
      }
      area += ((opening[count - 1] + 4 * middle + end) / 6) * (to - from);
      opening[count] = end;
      mean[count] = area / to;
      count++;
    }
    if (count < 3) return null;
    const kept = through ? distances.slice(0, count) : distances;
    // the last reading of a path that ends is nearer than that of paths that go on
    if (through) kept[count - 1] = Math.min(kept[count - 1], to);
    return {
      angle,
      distances: kept,
      opening: opening.slice(0, count),
      mean: mean.slice(0, count),
      through,
    };
  }

  /** The furthest place found inside between one that is inside and one that is not, or that lies behind a gap. */
  #lastInside(from: number, to: number, dx: number, dy: number): number {
    let inside = from;
    let outside = to;
    for (let k = 0; k < END_HALVINGS; k++) {
      const r = (inside + outside) / 2;
      if (Number.isNaN(this.#at(r, dx, dy))) outside = r;
      else inside = r;
    }
    return inside;
  }

  #distancesFrom(start: number): Float64Array {
    if (this.#distances.length > 0 && this.#distances[0] === start) return this.#distances;
    const list = [start];
    for (let from = start; from < this.#most; list.push(from)) {
      from = Math.min(this.#most, from === 0 ? this.#least : from * this.#ratio);
    }
    this.#distances = Float64Array.from(list);
    return this.#distances;
  }

  /** Stress that opens the path at distance r; NaN where there is no material. */
  #at(r: number, dx: number, dy: number): number {
    const s = this.#stress;
    this.#place[0] = this.#x + r * dx;
    this.#place[1] = this.#y + r * dy;
    if (!this.#sampler(this.#place, s)) return Number.NaN;
    return this.#scale * (dy * dy * s[0] + dx * dx * s[1] - 2 * dx * dy * s[2]);
  }
}

/** Length of a path, mm. */
export const pathLength = (path: OpeningPath): number => path.distances[path.distances.length - 1];

/** Value of a column at distance r, straight between readings; the first below the first, the last beyond the last. */
export function readPath({ distances }: OpeningPath, column: Float64Array, r: number): number {
  return readColumn(distances, column, stretchAt(distances, r, 0), r);
}

/** The stretch that holds distance r: the reading at which it begins. `guess` is tried first. */
export function stretchAt(distances: Float64Array, r: number, guess: number): number {
  let low = 0;
  let high = distances.length - 1;
  if (guess + 1 <= high && distances[guess] <= r && r < distances[guess + 1]) return guess;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (distances[middle] <= r) low = middle;
    else high = middle;
  }
  return low;
}

/** Value at r, which stretch k holds; the first reading below the first distance, the last beyond the last. */
export function readColumn(distances: Float64Array, column: Float64Array, k: number, r: number): number {
  if (r <= distances[k]) return column[k];
  if (r >= distances[k + 1]) return column[k + 1];
  const t = (r - distances[k]) / (distances[k + 1] - distances[k]);
  return column[k] + t * (column[k + 1] - column[k]);
}
