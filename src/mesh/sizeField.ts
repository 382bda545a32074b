import {
  type Curve,
  checkOutline,
  curveCurvature,
  curveLength,
  curvePoint,
  curveTangent,
  type Edge,
  type Outline,
  outlineEdges,
} from "../geometry/index.ts";
import { curveTurn } from "./boundary.ts";
import { gradedField } from "./gradedField.ts";
import type { SizeField } from "./mesh.ts";

/** Small elements wanted round a point: `size` out to `radius` (default 0), growing beyond it. All mm. */
export interface SizeSource {
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly radius?: number;
}

export interface OutlineSizeOptions {
  /** Largest element side anywhere, mm. */
  readonly base: number;
  /** Growth: the size changes by at most this much per mm; default 0.3. */
  readonly gradation?: number;
  /** Sides per 45° of turn where the outline is concave (curves into the material, as a fillet does); default 4. */
  readonly concaveSides?: number;
  /** The same where it is convex; default 2. */
  readonly convexSides?: number;
  /** Elements wanted across the material between two facing edges; default 2. 0 asks for none. */
  readonly across?: number;
  /** Wanted size on an edge, mm; undefined leaves it to the rest. */
  readonly edgeSize?: (edge: Edge) => number | undefined;
  readonly sources?: readonly SizeSource[];
  /** No element is asked to be smaller than this, mm, sources apart; default 1e-4 of `base`. */
  readonly least?: number;
}

/**
 * A graded size field for an outline: at the boundary the least of the base size, a share of the radius of
 * curvature, a share of the thickness of material behind it, the edge's own length and what `edgeSize` says;
 * from there, and from the sources, it grows by `gradation` per mm. Fast to evaluate: values are kept in a tree
 * of cells that is built where it is asked.
 */
export function outlineSize(outline: Outline, options: OutlineSizeOptions): SizeField {
  checkOutline(outline);
  const { base, gradation = 0.3, concaveSides = 4, convexSides = 2, across = 2, edgeSize } = options;
  const least = options.least ?? 1e-4 * base;
  for (const [name, value] of Object.entries({ base, gradation, concaveSides, convexSides })) {
    if (!(value > 0)) throw new Error(`outlineSize: ${name} must be positive, not ${value}`);
  }
  const concaveTurn = Math.PI / 4 / concaveSides;
  const convexTurn = Math.PI / 4 / convexSides;
  const edges = outlineEdges(outline);
  const thickness = across > 0 ? thicknessFinder(outline, base) : undefined;
  // cones: x, y, size, radius each
  const cones: number[] = [];
  const p = new Float64Array(2);
  const t = new Float64Array(2);
  for (const [e, edge] of edges.entries()) {
    const c = edge.curve;
    const length = curveLength(c);
    const wanted = edgeSize?.(edge);
    if (wanted !== undefined && !(wanted > 0)) {
      throw new Error(`outlineSize: edgeSize gives ${wanted} mm for edge "${edge.name}"`);
    }
    const flat = Math.min(base, length, wanted ?? base);
    let u = 0;
    for (;;) {
      curvePoint(c, u, p);
      let h = Math.min(flat, sizeOfTurn(c, u, curveCurvature(c, u) < 0 ? concaveTurn : convexTurn));
      if (thickness) {
        curveTangent(c, u, t);
        h = Math.min(h, thickness(e, p[0]!, p[1]!, -t[1]!, t[0]!, across * h) / across);
      }
      h = Math.max(h, least);
      // what the neighbours' cones say anyway need not be repeated
      if (h < base) cones.push(p[0]!, p[1]!, h, 0);
      if (u === 1) break;
      // half a side further on, or so that no stretch of a long edge goes unseen
      const step = Math.min(h / 2, length / 4) / length;
      u = u + 1.5 * step >= 1 ? 1 : u + step;
    }
  }
  for (const { x, y, size, radius = 0 } of options.sources ?? []) {
    if (!(size > 0 && radius >= 0)) {
      throw new Error(`outlineSize: a source at (${x}, ${y}) has size ${size} mm and radius ${radius} mm`);
    }
    cones.push(x, y, size, radius);
  }
  return gradedField(new Float64Array(cones), base, gradation);
}

/** The least of several fields at each point. */
export function minSize(...fields: readonly SizeField[]): SizeField {
  if (fields.length === 1) return fields[0]!;
  if (fields.length === 2) {
    const [f, g] = fields as [SizeField, SizeField];
    return (x, y) => Math.min(f(x, y), g(x, y));
  }
  return (x, y) => {
    let h = Infinity;
    for (const f of fields) h = Math.min(h, f(x, y));
    return h;
  };
}

