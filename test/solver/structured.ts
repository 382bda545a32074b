import {
  type Curve,
  curvePoint,
  type Edge,
  movePoint,
  type Outline,
  outlineDiagonal,
  outlineEdges,
} from "../../src/geometry/index.ts";
import type { Mesh } from "../../src/mesh/index.ts";

/**
 * A second source of meshes, independent of src/mesh: four-sided blocks between curves, mapped by blending
 * opposite sides, split in triangles and joined where their nodes coincide.
 */
export interface Block {
  /** The four sides: `bottom` and `top` run in the first direction, `left` and `right` in the second. */
  readonly bottom: (u: number) => readonly [number, number];
  readonly top: (u: number) => readonly [number, number];
  readonly left: (u: number) => readonly [number, number];
  readonly right: (u: number) => readonly [number, number];
  readonly columns: number;
  readonly rows: number;
  /** Grading: maps 0…1 to 0…1 along each direction. */
  readonly spaceColumns?: (u: number) => number;
  readonly spaceRows?: (u: number) => number;
}

export interface StructuredOptions {
  /** Moves inner corner nodes by up to this share of the shortest side met, at random. */
  readonly jitter?: number;
  /** Moves inner mid-side nodes off their chords by up to this share of the side, at random. */
  readonly bulge?: number;
  readonly seed?: number;
  /** Keeps inner sides straight (default): mid-side nodes off the boundary lie midway. */
  readonly straight?: boolean;
}

export const along =
  (c: Curve) =>
  (u: number): readonly [number, number] =>
    curvePoint(c, u, [0, 0]);

/** Geometric grading: the last cell is `ratio` times the first. */
export const graded =
  (ratio: number) =>
  (u: number): number =>
    Math.abs(ratio - 1) < 1e-12 ? u : (ratio ** u - 1) / (ratio - 1);

/** Meshes blocks that together fill `outline`. */
export function structuredMesh(
  outline: Outline,
  blocks: readonly Block[],
  options: StructuredOptions = {},
): Mesh {
  const size = outlineDiagonal(outline);
  const cell = size * 1e-7;
  const grid = new Map<string, number>();
  const xs: number[] = [];
  const node = (x: number, y: number): number => {
    const cx = Math.round(x / cell);
    const cy = Math.round(y / cell);
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        const hit = grid.get(`${cx + dx},${cy + dy}`);
        if (hit !== undefined) return hit;
      }
    }
    grid.set(`${cx},${cy}`, xs.length / 2);
    xs.push(x, y);
    return xs.length / 2 - 1;
  };
  const elements: number[] = [];
  for (const block of blocks) {
    const { columns, rows } = block;
    const su = block.spaceColumns ?? ((u: number) => u);
    const sv = block.spaceRows ?? ((u: number) => u);
    const half = (k: number, n: number, f: (u: number) => number): number =>
      k % 2 === 0 ? f(k / (2 * n)) : 0.5 * (f((k - 1) / (2 * n)) + f((k + 1) / (2 * n)));
    const ids: number[][] = [];
    for (let r = 0; r <= 2 * rows; r++) {
      const v = half(r, rows, sv);
      ids.push([]);
      for (let c = 0; c <= 2 * columns; c++) {
        const u = half(c, columns, su);
        const [bx, by] = block.bottom(u);
        const [tx, ty] = block.top(u);
        const [lx, ly] = block.left(v);
        const [rx, ry] = block.right(v);
        const [x00, y00] = block.bottom(0);
        const [x10, y10] = block.bottom(1);
        const [x01, y01] = block.top(0);
        const [x11, y11] = block.top(1);
        const x =
          (1 - v) * bx +
          v * tx +
          (1 - u) * lx +
          u * rx -
          ((1 - u) * (1 - v) * x00 + u * (1 - v) * x10 + (1 - u) * v * x01 + u * v * x11);
        const y =
          (1 - v) * by +
          v * ty +
          (1 - u) * ly +
          u * ry -
          ((1 - u) * (1 - v) * y00 + u * (1 - v) * y10 + (1 - u) * v * y01 + u * v * y11);
        ids[r].push(node(x, y));
      }
    }
    for (let r = 0; r < rows; r++) {
      for (let c = 0; c < columns; c++) {
        const at = (i: number, j: number) => ids[2 * r + j][2 * c + i];
        // diagonals alternate, so that no direction is favoured
        if ((r + c) % 2 === 0) {
          elements.push(at(0, 0), at(2, 0), at(2, 2), at(1, 0), at(2, 1), at(1, 1));
          elements.push(at(0, 0), at(2, 2), at(0, 2), at(1, 1), at(1, 2), at(0, 1));
        } else {
          elements.push(at(0, 0), at(2, 0), at(0, 2), at(1, 0), at(1, 1), at(0, 1));
          elements.push(at(2, 0), at(2, 2), at(0, 2), at(2, 1), at(1, 2), at(1, 1));
        }
      }
    }
  }
  return finishMesh(outline, Float64Array.from(xs), Uint32Array.from(elements), options);
}

