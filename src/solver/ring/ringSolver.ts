import { Matrix, solve as solveDense } from "ml-matrix";
import { assemble, equationPattern } from "../assemble.ts";
import { equations, NO_NODE } from "../equations.ts";
import { freeMotion } from "../freeMotion.ts";
import { internalForces } from "../internalForces.ts";
import type { Problem, Solution } from "../problem.ts";
import { nodalResultant, sideLoads } from "../sideLoads.ts";
import { SolveError } from "../solveError.ts";
import {
  createWorkspace,
  type FactorWorkspace,
  matrixVector,
  type NodeMatrix,
  NotPositiveDefiniteError,
  solve,
} from "../sparse/index.ts";
import { analyseCutsLast, type CondensedSector, condenseSector } from "./condensedSector.ts";
import { type CutRing, cutRing, solveCutRing } from "./cutRing.ts";
import {
  freeRingMotions,
  moveRigidly,
  type PointRow,
  pointRows,
  type RigidMotion,
  rigidHarmonics,
} from "./ringMotions.ts";
import { type RingProblem, ringNodes } from "./ringProblem.ts";
import { type SectorEquations, sectorEquations } from "./sectorEquations.ts";

/** A scaled residual down here is rounding and no measure of what is better. */
const ROUNDING = 1e-15;

/** As for `solveProblem`. */
export interface RingOptions {
  readonly workspace?: FactorWorkspace;
}

/**
 * Displacements of a ring of identical sectors under any loads, the same as `solveProblem` finds on the whole mesh, at
 * about the cost of one sector: see `RingSolver`.
 * @throws Error in words when the ring is not made of copies alike, or a rigid motion is left free.
 */
export function solveRing(problem: RingProblem, options: RingOptions = {}): Solution {
  return new RingSolver(problem, options).solve();
}

/**
 * The sector is condensed onto its two cuts once (`condenseSector`); the ring of cuts is solved harmonic by harmonic
 * (`cutRing`); each copy's inside follows from its cuts, all copies being right-hand sides of one solve:
 *
 *     loads of copies f_k → (K + D) x_k = f_k → condensed loads S' x_k,B → ring of cuts → u_k,B
 *                         → (K + D) y_k = [0; S' (u_k,B − x_k,B)] → u_k = x_k + y_k
 *
 * Everything is exact, in the sense that the stiffness is that of the whole mesh; one step of iterative refinement on the whole
 * ring, with forces summed from the elements, takes the rounding away. Points are held last: under balanced forces they only set
 * the rigid motion.
 */
export class RingSolver {
  readonly #problem: RingProblem;
  readonly #nodeOf: Uint32Array;
  readonly #sector: SectorEquations;
  readonly #motions: readonly RigidMotion[];
  readonly #points: readonly PointRow[];
  readonly #matrix: NodeMatrix;
  readonly #lift: Float64Array;
  readonly #condensed: CondensedSector;
  readonly #ring: CutRing;
  readonly #times: { readonly assemble: number; readonly order: number; readonly factor: number };

