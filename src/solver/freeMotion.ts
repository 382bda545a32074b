import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import type { Equations } from "./equations.ts";
import type { Problem } from "./problem.ts";

/** Rigid motions with less than this share of the best held one's resistance count as free. */
const FREE = 1e-10;

/**
 * Says in words which rigid motion the supports and ties leave free, or returns null when all are held.
 *
 * Each connected piece of the mesh can shift and turn; every prescribed component and every tied pair is one or two
 * rows on those three numbers. What the rows do not see is free.
 */
export function freeMotion(problem: Problem, eq: Equations): string | null {
  const { mesh, outline } = problem;
  const { xy } = mesh;
  const { piece, pieces } = connectedPieces(mesh);
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
  const rows = new MotionRows(n, (i, dx, dy, row) => {
    const p = piece[i];
    row[3 * p] += dx;
    row[3 * p + 1] += dy;
    row[3 * p + 2] += ((xy[2 * i] - centreX[p]) * dy - (xy[2 * i + 1] - centreY[p]) * dx) / size[p];
  });
  for (let i = 0; i < nodes; i++) {
    const k = eq.classOf[i];
    if (eq.held[2 * k]) rows.add(i, eq.cos[i], eq.sin[i]);
    if (eq.held[2 * k + 1]) rows.add(i, -eq.sin[i], eq.cos[i]);
  }
  for (let k = 0; k < mesh.tieFollower.length; k++) {
    const { angle } = outline.ties![mesh.tieIndex[k]].motion;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const follower = mesh.tieFollower[k];
    const leader = mesh.tieLeader[k];
    rows.addPair(follower, 1, 0, leader, -c, s);
    rows.addPair(follower, 0, 1, leader, -s, -c);
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
  return `nothing holds ${where}: it can ${words.join(", and ")}`;

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
  /** Adds what the direction (dx, dy) at node i sees of the motions to a row. */
  readonly #put: (i: number, dx: number, dy: number, row: Float64Array) => void;

  constructor(n: number, put: (i: number, dx: number, dy: number, row: Float64Array) => void) {
    this.gram = new Float64Array(n * n);
    this.#row = new Float64Array(n);
    this.#put = put;
  }

  /** One component at one node. */
  add(i: number, dx: number, dy: number): void {
    this.#put(i, dx, dy, this.#row);
    this.#close();
  }

  /** The sum of components at two nodes. */
  addPair(i: number, dx: number, dy: number, j: number, ex: number, ey: number): void {
    this.#put(i, dx, dy, this.#row);
    this.#put(j, ex, ey, this.#row);
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

/** Pieces of a mesh that share no node, numbered from 0. */
function connectedPieces({ xy, elements }: Problem["mesh"]): { piece: Uint32Array; pieces: number } {
  const nodes = xy.length / 2;
  const up = new Int32Array(nodes);
  for (let i = 0; i < nodes; i++) up[i] = i;
  const find = (i: number): number => {
    let k = i;
    while (up[k] !== k) {
      up[k] = up[up[k]];
      k = up[k];
    }
    return k;
  };
  for (let k = 0; k < elements.length; k += 6) {
    const r = find(elements[k]);
    for (let a = 1; a < 6; a++) up[find(elements[k + a])] = r;
  }
  const piece = new Uint32Array(nodes);
  const number = new Int32Array(nodes).fill(-1);
  let pieces = 0;
  for (let i = 0; i < nodes; i++) {
    const r = find(i);
    if (number[r] < 0) number[r] = pieces++;
    piece[i] = number[r];
  }
  return { piece, pieces };
}
