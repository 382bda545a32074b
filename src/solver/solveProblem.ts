import { type Assembled, assemble, equationPattern, gather, spread } from "./assemble.ts";
import { type Equations, equations } from "./equations.ts";
import { freeMotion } from "./freeMotion.ts";
import { internalForces } from "./internalForces.ts";
import type { EdgeLoad, Problem, Solution } from "./problem.ts";
import { sideLoads } from "./sideLoads.ts";
import { SolveError } from "./solveError.ts";
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
 * @throws Error in words when supports contradict each other, when a rigid motion is left free, or when the mesh is bad; SolveError when the
 *   equations cannot be solved as exactly as they must.
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
    const q = rhs.slice();
    solve(f, q, loads.length);
    const solved = this.#refined(f, q, loads).map((found, s) => {
      const part = (of: Float64Array) => of.subarray(s * n, (s + 1) * n);
      return { ...found, residual: residualNorm(matrix, part(q), part(rhs)) };
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
   * Iterative refinement of the solutions `q`, on the forces that the elements themselves leave unbalanced: the rounding of the assembled
   * stiffness, which a long thin part magnifies, is not in them. One step is all that others need; a part that needs more gets them.
   * @throws Error when a correction still is more than `WORST_SHARE` of the displacements and does not get smaller.
   */
  #refined(f: Factor, q: Float64Array, loads: readonly Float64Array[]): Answered[] {
    const n = q.length / loads.length;
    const part = (of: Float64Array, s: number) => of.subarray(s * n, (s + 1) * n);
    const found = loads.map((load, s) => this.#answer(part(q, s), load));
    const share = loads.map(() => Infinity);
    let open = loads.map((_, s) => s);
    for (let step = 0; step < MOST_STEPS && open.length > 0; step++) {
      const corrections = new Float64Array(n * open.length);
      for (const [k, s] of open.entries()) gather(this.#eq, found[s].reaction, part(corrections, k));
      solve(f, corrections, open.length);
      open = open.filter((s, k) => {
        const correction = part(corrections, k);
        const size = largest(correction);
        const next = size === 0 ? 0 : size / largest(found[s].displacement);
        if (Number.isNaN(next))
          throw new SolveError(NOT_FINITE, "look at the size of loads, modulus and thickness");
        // no less than before: the rounding of the displacements themselves is all that is left
        if (next > share[s] / 2) return false;
        share[s] = next;
        const own = part(q, s);
        for (let j = 0; j < n; j++) own[j] -= correction[j];
        found[s] = this.#answer(own, loads[s]);
        return next > GOOD_SHARE;
      });
    }
    const worst = Math.max(...share);
    if (!(worst <= WORST_SHARE)) {
      throw new SolveError(
        `rounding takes ${Math.min(100, Number((100 * worst).toPrecision(1)))} % of the displacements: the part, or a neck of it, ` +
          "is more slender than double precision carries",
        "make it shorter or thicker there, or hold it nearer to the load",
      );
    }
    return found;
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
  #placed(error: NotPositiveDefiniteError): SolveError {
    const { xy } = this.#problem.mesh;
    const i = this.#eq.classOf.findIndex((k) => this.#eq.equation[k] === error.node);
    const along = this.#eq.sin[i] === 0 ? (error.dof === 0 ? "along x" : "along y") : "in its own frame";
    return new SolveError(
      `the stiffness has no resistance ${along} at (${xy[2 * i].toPrecision(6)}, ` +
        `${xy[2 * i + 1].toPrecision(6)}) (pivot ${error.pivot.toExponential(2)})`,
      "a support is missing, two parts touch in a single node, an element there is close to flat, or the part is more slender than " +
        "double precision carries",
      { cause: error },
    );
  }
}

/** One solved set of loads without what is said of the equations. */
type Answered = Pick<Solution, "displacement" | "load" | "reaction" | "strainEnergy" | "halfWork">;

/** Steps of refinement at most; each gains as many digits as the first solve had. */
const MOST_STEPS = 8;

/** Share of the largest displacement in a correction after which none follows, and with which a solution is refused. */
const GOOD_SHARE = 1e-8;
const WORST_SHARE = 1e-5;

const NOT_FINITE = "the displacements are no finite numbers";

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

/** Largest size of an entry; NaN where there is one that is no number. */
function largest(of: Float64Array): number {
  let most = 0;
  for (let k = 0; k < of.length; k++) {
    const size = Math.abs(of[k]);
    if (Number.isNaN(size)) return size;
    if (size > most) most = size;
  }
  return most;
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