  constructor(problem: RingProblem, { workspace = createWorkspace() }: RingOptions = {}) {
    this.#problem = problem;
    this.#nodeOf = ringNodes(problem);
    this.#sector = sectorEquations(problem, this.#nodeOf);
    this.#motions = freeRingMotions(problem, this.#sector);
    this.#points = pointRows(problem);
    const { eq, cut } = this.#sector;
    const one: Problem = { ...problem, outline: problem.sector.outline, mesh: problem.sector.mesh };
    checkPoints(problem, this.#motions, this.#points);
    const t0 = performance.now();
    const pattern = equationPattern(one.mesh, eq);
    const { matrix, lift } = assemble(one, eq, pattern);
    const t1 = performance.now();
    const symbolic = analyseCutsLast(pattern.pattern, 2 * cut);
    const t2 = performance.now();
    try {
      this.#condensed = condenseSector(matrix, symbolic, 2 * cut, workspace);
      this.#ring = cutRing(
        this.#condensed,
        problem.copies,
        rigidHarmonics(problem, this.#sector, this.#motions),
      );
    } catch (error) {
      if (!(error instanceof NotPositiveDefiniteError)) throw error;
      const i = eq.equation.indexOf(error.node);
      const [x, y] = one.mesh.xy.subarray(2 * i, 2 * i + 2);
      throw new SolveError(
        `the stiffness of a sector has no resistance at (${x.toPrecision(6)}, ${y.toPrecision(6)})`,
        "two parts touch in a single node, or an element there is close to flat",
        { cause: error },
      );
    }
    this.#matrix = matrix;
    this.#lift = lift;
    this.#times = { assemble: t1 - t0, order: t2 - t1, factor: performance.now() - t2 };
  }

  /** Number of equations of the whole ring, as the plain solver counts them. */
  get unknowns(): number {
    const { eq, cut } = this.#sector;
    // a node altogether held has none; what its edge leaves free, its point may hold
    const rows = new Map<number, number>();
    for (const { node } of this.#points) rows.set(node, (rows.get(node) ?? 0) + 1);
    let gone = 0;
    for (const [node, count] of rows) {
      const i = this.#nodeOf.indexOf(node) % eq.equation.length;
      if (count + eq.held[2 * i] + eq.held[2 * i + 1] === 2) gone++;
    }
    return 2 * (this.#problem.copies * (eq.count - cut) - gone);
  }

  /** Solves under the problem's own loads. */
  solve(): Solution {
    const t0 = performance.now();
    const problem = this.#problem;
    const { factor: f } = this.#condensed;
    const load = sideLoads(problem, problem.loads);
    const balanced = this.#balanced(load);
    const rhs = this.#gather(balanced);
    const n = this.#lift.length;
    for (let at = 0; at < rhs.length; at += n) for (let j = 0; j < n; j++) rhs[at + j] += this.#lift[j];
    const q = this.#solveOnce(rhs);
    const scale = this.#scale(q, rhs);
    const first = this.#spread(q, true);
    this.#holdPoints(first, true);
    let found = this.#checked(first, balanced, scale);
    // the first forces carry the rounding of the assembled stiffness, which a thin ring of many teeth, soft as it is, magnifies;
    // forces from the elements themselves do not, so one step takes it away though the residual is down to rounding before
    const better = this.#spread(this.#solveOnce(found.missing), false);
    for (let k = 0; k < better.length; k++) better[k] += first[k];
    this.#holdPoints(better, true);
    const second = this.#checked(better, balanced, scale);
    if (second.residual <= Math.max(found.residual, ROUNDING)) found = second;
    const { displacement, internal: reaction, strainEnergy, residual } = found;
    for (let k = 0; k < load.length; k++) reaction[k] -= load[k];
    const size = this.#ring.size;
    return {
      displacement,
      load,
      reaction,
      strainEnergy,
      residual,
      halfWork: this.#halfWork(displacement, load, reaction),
      unknowns: this.unknowns,
      factorNonZeros: f.statistics.factorNonZeros + this.#ring.harmonics.length * size * (size + 1),
      times: { ...this.#times, solve: performance.now() - t0 },
    };
  }

  /** Displacements, 2 × nodes of the whole mesh, mm, under nodal forces alone (N, global frame), all prescribed values taken as zero. */
  solveNodal(load: Float64Array): Float64Array {
    if (load.length !== this.#problem.mesh.xy.length) {
      throw new Error(`solve: ${load.length} nodal forces for ${this.#problem.mesh.xy.length / 2} nodes`);
    }
    const u = this.#spread(this.#solveOnce(this.#gather(this.#balanced(load))), false);
    this.#holdPoints(u, false);
    return u;
  }

  /** Displacements with the forces they make inside the elements, and what these miss of the (balanced) load. */
  #checked(displacement: Float64Array, load: Float64Array, scale: number) {
    const internal = new Float64Array(load.length);
    const strainEnergy = internalForces(this.#problem, displacement, internal);
    const gap = new Float64Array(load.length);
    for (let k = 0; k < gap.length; k++) gap[k] = load[k] - internal[k];
    const missing = this.#gather(gap);
    this.#joinCuts(missing);
    let worst = 0;
    // written so that a NaN is kept
    for (const r of missing) if (!(Math.abs(r) <= worst)) worst = Math.abs(r);
    return { displacement, internal, strainEnergy, missing, residual: worst / scale };
  }

  /** Nodal forces together with what points must hold against so that the ring stands still. */
  #balanced(load: Float64Array): Float64Array {
    const rows = this.#points;
    if (rows.length === 0) return load;
    const { xy } = this.#problem.mesh;
    const out = load.slice();
    const { fx, fy, moment } = nodalResultant(xy, load);
    const sum = this.#motions.map(({ tx, ty, turn, cx, cy }) => {
      return tx * fx + ty * fy + turn * (moment - cx * fy + cy * fx);
    });
    const held = solveDense(this.#motionAtPoints().transpose(), Matrix.columnVector(sum)).to1DArray();
    for (const [r, { node, dx, dy }] of rows.entries()) {
      out[2 * node] -= held[r] * dx;
      out[2 * node + 1] -= held[r] * dy;
    }
    return out;
  }

  /** Component of each free motion (column) along each row that a point is held by. */
  #motionAtPoints(): Matrix {
    return motionAtPoints(this.#problem, this.#motions, this.#points);
  }

  /** Sets the rigid motion so that the points are where they are held. */
  #holdPoints(u: Float64Array, prescribed: boolean): void {
    const rows = this.#points;
    if (rows.length === 0) return;
    const { xy } = this.#problem.mesh;
    const gap = rows.map(
      ({ node, dx, dy, value }) => (prescribed ? value : 0) - dx * u[2 * node] - dy * u[2 * node + 1],
    );
    const amount = solveDense(this.#motionAtPoints(), Matrix.columnVector(gap)).to1DArray();
    let tx = 0;
    let ty = 0;
    let turn = 0;
    for (const [k, m] of this.#motions.entries()) {
      const [ox, oy] = moveRigidly(m, 0, 0);
      tx += amount[k] * ox;
      ty += amount[k] * oy;
      turn += amount[k] * m.turn;
    }
    for (let i = 0; i < u.length; i += 2) {
      u[i] += tx - turn * xy[i + 1];
      u[i + 1] += ty + turn * xy[i];
    }
    // supports are met to the last digit
    const node = new Map<number, PointRow[]>();
    for (const row of rows) node.set(row.node, [...(node.get(row.node) ?? []), row]);
    for (const [i, held] of node) {
      for (const { dx, dy, value } of held) {
        const off = (prescribed ? value : 0) - dx * u[2 * i] - dy * u[2 * i + 1];
        u[2 * i] += off * dx;
        u[2 * i + 1] += off * dy;
      }
    }
  }

  /** Forces of the whole mesh's nodes to the copies' unknowns, those of a shared node to the copy it leads. */
  #gather(load: Float64Array): Float64Array {
    const { copies } = this.#problem;
    const { eq, follows, motion, closed } = this.#sector;
    const { equation, held, cos, sin } = eq;
    const nodes = equation.length;
    const n = 2 * eq.count;
    const out = new Float64Array(n * copies);
    for (let k = 0; k < copies; k++) {
      const c = Math.cos(k * motion.angle);
      const s = Math.sin(k * motion.angle);
      for (let i = 0; i < nodes; i++) {
        const j = equation[i];
        if (j === NO_NODE) continue;
        if (follows[i] && (closed || k < copies - 1)) continue;
        const w = 2 * this.#nodeOf[k * nodes + i];
        // a copy's own axes, then the node's frame in them
        const fx = c * load[w] + s * load[w + 1];
        const fy = c * load[w + 1] - s * load[w];
        const at = k * n + 2 * j;
        if (!held[2 * i]) out[at] += cos[i] * fx + sin[i] * fy;
        if (!held[2 * i + 1]) out[at + 1] += cos[i] * fy - sin[i] * fx;
      }
    }
    return out;
  }

  /** Displacements of the whole mesh's nodes from the copies' unknowns. */
  #spread(q: Float64Array, prescribed: boolean): Float64Array {
    const { copies, mesh } = this.#problem;
    const { eq, follows, motion, closed } = this.#sector;
    const { equation, held, value, cos, sin } = eq;
    const nodes = equation.length;
    const n = 2 * eq.count;
    const u = new Float64Array(mesh.xy.length);
    for (let k = 0; k < copies; k++) {
      const c = Math.cos(k * motion.angle);
      const s = Math.sin(k * motion.angle);
      for (let i = 0; i < nodes; i++) {
        if (follows[i] && (closed || k < copies - 1)) continue;
        const at = k * n + 2 * equation[i];
        // held values are set, not read back from the solve
        const qx = held[2 * i] ? (prescribed ? value[2 * i] : 0) : q[at];
        const qy = held[2 * i + 1] ? (prescribed ? value[2 * i + 1] : 0) : q[at + 1];
        const ux = cos[i] * qx - sin[i] * qy;
        const uy = sin[i] * qx + cos[i] * qy;
        const w = 2 * this.#nodeOf[k * nodes + i];
        u[w] = c * ux - s * uy;
        u[w + 1] = s * ux + c * uy;
      }
    }
    return u;
  }

