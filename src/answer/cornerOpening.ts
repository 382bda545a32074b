import { type Curve, curveLength, curvePoint, outlineEdges } from "../geometry/index.ts";
import { GAUSS_POINTS, GAUSS_WEIGHTS } from "../numerics/index.ts";
import type { ProfileOutline, RootCorner } from "../profile/index.ts";
import type { StressAt } from "./pathAverage.ts";

/** Pieces of the arc, each with the four points: fields are quadratic by element, and there are some ten elements on it. */
const PIECES = 12;
/** Surfaces beside the corner must be longer than this share of the arc's radius. */
const REACH = 1.05;

/** A side of a corner whose surface carries no load, and the angle from the bisector at which the arc meets it, rad. */
export interface FreeSide {
  readonly sense: 1 | -1;
  readonly turn: number;
}

/**
 * Sides of a sharp corner on which the arc of radius `distance` ends on a surface that is free of load from the corner to there:
 * the edge that arrives at the corner bounds the material on the counter-clockwise side, the one that leaves it on the other.
 */
export function freeSides(
  { outline, contactEdges }: Pick<ProfileOutline, "outline" | "contactEdges">,
  corner: Pick<RootCorner, "x" | "y" | "bisectorX" | "bisectorY">,
  distance: number,
): FreeSide[] {
  const loaded = new Set(contactEdges);
  const edges = outlineEdges(outline);
  const sides: FreeSide[] = [];
  for (const sense of [1, -1] as const) {
    const end = sense === 1 ? 1 : 0;
    const edge = edges.find(({ curve }) => endsAt(curve, end, corner));
    if (!edge || edge.zone === "cut" || loaded.has(edge.name)) continue;
    const turn = arcEnd(edge.curve, end, corner, distance);
    if (turn !== null) sides.push({ sense, turn });
  }
  return sides;
}

function endsAt(curve: Curve, u: number, { x, y }: { x: number; y: number }): boolean {
  const p = curvePoint(curve, u, new Float64Array(2));
  return Math.hypot(p[0] - x, p[1] - y) < 1e-9 * (1 + Math.hypot(x, y));
}

/** Angle between the bisector and the point of the curve at `distance` from the corner at its end; null where it is too short. */
function arcEnd(
  curve: Curve,
  end: 0 | 1,
  { x, y, bisectorX, bisectorY }: Pick<RootCorner, "x" | "y" | "bisectorX" | "bisectorY">,
  distance: number,
): number | null {
  const most = (REACH * distance) / curveLength(curve);
  if (most > 1) return null;
  const p = new Float64Array(2);
  const place = (share: number) => curvePoint(curve, end === 0 ? share : 1 - share, p);
  place(most);
  if (Math.hypot(p[0] - x, p[1] - y) < distance) return null;
  let low = 0;
  let high = most;
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    place(middle);
    if (Math.hypot(p[0] - x, p[1] - y) < distance) low = middle;
    else high = middle;
  }
  const cross = bisectorX * (p[1] - y) - bisectorY * (p[0] - x);
  const dot = bisectorX * (p[0] - x) + bisectorY * (p[1] - y);
  return Math.atan2(Math.abs(cross), dot);
}

/**
 * Points by which the mean opening stress along the bisector of a sharp corner is read away from the corner: x, y and the weights
 * of sxx, syy, sxy in the mean, five numbers a point; null when they leave the material.
 *
 * Cut out the piece of material between the bisector path, the surface on one side of the corner, and the arc of radius d
 * about the corner that joins their ends. It is in equilibrium, and its surface carries nothing; so the force across the
 * path is the force across the arc. The component that opens the path, over its length d, is the mean wanted:
 * exact for any stress in equilibrium, and free of the unbounded stress at the corner, which the arc keeps d away from.
 *
 * The corner is at (x, y), its unit bisector (dx, dy).
 */
export function cornerArc(
  at: StressAt,
  { x, y, dx, dy }: { x: number; y: number; dx: number; dy: number },
  distance: number,
  { sense, turn }: FreeSide,
): Float64Array | null {
  const start = Math.atan2(dy, dx);
  const s = new Float64Array(3);
  const points = new Float64Array(5 * 4 * PIECES);
  let k = 0;
  for (let piece = 0; piece < PIECES; piece++) {
    for (let g = 0; g < 4; g++) {
      const a = start + (sense * turn * (piece + GAUSS_POINTS[g])) / PIECES;
      const cx = Math.cos(a);
      const cy = Math.sin(a);
      if (!at(x + distance * cx, y + distance * cy, s)) return null;
      // opening direction (−dy, dx); the arc's length element over the path's length is the angle element
      const w = (sense * GAUSS_WEIGHTS[g] * turn) / PIECES;
      points[k] = x + distance * cx;
      points[k + 1] = y + distance * cy;
      points[k + 2] = -w * dy * cx;
      points[k + 3] = w * dx * cy;
      points[k + 4] = w * (dx * cx - dy * cy);
      k += 5;
    }
  }
  return points;
}

/** The mean that weighted points give, MPa: of an arc, or of a path. */
export function pointsMean(at: StressAt, points: Float64Array): number {
  const s = new Float64Array(3);
  let mean = 0;
  for (let k = 0; k < points.length; k += 5) {
    at(points[k], points[k + 1], s);
    mean += points[k + 2] * s[0] + points[k + 3] * s[1] + points[k + 4] * s[2];
  }
  return mean;
}
