import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import type { Equations } from "./equations.ts";
import type { Problem } from "./problem.ts";

/** Rigid motions with less than this share of the best held one's resistance count as free. */
const FREE = 1e-13;

/**
 * Says in words which rigid motion the supports and ties leave free, or returns null when all are held.
 *
 * Each piece of the mesh, joined over the sides of its elements, can shift and turn; every prescribed component, every tied pair and
 * every node in which two pieces meet like a hinge is one or two rows on those three numbers. What the rows do not see is free.
 */
export function freeMotion(problem: Problem, eq: Equations): string | null {
  const { mesh, outline } = problem;
  const { xy } = mesh;
  const { piece, pieces, hinges } = connectedPieces(mesh);
  const nodes = xy.length / 2;
  const centreX = new Float64Array(pieces);
  const centreY = new Float64Array(pieces);
  const size = new Float64Array(pieces);
  const members = new Uint32Array(pieces);
  for (let i = 0; i < nodes; i++) {
    centreX[piece[i]] += xy[2 * i];
    centreY[piece[i]] += xy[2 * i + 1];
    members[piece[i]]++;
  }
  for (let p = 0; p < pieces; p++) {
    centreX[p] /= members[p];
    centreY[p] /= members[p];
  }
  for (let i = 0; i < nodes; i++) {
    const d = Math.hypot(xy[2 * i] - centreX[piece[i]], xy[2 * i + 1] - centreY[piece[i]]);
    if (d > size[piece[i]]) size[piece[i]] = d;
  }

  const n = 3 * pieces;
  const rows = new MotionRows(n, (i, p, dx, dy, row) => {
    row[3 * p] += dx;
    row[3 * p + 1] += dy;
    row[3 * p + 2] += ((xy[2 * i] - centreX[p]) * dy - (xy[2 * i + 1] - centreY[p]) * dx) / size[p];
  });
  for (let i = 0; i < nodes; i++) {
    const k = eq.classOf[i];
    if (eq.held[2 * k]) rows.add(i, piece[i], eq.cos[i], eq.sin[i]);
    if (eq.held[2 * k + 1]) rows.add(i, piece[i], -eq.sin[i], eq.cos[i]);
  }
  for (let k = 0; k < mesh.tieFollower.length; k++) {
    const { angle } = outline.ties![mesh.tieIndex[k]].motion;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const follower = mesh.tieFollower[k];
    const leader = mesh.tieLeader[k];
    rows.addPair(follower, piece[follower], 1, 0, leader, piece[leader], -c, s);
    rows.addPair(follower, piece[follower], 0, 1, leader, piece[leader], -s, -c);
  }
  for (const { node, other } of hinges) {
    rows.addPair(node, piece[node], 1, 0, node, other, -1, 0);
    rows.addPair(node, piece[node], 0, 1, node, other, 0, -1);
  }

  const gram = Matrix.from1DArray(n, n, rows.gram);
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(gram, { assumeSymmetric: true });
  const most = Math.max(...realEigenvalues, 1e-300);
  const free: number[][] = [];
  for (let k = 0; k < n; k++) {
    if (realEigenvalues[k] > FREE * most) continue;
    free.push(eigenvectorMatrix.getColumn(k));
  }
  if (free.length === 0) return null;
  let p = 0; // the piece that moves most in the first free motion
  for (let q = 1; q < pieces; q++) {
    const moved = (k: number) => Math.hypot(free[0][3 * k], free[0][3 * k + 1], free[0][3 * k + 2]);
    if (moved(q) > moved(p)) p = q;
  }
  const where =
    pieces > 1 ? `the piece about (${centreX[p].toPrecision(5)}, ${centreY[p].toPrecision(5)})` : "the part";
  const words = free.length >= 3 ? ["move along x, along y and turn"] : free.map((m) => describe(m, p));
  const hinged = hinges.length > 0 ? " (pieces that touch in a single node turn there like a hinge)" : "";
  return `nothing holds ${where}: it can ${words.join(", and ")}${hinged}`;

  function describe(m: readonly number[], q: number): string {
    const tx = m[3 * q];
    const ty = m[3 * q + 1];
    const spin = m[3 * q + 2] / size[q];
    const shift = Math.hypot(tx, ty);
    if (Math.abs(spin) * size[q] < 1e-6 * shift) {
      if (Math.abs(ty) < 1e-6 * shift) return "move along x";
      if (Math.abs(tx) < 1e-6 * shift) return "move along y";
      const way = tx < 0 ? -shift : shift; // a line has no sense of its own
      return `move along (${(tx / way).toFixed(3)}, ${(ty / way).toFixed(3)})`;
    }
    const round = (v: number) => (Math.abs(v) < 1e-6 * size[q] ? 0 : Number(v.toPrecision(5)));
    return `turn about (${round(centreX[q] - ty / spin)}, ${round(centreY[q] + tx / spin)})`;
  }
}