  /** Unknowns of all copies under loads of all copies; what meets on a cut is summed. */
  #solveOnce(rhs: Float64Array): Float64Array {
    const { copies } = this.#problem;
    const { factor: f, size, shifted } = this.#condensed;
    const n = rhs.length / copies;
    const from = n - size; // cuts come last
    const half = size / 2;
    const x = rhs.slice();
    solve(f, x, copies);
    const condensed = new Float64Array(size * copies);
    for (let k = 0; k < copies; k++) {
      timesSquare(shifted, x, k * n + from, condensed, k * size, size);
    }
    const u = solveCutRing(this.#ring, condensed);
    const y = new Float64Array(rhs.length);
    const d = new Float64Array(size);
    for (let k = 0; k < copies; k++) {
      const next = ((k + 1) % copies) * half;
      const at = k * n + from;
      for (let i = 0; i < half; i++) {
        d[i] = u[k * half + i] - x[at + i];
        d[half + i] = u[next + i] - x[at + half + i];
      }
      timesSquare(shifted, d, 0, y, at, size);
    }
    solve(f, y, copies);
    for (let p = 0; p < y.length; p++) y[p] += x[p];
    for (let k = 0; k < copies; k++) {
      const next = ((k + 1) % copies) * half;
      const at = k * n + from;
      for (let i = 0; i < half; i++) {
        y[at + i] = u[k * half + i];
        y[at + half + i] = u[next + i];
      }
    }
    return y;
  }

