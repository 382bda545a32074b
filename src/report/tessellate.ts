import type { Mesh } from "../mesh/index.ts";
import { sheetX, sheetY, type View } from "./view.ts";

/** Flat triangles with a value at each vertex, in sheet units. Neighbours share whole sides. */
export interface Tessellation {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly value: Float64Array;
  /** Three vertex indices per triangle, all turning the same way. */
  readonly triangles: Uint32Array;
}

export interface TessellationRules {
  readonly view: View;
  /** Values at which lines will be drawn; only there must the field be followed closely. Ascending. */
  readonly levels: readonly number[];
  /** Largest distance of the true place from the drawn one, sheet units: of curved sides and of contours. */
  readonly tolerance: number;
  /** Sides shorter than this (sheet units) are never divided. */
  readonly smallest: number;
  /** Only elements near this circle of the sheet are wanted. */
  readonly within?: { readonly x: number; readonly y: number; readonly radius: number };
}

/** Side of the integer grid of places inside an element: sides may be halved six times. */
const GRID = 64;

/**
 * Divides six-node triangles into flat ones fine enough for a drawing.
 *
 * Whether a side is halved depends on that side alone (its own quadratic shape and values), and a point on
 * a side shared by two elements is stored once; so the pieces of neighbours meet without a crack although
 * every element is divided by itself. `values` is one number per node, taken as quadratic over the element.
 * @throws Error when `values` is not one per node.
 */