/** Completes node coordinates and elements to a mesh: neighbours, boundary sides on their edges, ties. */
export function finishMesh(
  outline: Outline,
  xy: Float64Array,
  elements: Uint32Array,
  { jitter = 0, bulge = 0, seed = 1, straight = true }: StructuredOptions = {},
): Mesh {
  const count = elements.length / 6;
  // clockwise blocks are turned over
  for (let e = 0; e < count; e++) {
    const [a, b, c] = elements.subarray(6 * e, 6 * e + 3);
    const area =
      (xy[2 * b] - xy[2 * a]) * (xy[2 * c + 1] - xy[2 * a + 1]) -
      (xy[2 * b + 1] - xy[2 * a + 1]) * (xy[2 * c] - xy[2 * a]);
    if (area < 0) {
      const [, , , m, n, o] = elements.subarray(6 * e, 6 * e + 6);
      elements.set([a, c, b, o, n, m], 6 * e);
    }
  }
  const neighbours = new Int32Array(3 * count).fill(-1);
  const bySide = new Map<number, number>();
  for (let k = 0; k < 3 * count; k++) {
    const mid = elements[6 * Math.floor(k / 3) + 3 + (k % 3)];
    const other = bySide.get(mid);
    if (other === undefined) bySide.set(mid, k);
    else {
      neighbours[k] = Math.floor(other / 3);
      neighbours[other] = Math.floor(k / 3);
    }
  }
  const fixed = new Uint8Array(xy.length / 2);
  for (let k = 0; k < 3 * count; k++) {
    if (neighbours[k] >= 0) continue;
    const at = 6 * Math.floor(k / 3);
    const s = k % 3;
    for (const i of [elements[at + s], elements[at + ((s + 1) % 3)], elements[at + 3 + s]]) fixed[i] = 1;
  }

  const random = seededRandom(seed);
  if (jitter > 0) {
    const shortest = new Float64Array(xy.length / 2).fill(Infinity);
    forSides(elements, (a, b) => {
      const l = Math.hypot(xy[2 * a] - xy[2 * b], xy[2 * a + 1] - xy[2 * b + 1]);
      shortest[a] = Math.min(shortest[a], l);
      shortest[b] = Math.min(shortest[b], l);
    });
    const corner = new Uint8Array(xy.length / 2);
    for (let k = 0; k < elements.length; k++) if (k % 6 < 3) corner[elements[k]] = 1;
    for (let i = 0; i < corner.length; i++) {
      if (fixed[i] || !corner[i]) continue;
      xy[2 * i] += jitter * shortest[i] * (2 * random() - 1);
      xy[2 * i + 1] += jitter * shortest[i] * (2 * random() - 1);
    }
  }
  if (straight || jitter > 0 || bulge > 0) {
    forSides(elements, (a, b, m) => {
      if (fixed[m]) return;
      xy[2 * m] = 0.5 * (xy[2 * a] + xy[2 * b]);
      xy[2 * m + 1] = 0.5 * (xy[2 * a + 1] + xy[2 * b + 1]);
    });
  }
  if (bulge > 0) {
    const done = new Uint8Array(fixed);
    forSides(elements, (a, b, m) => {
      if (done[m]) return;
      done[m] = 1;
      const l = Math.hypot(xy[2 * a] - xy[2 * b], xy[2 * a + 1] - xy[2 * b + 1]);
      xy[2 * m] += bulge * l * (2 * random() - 1);
      xy[2 * m + 1] += bulge * l * (2 * random() - 1);
    });
  }

  const edges = outlineEdges(outline);
  const size = outlineDiagonal(outline);
  const sideElement: number[] = [];
  const sideLocal: number[] = [];
  const sideEdge: number[] = [];
  const sideU: number[] = [];
  for (let k = 0; k < 3 * count; k++) {
    if (neighbours[k] >= 0) continue;
    const e = Math.floor(k / 3);
    const s = k % 3;
    const ends = [elements[6 * e + s], elements[6 * e + ((s + 1) % 3)], elements[6 * e + 3 + s]];
    const { edge, u } = edgeOf(edges, ends, xy, size);
    sideElement.push(e);
    sideLocal.push(s);
    sideEdge.push(edge);
    sideU.push(u[0], u[1]);
  }

  const tieLeader: number[] = [];
  const tieFollower: number[] = [];
  const tieIndex: number[] = [];
  for (const [t, tie] of (outline.ties ?? []).entries()) {
    const nodesOn = (names: readonly string[]): number[] => {
      const set = new Set<number>();
      for (let b = 0; b < sideEdge.length; b++) {
        if (!names.includes(edges[sideEdge[b]].name)) continue;
        const at = 6 * sideElement[b];
        const s = sideLocal[b];
        for (const i of [elements[at + s], elements[at + ((s + 1) % 3)], elements[at + 3 + s]]) set.add(i);
      }
      return [...set];
    };
    const followers = nodesOn(tie.follower);
    for (const l of nodesOn(tie.leader)) {
      const [x, y] = movePoint(tie.motion, xy[2 * l], xy[2 * l + 1], [0, 0]);
      const f = followers.find((i) => Math.hypot(xy[2 * i] - x, xy[2 * i + 1] - y) < 1e-7 * size);
      if (f === undefined) throw new Error(`structured: node ${l} at (${x}, ${y}) has no image`);
      tieLeader.push(l);
      tieFollower.push(f);
      tieIndex.push(t);
    }
  }
  return {
    xy,
    elements,
    neighbours,
    sideElement: Uint32Array.from(sideElement),
    sideLocal: Uint8Array.from(sideLocal),
    sideEdge: Uint32Array.from(sideEdge),
    sideU: Float64Array.from(sideU),
    tieLeader: Uint32Array.from(tieLeader),
    tieFollower: Uint32Array.from(tieFollower),
    tieIndex: Uint32Array.from(tieIndex),
  };
}

