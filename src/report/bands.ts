import { simplifyLine } from "./simplifyLine.ts";
import type { Tessellation } from "./tessellate.ts";

/** A line of points `[x0, y0, x1, y1, …]`, sheet units; a closed one does not repeat its first point. */
export interface Polyline {
  readonly points: Float64Array;
  readonly closed: boolean;
}

/** The part of the drawing where the value is at or above `level`. */
export interface Region {
  readonly level: number;
  /** Closed rings; holes turn the other way, so either fill rule serves. */
  readonly rings: readonly Polyline[];
  /** The same boundary without the pieces that run along the part's outline: the contour itself. */
  readonly contours: readonly Polyline[];
  /** Enclosed area before simplification, square sheet units, positive. */
  readonly area: number;
}

/** Which triangles meet along each side, found once for all levels. */
interface Sides {
  /** Side opposite nothing: side of triangle corner k to the next, at `3 t + k`. */
  readonly of: Uint32Array;
  readonly count: number;
  /** Triangle sides `3 t + k` that have a triangle on one side only. */
  readonly rim: readonly number[];
}

/**
 * Regions "value ≥ level", one per level (ascending), from a flat triangulation.
 *
 * Painted in order, each over the last, they leave every band visible between two levels; since a region
 * holds all higher ones, bands neither gap nor overlap, whatever is simplified later. Inside one region
 * the sides shared by two triangles cancel: only contour pieces and outline pieces are ever looked at.
 *
 * A vertex exactly at a level counts as above it. Points closer than `tolerance` to a straight run are
 * dropped, and rings smaller than `tolerance` across with them.
 */
export function regionsAbove(t: Tessellation, levels: readonly number[], tolerance: number): Region[] {
  const sides = findSides(t);
  return levels.map((level) => regionAbove(t, sides, level, tolerance));
}

function findSides(t: Tessellation): Sides {
  const { triangles } = t;
  const vertices = t.x.length;
  const of = new Uint32Array(triangles.length);
  const uses: number[] = [];
  const firstUse: number[] = [];
  const index = new Map<number, number>();
  for (let k = 0; k < triangles.length; k++) {
    const a = triangles[k]!;
    const b = triangles[k % 3 === 2 ? k - 2 : k + 1]!;
    const key = a < b ? a * vertices + b : b * vertices + a;
    let side = index.get(key);
    if (side === undefined) {
      side = uses.length;
      index.set(key, side);
      uses.push(0);
      firstUse.push(k);
    }
    uses[side]!++;
    of[k] = side;
  }
  const rim: number[] = [];
  for (let s = 0; s < uses.length; s++) if (uses[s] === 1) rim.push(firstUse[s]!);
  return { of, count: uses.length, rim };
}

function regionAbove(t: Tessellation, sides: Sides, level: number, tolerance: number): Region {
  const { triangles, value } = t;
  const vertices = t.x.length;
  // a link runs from one place to the next with the region on a fixed hand; a place is a vertex, or
  // `vertices + side` for the crossing on that side
  const from: number[] = [];
  const to: number[] = [];
  const isContour: boolean[] = [];
  const link = (a: number, b: number, contour: boolean) => {
    from.push(a);
    to.push(b);
    isContour.push(contour);
  };

  // contour pieces: walking round a triangle, the region is left on one side and entered on another
  for (let k = 0; k < triangles.length; k += 3) {
    const in0 = value[triangles[k]!]! >= level;
    const in1 = value[triangles[k + 1]!]! >= level;
    const in2 = value[triangles[k + 2]!]! >= level;
    if (in0 === in1 && in1 === in2) continue;
    const leave = in0 && !in1 ? 0 : in1 && !in2 ? 1 : 2;
    const enter = !in0 && in1 ? 0 : !in1 && in2 ? 1 : 2;
    link(vertices + sides.of[k + leave]!, vertices + sides.of[k + enter]!, true);
  }
  // outline pieces that lie in the region
  for (const k of sides.rim) {
    const a = triangles[k]!;
    const b = triangles[k % 3 === 2 ? k - 2 : k + 1]!;
    const inA = value[a]! >= level;
    const inB = value[b]! >= level;
    const crossing = vertices + sides.of[k]!;
    if (inA && inB) link(a, b, false);
    else if (inA) link(a, crossing, false);
    else if (inB) link(crossing, b, false);
  }

  // where each crossing is
  const crossX = new Float64Array(sides.count);
  const crossY = new Float64Array(sides.count);
  for (let k = 0; k < triangles.length; k++) {
    const a = triangles[k]!;
    const b = triangles[k % 3 === 2 ? k - 2 : k + 1]!;
    if (value[a]! >= level === value[b]! >= level) continue;
    // taken from the lower vertex number, so that both triangles find the same bits
    const lo = Math.min(a, b);
    const hi = Math.max(a, b);
    const u = (level - value[lo]!) / (value[hi]! - value[lo]!);
    crossX[sides.of[k]!] = t.x[lo]! + u * (t.x[hi]! - t.x[lo]!);
    crossY[sides.of[k]!] = t.y[lo]! + u * (t.y[hi]! - t.y[lo]!);
  }

  const rings: Polyline[] = [];
  const contours: Polyline[] = [];
  let area = 0;
  for (const chain of closedChains(from, to, vertices + sides.count)) {
    const points = new Float64Array(2 * chain.length);
    for (let k = 0; k < chain.length; k++) {
      const place = from[chain[k]!]!;
      points[2 * k] = place < vertices ? t.x[place]! : crossX[place - vertices]!;
      points[2 * k + 1] = place < vertices ? t.y[place]! : crossY[place - vertices]!;
    }
    area += ringArea(points);
    const runs = splitRuns(points, chain, isContour).map((run) => ({
      ...run,
      line: simplifyLine(run.line, tolerance),
    }));
    const ring = joinRuns(runs.map((run) => run.line));
    if (extent(ring.points) <= tolerance) continue;
    rings.push(ring);
    for (const run of runs) if (run.contour && extent(run.line.points) > tolerance) contours.push(run.line);
  }
  return { level, rings, contours, area: Math.abs(area) };
}