/** Arc length in which the curve turns by `turn` from fraction u on, mm. */
function sizeOfTurn(c: Curve, u: number, turn: number): number {
  if (c.kind === "line") return Infinity;
  if (c.kind === "arc") return c.radius * turn;
  // s = rb t²/2; at the base circle the curvature radius is zero but the arc in which it turns is not
  const t = Math.min(c.start, c.end) + curveTurn(c, c.start <= c.end ? 0 : u, c.start <= c.end ? u : 1);
  return c.baseRadius * (t * turn + (turn * turn) / 2);
}

/** Distance through the material from a point of edge e along (nx, ny), or Infinity beyond `limit`. */
type Thickness = (e: number, x: number, y: number, nx: number, ny: number, limit: number) => number;

/**
 * Rays against the outline, cut into chords and sorted into square bins. Edges that share an end with the ray's
 * own are passed over: near a corner the far side is always close, and says nothing about a thin place.
 */
function thicknessFinder(outline: Outline, base: number): Thickness {
  const chord: number[] = []; // x0 y0 x1 y1 each
  const owner: number[] = [];
  const before: number[] = [];
  const after: number[] = [];
  const p = new Float64Array(2);
  let first = 0;
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (const loop of outline.loops) {
    for (const [k, { curve }] of loop.entries()) {
      before.push(first + ((k + loop.length - 1) % loop.length));
      after.push(first + ((k + 1) % loop.length));
      const length = curveLength(curve);
      const n = Math.max(1, Math.ceil(curveTurn(curve, 0, 1) / 0.2), Math.ceil(length / (4 * base)));
      curvePoint(curve, 0, p);
      for (let i = 1; i <= n; i++) {
        const x = p[0]!;
        const y = p[1]!;
        curvePoint(curve, i / n, p);
        chord.push(x, y, p[0]!, p[1]!);
        owner.push(first + k);
        x0 = Math.min(x0, x);
        x1 = Math.max(x1, x);
        y0 = Math.min(y0, y);
        y1 = Math.max(y1, y);
      }
    }
    first += loop.length;
  }
  const span = Math.max(x1 - x0, y1 - y0);
  const cells = Math.max(1, Math.min(128, Math.round(Math.sqrt(owner.length))));
  const pitch = (span * (1 + 1e-9)) / cells;
  const bins: number[][] = Array.from({ length: cells * cells }, () => []);
  const cell = (v: number) => Math.max(0, Math.min(cells - 1, Math.floor(v / pitch)));
  for (const k of owner.keys()) {
    const ax = chord[4 * k]! - x0;
    const ay = chord[4 * k + 1]! - y0;
    const bx = chord[4 * k + 2]! - x0;
    const by = chord[4 * k + 3]! - y0;
    for (let j = cell(Math.min(ay, by)); j <= cell(Math.max(ay, by)); j++) {
      for (let i = cell(Math.min(ax, bx)); i <= cell(Math.max(ax, bx)); i++) bins[j * cells + i]!.push(k);
    }
  }
  return (e, x, y, nx, ny, limit) => {
    let nearest = limit;
    const ex = x + limit * nx - x0;
    const ey = y + limit * ny - y0;
    const sx = x - x0;
    const sy = y - y0;
    for (let j = cell(Math.min(sy, ey)); j <= cell(Math.max(sy, ey)); j++) {
      for (let i = cell(Math.min(sx, ex)); i <= cell(Math.max(sx, ex)); i++) {
        for (const k of bins[j * cells + i]!) {
          const o = owner[k]!;
          if (o === e || before[e] === o || after[e] === o) continue;
          const ax = chord[4 * k]! - x;
          const ay = chord[4 * k + 1]! - y;
          const dx = chord[4 * k + 2]! - chord[4 * k]!;
          const dy = chord[4 * k + 3]! - chord[4 * k + 1]!;
          // distance r along the ray and place w along the chord: r n = a + w d
          const cross = nx * dy - ny * dx;
          if (!(cross > 0)) continue; // only the far side's inner face
          const w = (ny * ax - nx * ay) / cross;
          if (w < 0 || w > 1) continue;
          const r = (ax * dy - ay * dx) / cross;
          if (r > 0 && r < nearest) nearest = r;
        }
      }
    }
    return nearest < limit ? nearest : Infinity;
  };
}