  /** max row of (|K| |q| + |f|), what residuals are measured by: see `residualNorm`. 1 where everything is zero. */
  #scale(q: Float64Array, rhs: Float64Array): number {
    const n = rhs.length / this.#problem.copies;
    const absolute = { ...this.#matrix, values: this.#matrix.values.map(Math.abs) };
    const sizes = new Float64Array(rhs.length);
    const positive = new Float64Array(n);
    for (let from = 0; from < rhs.length; from += n) {
      for (let j = 0; j < n; j++) positive[j] = Math.abs(q[from + j]);
      matrixVector(absolute, positive, sizes.subarray(from, from + n));
    }
    for (let j = 0; j < sizes.length; j++) sizes[j] += Math.abs(rhs[j]);
    this.#joinCuts(sizes);
    let scale = 0;
    for (let j = 0; j < sizes.length; j++) if (sizes[j] > scale) scale = sizes[j];
    return scale || 1;
  }

  /** Sums what stands on both sides of each cut, on the leading side; the following side is left with zeros. */
  #joinCuts(values: Float64Array): void {
    const { copies } = this.#problem;
    const { inner, cut } = this.#sector;
    const n = values.length / copies;
    const lead = 2 * inner;
    const follow = lead + 2 * cut;
    for (let k = 0; k < copies; k++) {
      const here = k * n + follow;
      const next = ((k + 1) % copies) * n + lead;
      for (let j = 0; j < 2 * cut; j++) {
        values[next + j] += values[here + j];
        values[here + j] = 0;
      }
    }
  }

  /** ½ (loads · displacements + reactions · prescribed displacements). */
  #halfWork(u: Float64Array, load: Float64Array, reaction: Float64Array): number {
    const { copies } = this.#problem;
    const { eq, follows, motion, closed } = this.#sector;
    const nodes = eq.equation.length;
    let work = 0;
    for (let k = 0; k < load.length; k++) work += load[k] * u[k];
    for (const { value, at } of this.#points) {
      for (const { node, dx, dy } of at)
        work += value * (dx * reaction[2 * node] + dy * reaction[2 * node + 1]);
    }
    for (let i = 0; i < nodes; i++) {
      const vx = eq.held[2 * i] ? eq.value[2 * i] : 0;
      const vy = eq.held[2 * i + 1] ? eq.value[2 * i + 1] : 0;
      if (vx === 0 && vy === 0) continue;
      for (let k = 0; k < copies; k++) {
        if (follows[i] && (closed || k < copies - 1)) continue;
        const angle = k * motion.angle;
        const c = Math.cos(angle) * eq.cos[i] - Math.sin(angle) * eq.sin[i];
        const s = Math.sin(angle) * eq.cos[i] + Math.cos(angle) * eq.sin[i];
        const w = 2 * this.#nodeOf[k * nodes + i];
        work += vx * (c * reaction[w] + s * reaction[w + 1]) + vy * (c * reaction[w + 1] - s * reaction[w]);
      }
    }
    return work / 2;
  }
}

