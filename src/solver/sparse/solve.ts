import type { Factor } from "./factor.ts";

/**
 * Solves A X = B in place for `nrhs` right-hand sides, vector s at `rhs[s * 2 n] … rhs[(s + 1) * 2 n - 1]`, dof d of
 * node i at 2 i + d of it. Each vector comes out the same to the last bit, whichever others are solved with it.
 */
export function solve(factor: Factor, rhs: Float64Array, nrhs = 1): void {
  const { symbolic, workspace, generation } = factor;
  const { n } = symbolic;
  if (rhs.length !== 2 * n * nrhs) {
    throw new Error(`solve: ${rhs.length} numbers for ${nrhs} right-hand sides of ${2 * n}`);
  }
  if (generation !== workspace.generation) {
    throw new Error("solve: the factor's workspace has been used for another factorisation since");
  }
  workspace.kernels.solve(symbolic, rhs, nrhs);
}
