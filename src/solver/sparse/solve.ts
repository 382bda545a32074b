import type { Factor } from "./factor.ts";

/**
 * Solves A X = B in place for `nrhs` right-hand sides, vector s at `rhs[s * 2 n] … rhs[(s + 1) * 2 n - 1]`, dof d of
 * node i at 2 i + d of it. Each vector comes out the same to the last bit, whichever others are solved with it.
 */
export function solve(factor: Factor, rhs: Float64Array, nrhs = 1): void {
  const { symbolic, workspace, generation, panels, statistics } = factor;
  const { kernels } = workspace;
  const { n, order } = symbolic;
  if (rhs.length !== 2 * n * nrhs) {
    throw new Error(`solve: ${rhs.length} numbers for ${nrhs} right-hand sides of ${2 * n}`);
  }
  if (generation !== workspace.generation) {
    throw new Error("solve: the factor's workspace has been used for another factorisation since");
  }
  if (workspace.vectors.length < 2 * n * nrhs) workspace.vectors = kernels.allocate(2 * n * nrhs);
  if (workspace.local.length < statistics.largestFront + 8) {
    workspace.local = kernels.allocate(statistics.largestFront + 8);
  }
  const x = workspace.vectors;
  for (let s = 0; s < nrhs; s++) {
    const base = 2 * n * s;
    for (let k = 0; k < n; k++) {
      const i = base + 2 * order[k];
      x[base + 2 * k] = rhs[i];
      x[base + 2 * k + 1] = rhs[i + 1];
    }
  }
  kernels.solveFronts(symbolic, panels, x, nrhs, workspace.local);
  for (let s = 0; s < nrhs; s++) {
    const base = 2 * n * s;
    for (let k = 0; k < n; k++) {
      const i = base + 2 * order[k];
      rhs[i] = x[base + 2 * k];
      rhs[i + 1] = x[base + 2 * k + 1];
    }
  }
}
