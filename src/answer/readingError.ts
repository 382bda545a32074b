import {
  type Evaluator,
  type NodalStress,
  type Problem,
  type RecoveryDoubt,
  recoveryLoad,
  type Solution,
  type Solver,
} from "../solver/index.ts";
import { type Reading, readingWeights, recoveryBound } from "./reading.ts";

/** What may be wrong with the governing stress on one mesh, MPa, and which elements bring it about. */
export interface ReadingError {
  /** Error of the nodal displacements as the reading feels it, signed, to leading order. */
  readonly displacement: number;
  /** Root of the sum of squares of the elements' shares in it. */
  readonly scatter: number;
  /** Bound meant for what the recovery's polynomials miss where the reading is taken. */
  readonly recovery: number;
  /** Share of each element in `displacement`. */
  readonly byElement: Float64Array;
  /** 1 at nodes whose stress enters the reading. */
  readonly read: Uint8Array;
  /** Bound meant for the error, MPa. */
  readonly bound: number;
}

/**
 * Part of the bound: `displacement` is the leading term of an asymptotic estimate, and what it leaves out has the size of a fraction of
 * the shares' scatter.
 */
const OF_SCATTER = 0.25;

/**
 * Estimates the error of a reading: a number that is a linear function R of the nodal displacements, here the derivative of what is
 * read from the recovered stress.
 *
 * With u the exact displacements, I u their interpolation on the mesh, u_h those found and z the displacements under R
 * taken as a load, R(u_h) − R(I u) = a(u − I u, z): Galerkin's condition for the test function z, which is one of the
 * mesh's own and therefore known exactly. u − I u is taken from the elastic fields fitted by the recovery,
 * element by element (`RecoveryDoubt.missed`). The dual problem costs one more solve with the factor at hand. (Goal-oriented
 * estimates by a dual solution: R. Becker and R. Rannacher, Acta Numerica 10, 1, 2001, from memory; testing with the
 * discrete dual and the interpolation error is the superconvergence argument of any text on finite elements.)
 * R(I u) against the exact stress is the recovery's own error, of which the gaps between its polynomials are the measure.
 * `lost`, MPa, is added as it is: what the reading is known to miss for other reasons.
 */
export function readingError(
  problem: Problem,
  solver: Pick<Solver, "solveNodal">,
  { load }: Pick<Solution, "load">,
  stress: NodalStress,
  doubt: RecoveryDoubt,
  field: Evaluator,
  reading: Reading,
  lost = 0,
): ReadingError {
  const { mesh } = problem;
  const { elements } = mesh;
  const weights = readingWeights(mesh, stress, field, reading);
  const z = solver.solveNodal(recoveryLoad(problem, weights));
  const count = elements.length / 6;
  const byElement = new Float64Array(count);
  let displacement = 0;
  let squares = 0;
  for (let e = 0; e < count; e++) {
    let share = 0;
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[6 * e + a];
      const f = 12 * e + 2 * a;
      share += doubt.missed[f] * z[i] + doubt.missed[f + 1] * z[i + 1];
    }
    byElement[e] = share;
    displacement += share;
    squares += share * share;
  }
  const scatter = Math.sqrt(squares);
  const recovery = recoveryBound(mesh, load, stress, doubt.gap, weights, reading);
  const read = new Uint8Array(weights.length / 3);
  for (let i = 0; i < read.length; i++) {
    if (weights[3 * i] !== 0 || weights[3 * i + 1] !== 0 || weights[3 * i + 2] !== 0) read[i] = 1;
  }
  const bound = Math.abs(displacement) + OF_SCATTER * scatter + recovery + lost;
  return { displacement, scatter, recovery, byElement, read, bound };
}
