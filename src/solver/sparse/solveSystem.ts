import { analyse } from "./analyse.ts";
import { type Factor, factor } from "./factor.ts";
import { residualNorm } from "./matrixVector.ts";
import type { NodeMatrix } from "./nodeMatrix.ts";
import { solve } from "./solve.ts";

/** x solves A x = b; `residual` is scaled as in `residualNorm`. */
export interface SystemSolution {
  readonly x: Float64Array;
  readonly residual: number;
  readonly factor: Factor;
}

/** Order, analyse, factor and solve in one go; `rhs` (length 2 n) is left as it is. Throws what `factor` throws. */
export function solveSystem(matrix: NodeMatrix, rhs: Float64Array): SystemSolution {
  const f = factor(analyse(matrix), matrix.values);
  const x = rhs.slice();
  solve(f, x);
  return { x, residual: residualNorm(matrix, x, rhs), factor: f };
}

/**
 * One step of iterative refinement, in place: x += A⁻¹ (b - A x). Returns the scaled residual *after* the step; a step
 * that would not lower it is taken back.
 */
export function refine(matrix: NodeMatrix, f: Factor, x: Float64Array, b: Float64Array): number {
  const correction = new Float64Array(b.length);
  const before = residualNorm(matrix, x, b, correction);
  if (before === 0) return 0;
  solve(f, correction);
  for (let k = 0; k < x.length; k++) {
    const old = x[k];
    x[k] += correction[k];
    correction[k] = old;
  }
  const after = residualNorm(matrix, x, b);
  if (after < before) return after;
  x.set(correction);
  return before;
}