export function tessellate(mesh: Mesh, values: Float64Array, rules: TessellationRules): Tessellation {
  const { xy, elements } = mesh;
  if (values.length * 2 !== xy.length) {
    throw new Error(`tessellate: ${values.length} values for ${xy.length / 2} nodes`);
  }
  const { view, levels, tolerance, smallest, within } = rules;
  const px: number[] = [];
  const py: number[] = [];
  const pv: number[] = [];
  const triangles: number[] = [];
  const nodeVertex = new Int32Array(values.length).fill(-1);
  const sideVertex = new Map<number, number>(); // mid-side node × grid place along the side → vertex
  const innerVertex = new Map<number, number>(); // grid place inside the element at hand → vertex
  const nodeX = new Float64Array(values.length);
  const nodeY = new Float64Array(values.length);
  for (let i = 0; i < values.length; i++) {
    nodeX[i] = sheetX(view, xy[2 * i]!, xy[2 * i + 1]!);
    nodeY[i] = sheetY(view, xy[2 * i]!, xy[2 * i + 1]!);
  }
  const n = new Uint32Array(6); // nodes of the element at hand

  const store = (x: number, y: number, v: number) => {
    px.push(x);
    py.push(y);
    pv.push(v);
    return px.length - 1;
  };
  const atNode = (i: number) => {
    if (nodeVertex[i]! < 0) nodeVertex[i] = store(nodeX[i]!, nodeY[i]!, values[i]!);
    return nodeVertex[i]!;
  };

  /** Vertex on side s at grid place t counted from corner s. */
  const onSide = (s: number, t: number) => {
    const from = n[s]!;
    const to = n[(s + 1) % 3]!;
    if (t === 0) return atNode(from);
    if (t === GRID) return atNode(to);
    const mid = n[3 + s]!;
    if (2 * t === GRID) return atNode(mid);
    // counted from the lower node number, so that both elements of a side compute the same bits
    const lo = Math.min(from, to);
    const hi = Math.max(from, to);
    const place = from < to ? t : GRID - t;
    const key = mid * (GRID + 1) + place;
    let vertex = sideVertex.get(key);
    if (vertex === undefined) {
      const u = place / GRID;
      const a = (1 - u) * (1 - 2 * u);
      const b = 4 * u * (1 - u);
      const c = u * (2 * u - 1);
      vertex = store(
        a * nodeX[lo]! + b * nodeX[mid]! + c * nodeX[hi]!,
        a * nodeY[lo]! + b * nodeY[mid]! + c * nodeY[hi]!,
        a * values[lo]! + b * values[mid]! + c * values[hi]!,
      );
      sideVertex.set(key, vertex);
    }
    return vertex;
  };

  /** Vertex at grid place (i, j): ξ = i / GRID towards corner 1, η = j / GRID towards corner 2. */
  const vertexAt = (i: number, j: number) => {
    if (j === 0) return onSide(0, i);
    if (i + j === GRID) return onSide(1, j);
    if (i === 0) return onSide(2, GRID - j);
    const key = i * (GRID + 1) + j;
    let vertex = innerVertex.get(key);
    if (vertex === undefined) {
      const p = i / GRID;
      const q = j / GRID;
      const r = 1 - p - q;
      const w = [r * (2 * r - 1), p * (2 * p - 1), q * (2 * q - 1), 4 * r * p, 4 * p * q, 4 * q * r];
      let x = 0;
      let y = 0;
      let v = 0;
      for (let a = 0; a < 6; a++) {
        x += w[a]! * nodeX[n[a]!]!;
        y += w[a]! * nodeY[n[a]!]!;
        v += w[a]! * values[n[a]!]!;
      }
      vertex = store(x, y, v);
      innerVertex.set(key, vertex);
    }
    return vertex;
  };

  /** Whether the piece of side from one place to another must be halved. */
  const mustHalve = (ai: number, aj: number, bi: number, bj: number) => {
    if ((ai + bi) % 2 !== 0 || (aj + bj) % 2 !== 0) return false;
    const a = vertexAt(ai, aj);
    const b = vertexAt(bi, bj);
    const length = Math.hypot(px[a]! - px[b]!, py[a]! - py[b]!);
    if (length < smallest) return false;
    const m = vertexAt((ai + bi) / 2, (aj + bj) / 2);
    const off = Math.hypot(px[m]! - (px[a]! + px[b]!) / 2, py[m]! - (py[a]! + py[b]!) / 2);
    if (off > tolerance) return true;
    const gap = Math.abs(pv[m]! - (pv[a]! + pv[b]!) / 2);
    const low = Math.min(pv[a]!, pv[b]!, pv[m]!) - gap;
    const high = Math.max(pv[a]!, pv[b]!, pv[m]!) + gap;
    if (!crosses(levels, low, high)) return false;
    // a value off by `gap` moves the crossing by gap / slope
    return gap * length > tolerance * (Math.abs(pv[b]! - pv[a]!) + 4 * gap);
  };

  const divide = (ai: number, aj: number, bi: number, bj: number, ci: number, cj: number): void => {
    const ab = mustHalve(ai, aj, bi, bj);
    const bc = mustHalve(bi, bj, ci, cj);
    const ca = mustHalve(ci, cj, ai, aj);
    const halved = Number(ab) + Number(bc) + Number(ca);
    if (halved === 0) {
      triangles.push(vertexAt(ai, aj), vertexAt(bi, bj), vertexAt(ci, cj));
      return;
    }
    // turn the triangle until the cases below are the only ones
    if ((halved === 1 && ca) || (halved === 2 && ab && ca)) {
      divide(ci, cj, ai, aj, bi, bj);
      return;
    }
    if ((halved === 1 && bc) || (halved === 2 && bc && ca)) {
      divide(bi, bj, ci, cj, ai, aj);
      return;
    }
    const di = (ai + bi) / 2;
    const dj = (aj + bj) / 2;
    if (halved === 1) {
      divide(ai, aj, di, dj, ci, cj);
      divide(di, dj, bi, bj, ci, cj);
      return;
    }
    const ei = (bi + ci) / 2;
    const ej = (bj + cj) / 2;
    divide(di, dj, bi, bj, ei, ej);
    if (halved === 2) {
      divide(ai, aj, di, dj, ei, ej);
      divide(ai, aj, ei, ej, ci, cj);
      return;
    }
    const fi = (ci + ai) / 2;
    const fj = (cj + aj) / 2;
    divide(ai, aj, di, dj, fi, fj);
    divide(fi, fj, ei, ej, ci, cj);
    divide(di, dj, ei, ej, fi, fj);
  };

  for (let e = 0; 6 * e < elements.length; e++) {
    for (let a = 0; a < 6; a++) n[a] = elements[6 * e + a]!;
    if (within && !near(nodeX, nodeY, n, within)) continue;
    innerVertex.clear();
    divide(0, 0, GRID, 0, 0, GRID);
  }
  return {
    x: Float64Array.from(px),
    y: Float64Array.from(py),
    value: Float64Array.from(pv),
    triangles: Uint32Array.from(triangles),
  };
}

/** Whether the box round the element's nodes comes within the circle (a curved side bulges little beyond it). */
function near(
  x: Float64Array,
  y: Float64Array,
  nodes: Uint32Array,
  circle: { readonly x: number; readonly y: number; readonly radius: number },
): boolean {
  let x0 = Infinity;
  let x1 = -Infinity;
  let y0 = Infinity;
  let y1 = -Infinity;
  for (const i of nodes) {
    x0 = Math.min(x0, x[i]!);
    x1 = Math.max(x1, x[i]!);
    y0 = Math.min(y0, y[i]!);
    y1 = Math.max(y1, y[i]!);
  }
  const dx = Math.max(x0 - circle.x, 0, circle.x - x1);
  const dy = Math.max(y0 - circle.y, 0, circle.y - y1);
  return Math.hypot(dx, dy) <= 1.1 * circle.radius;
}

function crosses(levels: readonly number[], low: number, high: number): boolean {
  for (const level of levels) {
    if (level > high) return false;
    if (level >= low) return true;
  }
  return false;
}
