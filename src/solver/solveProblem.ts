import { type Assembled, assemble, equationPattern, gather, spread } from "./assemble.ts";
import { energiesAgree, isUnstrained } from "./energyGap.ts";
import { type Equations, equations } from "./equations.ts";
import { freeMotion } from "./freeMotion.ts";
import { internalForces } from "./internalForces.ts";
import type { EdgeLoad, Problem, Solution } from "./problem.ts";
import { sideLoads } from "./sideLoads.ts";
import {
  analyse,
  createWorkspace,
  type ElementPattern,
  type Factor,
  type FactorWorkspace,
  factor,
  type NodeMatrix,
  NotPositiveDefiniteError,
  type Ordering,
  residualNorm,
  type Symbolic,
  solve,
} from "./sparse/index.ts";

export interface SolveOptions {
  /**
   * Memory of the factorisation. Handing the same one to solve after solve spares fresh memory each time; the factors of
   * solvers that share it overwrite each other, so each must be done before the next starts.
   */
  readonly workspace?: FactorWorkspace;
  /** How the unknowns are ordered for elimination: "automatic" takes dissection for large meshes, minimum degree for others. */
  readonly ordering?: Ordering;
}

/**
 * Displacements of a plane problem.
 * @throws Error in words when supports contradict each other, when a rigid motion is left free, or when the mesh is bad.
 */
export function solveProblem(problem: Problem, options: SolveOptions = {}): Solution {
  return new Solver(problem, options).solve();
}

/**
 * One solution for each set of loads, all from one factor; they take the place of the problem's own loads. What reads loads
 * again afterwards (`recoverStress` does) must be given `{ ...problem, loads }` with the set in question.
 */
export function solveLoads(
  problem: Problem,
  loadSets: readonly (readonly EdgeLoad[])[],
  options: SolveOptions = {},
): Solution[] {
  return new Solver(problem, options).solveLoads(loadSets);
}

/**
 * Keeps what can be used again. Between two solves of one problem that is the factor; after `update` with a problem
 * of the same topology (same elements, ties and wholly held nodes; other coordinates, material, thickness, loads,
 * prescribed values) it is the pattern, the order and the symbolic factor.
 */
export class Solver {
  #problem: Problem;
  #eq: Equations;
  #pattern: ElementPattern;
  #symbolic: Symbolic;
  #assembled: Assembled | null = null;
  #factor: Factor | null = null;
  #times = { assemble: 0, order: 0, factor: 0 };
  /** Matrix values, kept for the next `update`. */
  #values: Float64Array | undefined;
  readonly #workspace: FactorWorkspace;
  readonly #ordering: Ordering | undefined;

  constructor(problem: Problem, { workspace = createWorkspace(), ordering }: SolveOptions = {}) {
    checkElements(problem);
    this.#workspace = workspace;
    this.#ordering = ordering;
    this.#problem = problem;
    this.#eq = heldEquations(problem);
    const t0 = performance.now();
    this.#pattern = equationPattern(problem.mesh, this.#eq);
    const t1 = performance.now();
    this.#symbolic = analyse(this.#pattern.pattern, this.#ordering);
    this.#times = { assemble: t1 - t0, order: performance.now() - t1, factor: 0 };
  }

  /** Number of equations. */
  get unknowns(): number {
    return 2 * this.#eq.count;
  }

