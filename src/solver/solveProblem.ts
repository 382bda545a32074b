import { type Assembled, assemble, equationPattern, gather, spread } from "./assemble.ts";
import { type Equations, equations } from "./equations.ts";
import { freeMotion } from "./freeMotion.ts";
import { internalForces } from "./internalForces.ts";
import type { EdgeLoad, Problem, Solution } from "./problem.ts";
import { sideLoads } from "./sideLoads.ts";
import { analyse, factor, solve } from "./skyline.ts";
import type { ElementPattern, NodeMatrix } from "./sparse/index.ts";

/**
 * Displacements of a plane problem.
 * @throws Error in words when a support contradicts another, when a rigid motion is left free, or when the mesh is bad.
 */
export function solveProblem(problem: Problem): Solution {
  return new Solver(problem).solve();
}

/** One solution for each set of loads, all from one factor; the problem's own loads are not added. */
export function solveLoads(problem: Problem, loadSets: readonly (readonly EdgeLoad[])[]): Solution[] {
  return new Solver(problem).solveLoads(loadSets);
}

/**
 * Keeps what can be used again. Between two solves of one problem that is the factor; after `update` with a problem
 * of the same topology (same elements, ties and held nodes; other coordinates, material, thickness, loads, prescribed
 * values) it is the pattern, the order and the symbolic factor.
 */
export class Solver {
  #problem: Problem;
  #eq: Equations;
  #pattern: ElementPattern;
  #symbolic: ReturnType<typeof analyse>;
  #values: Float64Array | null = null;
  #assembled: Assembled | null = null;
  #factor: ReturnType<typeof factor> | null = null;
  #times = { assemble: 0, order: 0, factor: 0 };

  constructor(problem: Problem) {
    checkMesh(problem);
    this.#problem = problem;
    this.#eq = heldEquations(problem);
    const t0 = performance.now();
    this.#pattern = equationPattern(problem.mesh, this.#eq);
    const t1 = performance.now();
    this.#symbolic = analyse(this.#pattern.pattern);
    const t2 = performance.now();
    this.#times = { assemble: t1 - t0, order: t2 - t1, factor: 0 };
  }

  /** Number of equations. */
  get unknowns(): number {
    return 2 * this.#eq.count;
  }