/** Σ row rowᵀ over what is prescribed of the rigid motions, n × n. */
class MotionRows {
  readonly gram: Float64Array;
  readonly #row: Float64Array;
  /** Adds what the direction (dx, dy) at node i sees of the motions of piece p to a row. */
  readonly #put: (i: number, p: number, dx: number, dy: number, row: Float64Array) => void;

  constructor(n: number, put: (i: number, p: number, dx: number, dy: number, row: Float64Array) => void) {
    this.gram = new Float64Array(n * n);
    this.#row = new Float64Array(n);
    this.#put = put;
  }

  /** One component at node i, seen from piece p. */
  add(i: number, p: number, dx: number, dy: number): void {
    this.#put(i, p, dx, dy, this.#row);
    this.#close();
  }

  /** The sum of components at node i seen from piece p and at node j seen from piece q. */
  addPair(i: number, p: number, dx: number, dy: number, j: number, q: number, ex: number, ey: number): void {
    this.#put(i, p, dx, dy, this.#row);
    this.#put(j, q, ex, ey, this.#row);
    this.#close();
  }

  #close(): void {
    const row = this.#row;
    const n = row.length;
    for (let a = 0; a < n; a++) {
      if (row[a] === 0) continue;
      for (let b = 0; b < n; b++) this.gram[n * a + b] += row[a] * row[b];
    }
    row.fill(0);
  }
}

/** A node in which another piece meets the node's own, and no side of theirs. */
interface Hinge {
  readonly node: number;
  readonly other: number;
}

/** Pieces of a mesh that share no side, numbered from 0: that of each node (of a hinge, the first), and the hinges between them. */
function connectedPieces({ xy, elements }: Problem["mesh"]): {
  piece: Uint32Array;
  pieces: number;
  hinges: Hinge[];
} {
  const nodes = xy.length / 2;
  const count = elements.length / 6;
  // elements with a mid-side node in common share that side
  const up = new Int32Array(count);
  const find = (e: number): number => {
    let k = e;
    while (up[k] !== k) {
      up[k] = up[up[k]];
      k = up[k];
    }
    return k;
  };
  const across = new Int32Array(nodes).fill(-1);
  for (let e = 0; e < count; e++) {
    up[e] = e;
    for (let a = 3; a < 6; a++) {
      const middle = elements[6 * e + a];
      if (across[middle] < 0) across[middle] = e;
      else up[find(e)] = find(across[middle]);
    }
  }
  const number = new Int32Array(count).fill(-1);
  const piece = new Int32Array(nodes).fill(-1);
  const hinges: Hinge[] = [];
  let pieces = 0;
  for (let e = 0; e < count; e++) {
    const r = find(e);
    if (number[r] < 0) number[r] = pieces++;
    for (let a = 0; a < 6; a++) {
      const node = elements[6 * e + a];
      if (piece[node] < 0) piece[node] = number[r];
      else if (piece[node] !== number[r]) hinges.push({ node, other: number[r] });
    }
  }
  return { piece: Uint32Array.from(piece), pieces, hinges };
}