  /** Takes another problem; the symbolic analysis stays when the topology is the same. */
  update(problem: Problem): void {
    checkElements(problem);
    const eq = heldEquations(problem);
    const before = this.#problem;
    const same =
      equal(before.mesh.elements, problem.mesh.elements) &&
      equal(this.#eq.classOf, eq.classOf) &&
      equal(this.#eq.equation, eq.equation);
    this.#problem = problem;
    this.#eq = eq;
    this.#assembled = null;
    this.#factor = null;
    this.#times = { assemble: 0, order: 0, factor: 0 };
    if (same) return;
    this.#values = undefined;
    const t0 = performance.now();
    this.#pattern = equationPattern(problem.mesh, eq);
    const t1 = performance.now();
    this.#symbolic = analyse(this.#pattern.pattern, this.#ordering);
    this.#times = { assemble: t1 - t0, order: performance.now() - t1, factor: 0 };
  }

  /** Solves under the problem's own loads. */
  solve(): Solution {
    return this.solveLoads([this.#problem.loads])[0];
  }

  /** Solves under each set of loads in place of the problem's own. Supports stay. Times of a solve are those of all sets. */
  solveLoads(loadSets: readonly (readonly EdgeLoad[])[]): Solution[] {
    const problem = this.#problem;
    const eq = this.#eq;
    const { matrix, lift } = this.#assemble();
    const f = this.#factorise(matrix);
    const t0 = performance.now();
    const n = lift.length;
    const loads = loadSets.map((set) => sideLoads(problem, set));
    const rhs = new Float64Array(n * loads.length);
    for (const [s, load] of loads.entries()) {
      rhs.set(lift, s * n);
      gather(eq, load, rhs.subarray(s * n, (s + 1) * n));
    }
    const { q, residuals } = refinedSolve(matrix, f, rhs, loads.length);
    if (!residuals.every(Number.isFinite)) {
      throw new Error(
        "solve: the displacements are no finite numbers; look at the size of loads, modulus and thickness",
      );
    }
    const solved = loads.map((load, s) => {
      const found = q.subarray(s * n, (s + 1) * n);
      const first = { ...this.#answer(found, load), residual: residuals[s] };
      return energiesAgree(first) || isUnstrained(problem, first)
        ? first
        : this.#onElements(first, found, rhs.subarray(s * n, (s + 1) * n));
    });
    const times = { ...this.#times, solve: performance.now() - t0 };
    return solved.map((one) => ({
      ...one,
      unknowns: 2 * eq.count,
      factorNonZeros: f.statistics.factorNonZeros,
      times,
    }));
  }

  /** What the equations' unknowns say of the mesh; forces and energy are summed from the elements. */
  #answer(q: Float64Array, load: Float64Array): Answered {
    const problem = this.#problem;
    const displacement = new Float64Array(load.length);
    spread(this.#eq, q, displacement);
    const reaction = new Float64Array(load.length);
    const strainEnergy = internalForces(problem, displacement, reaction);
    for (let k = 0; k < load.length; k++) reaction[k] -= load[k];
    return {
      displacement,
      load,
      reaction,
      strainEnergy,
      halfWork: halfWork(this.#eq, displacement, load, reaction),
    };
  }

  /**
   * Refinement of a long thin part, on the forces that the elements themselves leave unbalanced: the rounding of the assembled
   * stiffness, which it magnifies, is not in them. A correction d of forces r has the energy ½ d · r; its root over that of the strain
   * energy is the share of the solution that it puts right.
   * @throws Error when the corrections do not come down to `WORST_SHARE`.
   */
  #onElements(
    first: Answered & { readonly residual: number },
    q: Float64Array,
    rhs: Float64Array,
  ): Answered & { readonly residual: number } {
    const { matrix } = this.#assemble();
    const f = this.#factorise(matrix);
    let found: Answered = first;
    let share = Infinity;
    let last = Infinity;
    for (let step = 0; step < MOST_STEPS && share > GOOD_SHARE; step++) {
      const force = new Float64Array(q.length);
      gather(this.#eq, found.reaction, force);
      const correction = force.slice();
      solve(f, correction, 1);
      let energy = 0;
      for (let k = 0; k < q.length; k++) energy += (force[k] * correction[k]) / 2;
      share = Math.sqrt(Math.abs(energy) / found.strainEnergy);
      // no less than before: the rounding of the displacements themselves is all that is left
      if (!(Math.abs(energy) < last / 4)) break;
      last = Math.abs(energy);
      for (let k = 0; k < q.length; k++) q[k] -= correction[k];
      found = this.#answer(q, first.load);
      // all the strain there was is put right
      if (isUnstrained(this.#problem, found)) share = 0;
    }
    if (!(share <= WORST_SHARE)) {
      throw new Error(
        `solve: rounding takes up to ${Math.min(100, Math.ceil(1000 * share) / 10)} % of the solution; the part, or a neck of it, is ` +
          "more slender than double precision carries: make it shorter or thicker there, or hold it nearer to the load",
      );
    }
    return { ...found, residual: residualNorm(matrix, q, rhs, new Float64Array(q.length)) };
  }

  /** Displacements, 2 × nodes, mm, under nodal forces alone (2 × nodes, N, global frame), all prescribed values taken as zero. */
  solveNodal(load: Float64Array): Float64Array {
    const eq = this.#eq;
    if (load.length !== this.#problem.mesh.xy.length) {
      throw new Error(`solve: ${load.length} nodal forces for ${this.#problem.mesh.xy.length / 2} nodes`);
    }
    const { matrix } = this.#assemble();
    const f = this.#factorise(matrix);
    const rhs = new Float64Array(2 * eq.count);
    gather(eq, load, rhs);
    solve(f, rhs, 1);
    const u = new Float64Array(load.length);
    spread({ ...eq, value: new Float64Array(eq.value.length) }, rhs, u);
    return u;
  }

  #assemble(): Assembled {
    if (this.#assembled) return this.#assembled;
    const t0 = performance.now();
    this.#assembled = assemble(this.#problem, this.#eq, this.#pattern, this.#values);
    this.#values = this.#assembled.matrix.values;
    this.#times.assemble += performance.now() - t0;
    return this.#assembled;
  }

  #factorise(matrix: NodeMatrix): Factor {
    if (this.#factor) return this.#factor;
    const t0 = performance.now();
    try {
      this.#factor = factor(this.#symbolic, matrix.values, this.#workspace);
    } catch (error) {
      if (error instanceof NotPositiveDefiniteError) throw this.#placed(error);
      throw error;
    }
    this.#times.factor = performance.now() - t0;
    return this.#factor;
  }

  /** The same error in words of the part: where it is, and what may be wrong there. */
  #placed(error: NotPositiveDefiniteError): Error {
    const { xy } = this.#problem.mesh;
    const i = this.#eq.classOf.findIndex((k) => this.#eq.equation[k] === error.node);
    const along = this.#eq.sin[i] === 0 ? (error.dof === 0 ? "along x" : "along y") : "in its own frame";
    return new Error(
      `solve: the stiffness has no resistance ${along} at (${xy[2 * i].toPrecision(6)}, ` +
        `${xy[2 * i + 1].toPrecision(6)}) (pivot ${error.pivot.toExponential(2)}); a support is missing, two parts touch ` +
        "in a single node, an element there is close to flat, or the part is more slender than double precision carries",
      { cause: error },
    );
  }
}

/** One solved set of loads without what is said of the equations. */
type Answered = Pick<Solution, "displacement" | "load" | "reaction" | "strainEnergy" | "halfWork">;

/** Steps of refinement on the elements' forces; each gains as many digits as the first solve had, so one or two do. */
const MOST_STEPS = 8;

/** Share of the solution in a correction after which none follows, and with which the solution is refused when none gets below it. */
const GOOD_SHARE = 1e-7;
const WORST_SHARE = 1e-3;

function equal(a: Uint32Array, b: Uint32Array): boolean {
  if (a === b) return true;
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}

function checkElements({ mesh }: Problem): void {
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
  if (lone >= 0) {
    throw new Error(`solve: node ${lone} at (${xy[2 * lone]}, ${xy[2 * lone + 1]}) belongs to no element`);
  }
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

/** Solves all right-hand sides, then takes one step of iterative refinement, kept where it lowers the residual. */
function refinedSolve(
  matrix: NodeMatrix,
  f: Factor,
  rhs: Float64Array,
  count: number,
): { q: Float64Array; residuals: number[] } {
  const n = rhs.length / count;
  const q = rhs.slice();
  solve(f, q, count);
  const correction = new Float64Array(rhs.length);
  const part = (a: Float64Array, s: number) => a.subarray(s * n, (s + 1) * n);
  const residuals: number[] = [];
  for (let s = 0; s < count; s++) {
    residuals.push(residualNorm(matrix, part(q, s), part(rhs, s), part(correction, s)));
  }
  if (residuals.every((r) => r === 0)) return { q, residuals };
  solve(f, correction, count);
  for (let k = 0; k < q.length; k++) correction[k] += q[k];
  for (let s = 0; s < count; s++) {
    const after = residualNorm(matrix, part(correction, s), part(rhs, s));
    if (!(after < residuals[s])) continue;
    residuals[s] = after;
    q.set(part(correction, s), s * n);
  }
  return { q, residuals };
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
