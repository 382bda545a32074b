import { analyse, factor, type NodeMatrix, residualNorm, solve } from "../../../src/solver/sparse/index.ts";

/** Orders, analyses, factors and solves in one go: x with A x = b, and the residual as `residualNorm` scales it. */
export function solveSystem(
  matrix: NodeMatrix,
  b: Float64Array,
): { readonly x: Float64Array; readonly residual: number } {
  const x = b.slice();
  solve(factor(analyse(matrix), matrix.values), x);
  return { x, residual: residualNorm(matrix, x, b) };
}
