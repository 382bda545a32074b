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
import { curveTurn, loopNeighbours } from "./boundary.ts";
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
  /** No element is asked to be smaller than this, mm, sources apart. By default only thin material is not followed down below 1e-4 of `base`. */
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
  const { least = 0 } = options;
  // next to where two edges meet without sharing an end material is thin without end; a small hole is not
  const thinnest = options.least ?? 1e-4 * base;
  for (const [name, value] of Object.entries({ base, gradation, concaveSides, convexSides })) {
    if (!(value > 0)) throw new Error(`outlineSize: ${name} must be positive, not ${value}`);
  }
  const concaveTurn = Math.PI / 4 / concaveSides;
  const convexTurn = Math.PI / 4 / convexSides;
  const edges = outlineEdges(outline);
  const thickness = across > 0 ? new ThicknessFinder(outline, base) : undefined;
  // cones: x, y, size, radius each
  const cones: number[] = [];
  const p = new Float64Array(2);
  const t = new Float64Array(2);
  for (let e = 0; e < edges.length; e++) {
    const edge = edges[e]!;
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
        const behind = thickness.at(e, p[0]!, p[1]!, -t[1]!, t[0]!, across * h) / across;
        h = Math.min(h, Math.max(behind, thinnest));
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

/**
 * Distances through the material, by rays against the outline, cut into chords and sorted into square bins. Edges that share an end with
 * the ray's own are passed over: near a corner the far side is always close, and says nothing about a thin place.
 */
class ThicknessFinder {
  /** Four a chord: start and end. */
  readonly #chord: Float64Array;
  /** Edge of each chord. */
  readonly #owner: Int32Array;
  /** Edges before and after each edge in its loop. */
  readonly #before: readonly number[];
  readonly #after: readonly number[];
  /** Lower left corner and side of the bins, mm; `#cells` each way. */
  readonly #x0: number;
  readonly #y0: number;
  readonly #pitch: number;
  readonly #cells: number;
  /** Chords of bin k: `#listed[#binStart[k] … #binStart[k + 1] − 1]`. */
  readonly #binStart: Int32Array;
  readonly #listed: Int32Array;

  constructor(outline: Outline, base: number) {
    const { before, after } = loopNeighbours(outline);
    this.#before = before;
    this.#after = after;
    const chord: number[] = [];
    const owner: number[] = [];
    const edges = outlineEdges(outline);
    for (let e = 0; e < edges.length; e++) {
      addChords(edges[e]!.curve, base, chord);
      while (4 * owner.length < chord.length) owner.push(e);
    }
    this.#chord = Float64Array.from(chord);
    this.#owner = Int32Array.from(owner);
    let x0 = Infinity;
    let y0 = Infinity;
    let x1 = -Infinity;
    let y1 = -Infinity;
    for (let k = 0; k < chord.length; k += 4) {
      x0 = Math.min(x0, chord[k]!);
      x1 = Math.max(x1, chord[k]!);
      y0 = Math.min(y0, chord[k + 1]!);
      y1 = Math.max(y1, chord[k + 1]!);
    }
    const span = Math.max(x1 - x0, y1 - y0);
    const cells = Math.max(1, Math.min(128, Math.round(Math.sqrt(owner.length))));
    this.#x0 = x0;
    this.#y0 = y0;
    this.#cells = cells;
    this.#pitch = (span * (1 + 1e-9)) / cells;
    // counted, then listed
    this.#binStart = new Int32Array(cells * cells + 1);
    this.#eachBin((bin) => {
      this.#binStart[bin + 1]!++;
    });
    for (let k = 0; k < cells * cells; k++) this.#binStart[k + 1]! += this.#binStart[k]!;
    this.#listed = new Int32Array(this.#binStart[cells * cells]!);
    const next = this.#binStart.slice();
    this.#eachBin((bin, chord) => {
      this.#listed[next[bin]!++] = chord;
    });
  }

  /** Distance through the material from a point of edge e along (nx, ny), or Infinity beyond `limit`. */
  at(e: number, x: number, y: number, nx: number, ny: number, limit: number): number {
    const before = this.#before[e]!;
    const after = this.#after[e]!;
    const i0 = this.#cell(Math.min(x, x + limit * nx) - this.#x0);
    const i1 = this.#cell(Math.max(x, x + limit * nx) - this.#x0);
    const j0 = this.#cell(Math.min(y, y + limit * ny) - this.#y0);
    const j1 = this.#cell(Math.max(y, y + limit * ny) - this.#y0);
    let nearest = limit;
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const bin = j * this.#cells + i;
        for (let k = this.#binStart[bin]!; k < this.#binStart[bin + 1]!; k++) {
          const c = this.#listed[k]!;
          const o = this.#owner[c]!;
          if (o === e || before === o || after === o) continue;
          const r = alongRay(this.#chord, 4 * c, x, y, nx, ny);
          if (r > 0 && r < nearest) nearest = r;
        }
      }
    }
    return nearest < limit ? nearest : Infinity;
  }

  #eachBin(visit: (bin: number, chord: number) => void): void {
    const chord = this.#chord;
    for (let k = 0; k < this.#owner.length; k++) {
      const ax = chord[4 * k]! - this.#x0;
      const ay = chord[4 * k + 1]! - this.#y0;
      const bx = chord[4 * k + 2]! - this.#x0;
      const by = chord[4 * k + 3]! - this.#y0;
      const i1 = this.#cell(Math.max(ax, bx));
      const j1 = this.#cell(Math.max(ay, by));
      for (let j = this.#cell(Math.min(ay, by)); j <= j1; j++) {
        for (let i = this.#cell(Math.min(ax, bx)); i <= i1; i++) visit(j * this.#cells + i, k);
      }
    }
  }

  #cell(v: number): number {
    return Math.max(0, Math.min(this.#cells - 1, Math.floor(v / this.#pitch)));
  }
}

/** Adds a curve's chords to the list: short against its turn and the base size. */
function addChords(curve: Curve, base: number, chord: number[]): void {
  const p = new Float64Array(2);
  const n = Math.max(1, Math.ceil(curveTurn(curve, 0, 1) / 0.2), Math.ceil(curveLength(curve) / (4 * base)));
  curvePoint(curve, 0, p);
  for (let i = 1; i <= n; i++) {
    const x = p[0]!;
    const y = p[1]!;
    curvePoint(curve, i / n, p);
    chord.push(x, y, p[0]!, p[1]!);
  }
}

/** Distance at which the ray from (x, y) along (nx, ny) leaves through a chord's inner face; -1 where it does not. */
function alongRay(chord: Float64Array, at: number, x: number, y: number, nx: number, ny: number): number {
  const ax = chord[at]! - x;
  const ay = chord[at + 1]! - y;
  const dx = chord[at + 2]! - chord[at]!;
  const dy = chord[at + 3]! - chord[at + 1]!;
  // distance r along the ray and place w along the chord: r n = a + w d
  const cross = nx * dy - ny * dx;
  if (!(cross > 0)) return -1; // only the far side's inner face
  const w = (ny * ax - nx * ay) / cross;
  return w < 0 || w > 1 ? -1 : (ax * dy - ay * dx) / cross;
}