function motionAtPoints(
  { mesh: { xy } }: RingProblem,
  motions: readonly RigidMotion[],
  rows: readonly PointRow[],
): Matrix {
  const out = Matrix.zeros(rows.length, motions.length);
  for (const [r, { node, dx, dy }] of rows.entries()) {
    for (const [k, m] of motions.entries()) {
      const [u, v] = moveRigidly(m, xy[2 * node], xy[2 * node + 1]);
      out.set(r, k, dx * u + dy * v);
    }
  }
  return out;
}

/** Points must hold every motion that is left free, each once: more would strain the ring where this solver cannot see it. */
function checkPoints(problem: RingProblem, motions: readonly RigidMotion[], rows: readonly PointRow[]): void {
  if (rows.length > motions.length) {
    throw new Error(
      `solveRing: points are held in ${rows.length} directions where ${motions.length} rigid motions are left free`,
    );
  }
  if (rows.length === motions.length) {
    if (rows.length === 0) return;
    const at = motionAtPoints(problem, motions, rows);
    const gram = at.transpose().mmul(at);
    // singular when a motion leaves all held points where they are
    if (determinant(gram) > 1e-12 * (gram.trace() / rows.length) ** rows.length) return;
  }
  const free = freeMotion(problem, equations(problem));
  throw new Error(
    `support: ${free ?? "a rigid motion is left free"}; hold an edge or a point against that (u, v, or v with polar)`,
  );
}

/** Of a matrix of at most three rows. */
function determinant(m: Matrix): number {
  const [a, b, c] = [0, 1, 2].map((r) => (r < m.rows ? m.getRow(r) : []));
  if (m.rows === 1) return a[0];
  if (m.rows === 2) return a[0] * b[1] - a[1] * b[0];
  return (
    a[0] * (b[1] * c[2] - b[2] * c[1]) -
    a[1] * (b[0] * c[2] - b[2] * c[0]) +
    a[2] * (b[0] * c[1] - b[1] * c[0])
  );
}

/** out[to …] = A v[from …], A symmetric of `size` rows. */
function timesSquare(
  a: Float64Array,
  v: Float64Array,
  from: number,
  out: Float64Array,
  to: number,
  size: number,
): void {
  for (let i = 0; i < size; i++) {
    const row = i * size;
    let sum = 0;
    for (let j = 0; j < size; j++) sum += a[row + j] * v[from + j];
    out[to + i] = sum;
  }
}