/**
 * Joins links end to end. Every place has as many links in as out, so a walk always comes back to its start,
 * also where two parts of the region touch in one vertex.
 */
function closedChains(from: readonly number[], to: readonly number[], places: number): number[][] {
  const first = new Int32Array(places).fill(-1);
  const following = new Int32Array(from.length).fill(-1);
  for (let k = from.length - 1; k >= 0; k--) {
    following[k] = first[from[k]!]!;
    first[from[k]!] = k;
  }
  const used = new Uint8Array(from.length);
  const chains: number[][] = [];
  for (let start = 0; start < from.length; start++) {
    if (used[start]) continue;
    const chain: number[] = [];
    let k = start;
    while (k >= 0) {
      used[k] = 1;
      chain.push(k);
      const place = to[k]!;
      if (place === from[start]) break;
      k = first[place]!;
      while (k >= 0 && used[k]) k = following[k]!;
      first[place] = k;
    }
    if (k < 0) throw new Error(`bands: a chain of ${chain.length} pieces does not close`);
    chains.push(chain);
  }
  return chains;
}

interface Run {
  readonly line: Polyline;
  readonly contour: boolean;
}

/** Cuts a ring where contour turns into outline; a run holds both of its end points. */
function splitRuns(points: Float64Array, chain: readonly number[], isContour: readonly boolean[]): Run[] {
  const count = chain.length;
  const kind = (k: number) => isContour[chain[k % count]!]!;
  let start = -1;
  for (let k = 0; k < count; k++) {
    if (kind(k) !== kind(k + count - 1)) {
      start = k;
      break;
    }
  }
  if (start < 0) return [{ line: { points, closed: true }, contour: kind(0) }];
  const runs: Run[] = [];
  for (let k = start; k < start + count; ) {
    let end = k;
    while (end < start + count && kind(end) === kind(k)) end++;
    const line = new Float64Array(2 * (end - k + 1));
    for (let q = k; q <= end; q++) {
      line[2 * (q - k)] = points[2 * (q % count)]!;
      line[2 * (q - k) + 1] = points[2 * (q % count) + 1]!;
    }
    runs.push({ line: { points: line, closed: false }, contour: kind(k) });
    k = end;
  }
  return runs;
}

/** One ring from runs laid end to end; the last point of a run is the first of the next and is kept once. */
function joinRuns(lines: readonly Polyline[]): Polyline {
  if (lines.length === 1 && lines[0]!.closed) return lines[0]!;
  const points: number[] = [];
  for (const line of lines) {
    for (let k = 0; k < line.points.length - 2; k++) points.push(line.points[k]!);
  }
  return { points: Float64Array.from(points), closed: true };
}

/** Signed area inside a closed ring. */
export function ringArea(points: Float64Array): number {
  let twice = 0;
  const n = points.length;
  for (let k = 0; k < n; k += 2) {
    const m = (k + 2) % n;
    twice += points[k]! * points[m + 1]! - points[m]! * points[k + 1]!;
  }
  return twice / 2;
}

/** Longer side of the box round the points. */
export function extent(points: Float64Array): number {
  let x0 = Infinity;
  let x1 = -Infinity;
  let y0 = Infinity;
  let y1 = -Infinity;
  for (let k = 0; k < points.length; k += 2) {
    x0 = Math.min(x0, points[k]!);
    x1 = Math.max(x1, points[k]!);
    y0 = Math.min(y0, points[k + 1]!);
    y1 = Math.max(y1, points[k + 1]!);
  }
  return Math.max(x1 - x0, y1 - y0);
}