  /** Takes another problem; the symbolic analysis stays when the topology is the same. */
  update(problem: Problem): void {
    checkMesh(problem);
    const eq = heldEquations(problem);
    const before = this.#problem;
    this.#problem = problem;
    this.#assembled = null;
    this.#factor = null;
    this.#times = { assemble: 0, order: 0, factor: 0 };
    const same =
      equal(before.mesh.elements, problem.mesh.elements) &&
      equal(this.#eq.classOf, eq.classOf) &&
      equal(this.#eq.equation, eq.equation);
    this.#eq = eq;
    if (same) return;
    const t0 = performance.now();
    this.#pattern = equationPattern(problem.mesh, eq);
    this.#values = null;
    const t1 = performance.now();
    this.#symbolic = analyse(this.#pattern.pattern);
    this.#times = { assemble: t1 - t0, order: performance.now() - t1, factor: 0 };
  }

  /** Solves under the problem's own loads. */
  solve(): Solution {
    return this.solveLoads([this.#problem.loads])[0];
  }

  /** Solves under each set of loads in place of the problem's own. Supports stay. */
  solveLoads(loadSets: readonly (readonly EdgeLoad[])[]): Solution[] {
    const problem = this.#problem;
    const eq = this.#eq;
    if (this.#assembled === null || this.#factor === null) {
      const t0 = performance.now();
      this.#assembled = assemble(problem, eq, this.#pattern, this.#values ?? undefined);
      this.#values = this.#assembled.matrix.values;
      const t1 = performance.now();
      this.#factor = factor(this.#symbolic, this.#assembled.matrix);
      this.#times.assemble += t1 - t0;
      this.#times.factor = performance.now() - t1;
    }
    const { matrix, lift } = this.#assembled;
    const f = this.#factor;
    return loadSets.map((loads) => {
      const t0 = performance.now();
      const load = sideLoads(problem, loads);
      const rhs = lift.slice();
      gather(eq, load, rhs);
      const { q, residual } = refinedSolve(matrix, rhs, (b) => solve(f, b));
      const displacement = new Float64Array(load.length);
      spread(eq, q, displacement);
      const reaction = new Float64Array(load.length);
      const strainEnergy = internalForces(problem, displacement, reaction);
      for (let k = 0; k < load.length; k++) reaction[k] -= load[k];
      return {
        displacement,
        load,
        reaction,
        residual,
        strainEnergy,
        halfWork: halfWork(eq, displacement, load, reaction),
        unknowns: 2 * eq.count,
        factorNonZeros: f.nonZeros,
        times: { ...this.#times, solve: performance.now() - t0 },
      };
    });
  }
}

function equal(a: Uint32Array, b: Uint32Array): boolean {
  if (a === b) return true;
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}

function checkMesh({ mesh }: Problem): void {
  const { xy, elements } = mesh;
  if (elements.length === 0 || elements.length % 6 !== 0) {
    throw new Error(`solve: ${elements.length} element entries are no multiple of six`);
  }
  const used = new Uint8Array(xy.length / 2);
  for (let k = 0; k < elements.length; k++) {
    if (elements[k] >= used.length) {
      throw new Error(
        `solve: element ${Math.floor(k / 6)} names node ${elements[k]} of ${used.length} nodes`,
      );
    }
    used[elements[k]] = 1;
  }
  const lone = used.indexOf(0);
  if (lone >= 0)
    throw new Error(`solve: node ${lone} at (${xy[2 * lone]}, ${xy[2 * lone + 1]}) belongs to no element`);
}

/** Equations of a problem whose rigid motions are all held. @throws Error saying which is not, and what to hold. */
function heldEquations(problem: Problem): Equations {
  const eq = equations(problem);
  const free = freeMotion(problem, eq);
  if (free !== null) {
    throw new Error(`support: ${free}; hold an edge or a point against that (u, v, or v with polar)`);
  }
  return eq;
}

/**
 * Solves and takes one step of iterative refinement, kept only where it lowers the residual. `residual` is
 * max |rhs − A q| over max (|A| |q| + |rhs|).
 */
function refinedSolve(
  matrix: NodeMatrix,
  rhs: Float64Array,
  solveOnce: (b: Float64Array) => Float64Array,
): { q: Float64Array; residual: number } {
  const r = new Float64Array(rhs.length);
  let q: Float64Array = solveOnce(rhs);
  let residual = scaledResidual(matrix, q, rhs, r);
  if (residual === 0) return { q, residual };
  const correction = solveOnce(r);
  const better = q.slice();
  for (let k = 0; k < q.length; k++) better[k] += correction[k];
  const after = scaledResidual(matrix, better, rhs, r);
  if (after < residual) {
    q = better;
    residual = after;
  }
  return { q, residual };
}

/** Writes r = rhs − A q; returns max |r| / max (|A| |q| + |rhs|), 0 for an empty or resting system. */
function scaledResidual(
  { n, colPtr, rowIdx, values }: NodeMatrix,
  q: Float64Array,
  rhs: Float64Array,
  r: Float64Array,
): number {
  const size = new Float64Array(rhs.length);
  for (let k = 0; k < rhs.length; k++) {
    r[k] = rhs[k];
    size[k] = Math.abs(rhs[k]);
  }
  for (let j = 0; j < n; j++) {
    const x = q[2 * j];
    const y = q[2 * j + 1];
    const ax = Math.abs(x);
    const ay = Math.abs(y);
    const d = 4 * colPtr[j];
    const off = values[d + 1];
    r[2 * j] -= values[d] * x + off * y;
    r[2 * j + 1] -= off * x + values[d + 3] * y;
    size[2 * j] += values[d] * ax + Math.abs(off) * ay;
    size[2 * j + 1] += Math.abs(off) * ax + values[d + 3] * ay;
    let sx = 0;
    let sy = 0;
    let tx = 0;
    let ty = 0;
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const i = rowIdx[p];
      const v0 = values[4 * p];
      const v1 = values[4 * p + 1];
      const v2 = values[4 * p + 2];
      const v3 = values[4 * p + 3];
      const ix = q[2 * i];
      const iy = q[2 * i + 1];
      r[2 * i] -= v0 * x + v2 * y;
      r[2 * i + 1] -= v1 * x + v3 * y;
      size[2 * i] += Math.abs(v0) * ax + Math.abs(v2) * ay;
      size[2 * i + 1] += Math.abs(v1) * ax + Math.abs(v3) * ay;
      sx += v0 * ix + v1 * iy;
      sy += v2 * ix + v3 * iy;
      tx += Math.abs(v0 * ix) + Math.abs(v1 * iy);
      ty += Math.abs(v2 * ix) + Math.abs(v3 * iy);
    }
    r[2 * j] -= sx;
    r[2 * j + 1] -= sy;
    size[2 * j] += tx;
    size[2 * j + 1] += ty;
  }
  let most = 0;
  let scale = 0;
  for (let k = 0; k < r.length; k++) {
    if (Math.abs(r[k]) > most) most = Math.abs(r[k]);
    if (size[k] > scale) scale = size[k];
  }
  return scale > 0 ? most / scale : 0;
}

/** ½ (loads · displacements + reactions · prescribed displacements); tie forces do no work between them. */
function halfWork(eq: Equations, u: Float64Array, load: Float64Array, reaction: Float64Array): number {
  let work = 0;
  for (let k = 0; k < load.length; k++) work += load[k] * u[k];
  for (let i = 0; i < eq.classOf.length; i++) {
    const k = eq.classOf[i];
    const rx = reaction[2 * i];
    const ry = reaction[2 * i + 1];
    if (eq.held[2 * k]) work += (eq.cos[i] * rx + eq.sin[i] * ry) * eq.value[2 * k];
    if (eq.held[2 * k + 1]) work += (eq.cos[i] * ry - eq.sin[i] * rx) * eq.value[2 * k + 1];
  }
  return work / 2;
}