/** Mulberry32, from memory: small, seeded, good enough to shake a mesh. */
export function seededRandom(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function forSides(elements: Uint32Array, visit: (a: number, b: number, m: number) => void): void {
  for (let e = 0; e < elements.length; e += 6) {
    for (let s = 0; s < 3; s++) visit(elements[e + s], elements[e + ((s + 1) % 3)], elements[e + 3 + s]);
  }
}

function edgeOf(
  edges: readonly Edge[],
  nodes: readonly number[],
  xy: Float64Array,
  size: number,
): { edge: number; u: number[] } {
  for (const [k, { curve }] of edges.entries()) {
    const u = nodes.map((i) => parameter(curve, xy[2 * i], xy[2 * i + 1]));
    const on = u.every((v, n) => {
      const [x, y] = curvePoint(curve, v, [0, 0]);
      return Math.hypot(x - xy[2 * nodes[n]], y - xy[2 * nodes[n] + 1]) < 1e-7 * size;
    });
    // the mid-side node tells apart two curves through the same ends; a full circle meets its own start again
    if (!on) continue;
    if (u[1] < u[2]) u[1] += 1;
    if (u[0] > u[2]) u[0] -= 1;
    return { edge: k, u: [Math.max(0, u[0]), Math.min(1, u[1])] };
  }
  throw new Error(
    `structured: side at (${xy[2 * nodes[2]]}, ${xy[2 * nodes[2] + 1]}) lies on no edge of the outline`,
  );
}

/** Arc-length fraction of the point of a line or arc nearest to (x, y). */
function parameter(c: Curve, x: number, y: number): number {
  if (c.kind === "line") {
    const dx = c.x1 - c.x0;
    const dy = c.y1 - c.y0;
    const u = ((x - c.x0) * dx + (y - c.y0) * dy) / (dx * dx + dy * dy);
    return Math.min(1, Math.max(0, u));
  }
  if (c.kind === "arc") {
    const turn = 2 * Math.PI;
    const sweep = c.end - c.start;
    let a = (Math.atan2(y - c.cy, x - c.cx) - c.start) * Math.sign(sweep);
    a -= Math.floor(a / turn) * turn;
    let u = a / Math.abs(sweep);
    if (a > turn - 1e-6) u = 0;
    return Math.min(1, u);
  }
  throw new Error("structured: lines and arcs only");
}
