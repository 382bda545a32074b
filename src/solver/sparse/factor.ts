import type { Kernels } from "./kernels.ts";
import { NotPositiveDefiniteError } from "./notPositiveDefiniteError.ts";
import { plainKernels } from "./plainKernels.ts";
import type { FactorStatistics, Symbolic } from "./symbolic.ts";

/**
 * A pivot at or below this share of the matrix's own diagonal entry counts as zero. Without supports the last pivots
 * are cancelled to round-off of either sign, up to some 1e-12 of the diagonal for the last one or two; a cantilever of
 * length / height 1000 still keeps 2e-10 (both measured on six-node triangles, up to 72 000 unknowns).
 */
export const PIVOT_TOLERANCE = 1e-11;

/** Memory of the numeric phase, kept between factorisations; grows when a larger pattern comes. */
export interface FactorWorkspace {
  readonly kernels: Kernels;
  panels: Float64Array;
  updates: Float64Array;
  pivotFloor: Float64Array;
  /** Right-hand sides in new numbering, and a front's share of one, while solving. */
  vectors: Float64Array;
  local: Float64Array;
  /** Counts factorisations: a factor of an earlier one is gone. */
  generation: number;
}

/** A = L Lᵀ with the rows and columns of A taken in `symbolic.order`. */
export interface Factor {
  readonly symbolic: Symbolic;
  readonly workspace: FactorWorkspace;
  readonly generation: number;
  /** Columns of L by front, laid out as described with `Symbolic`; each diagonal entry as its reciprocal. */
  readonly panels: Float64Array;
  readonly statistics: FactorStatistics;
}

export function createWorkspace(kernels: Kernels = plainKernels): FactorWorkspace {
  const none = new Float64Array(0);
  return {
    kernels,
    panels: none,
    updates: none,
    pivotFloor: none,
    vectors: none,
    local: none,
    generation: 0,
  };
}

/**
 * Numeric phase: multifrontal Cholesky factorisation (I. Duff and J. Reid, ACM Trans. Math. Softw. 9(3), 1983). Each
 * front is summed from matrix entries and its children's updates, its pivots eliminated, the rest passed up.
 *
 * `values` is `NodeMatrix.values` of a matrix with the pattern analysed. The factor lives in the memory of
 * `workspace`: another call with the same workspace overwrites it, and `solve` then refuses the older one.
 * Throws `NotPositiveDefiniteError` when a pivot is not above `PIVOT_TOLERANCE` of its diagonal entry.
 */
export function factor(
  symbolic: Symbolic,
  values: Float64Array,
  workspace: FactorWorkspace = createWorkspace(),
): Factor {
  const { n, order, diagonalSource, updateLength, statistics, pattern } = symbolic;
  if (values.length !== 4 * pattern.rowIdx.length) {
    throw new Error(`factor: ${values.length} values for ${pattern.rowIdx.length} blocks of four`);
  }
  const { kernels } = workspace;
  if (workspace.panels.length < statistics.factorStored) {
    workspace.panels = kernels.allocate(statistics.factorStored);
  }
  if (workspace.updates.length < updateLength) workspace.updates = kernels.allocate(updateLength);
  if (workspace.pivotFloor.length < 2 * n) workspace.pivotFloor = kernels.allocate(2 * n);
  const { panels, updates, pivotFloor } = workspace;
  workspace.generation++;
  for (let k = 0; k < n; k++) {
    const d = diagonalSource[k];
    pivotFloor[2 * k] = PIVOT_TOLERANCE * Math.max(0, values[d]);
    pivotFloor[2 * k + 1] = PIVOT_TOLERANCE * Math.max(0, values[d + 3]);
  }
  const failed = kernels.factorFronts(symbolic, values, panels, updates, pivotFloor);
  if (failed !== -1) {
    const k = failed >> 1;
    const dof = failed & 1 ? 1 : 0;
    const floor = PIVOT_TOLERANCE * Math.max(0, values[diagonalSource[k] + 3 * dof]);
    throw new NotPositiveDefiniteError(order[k], dof, pivotFloor[failed], floor);
  }
  return { symbolic, workspace, generation: workspace.generation, panels, statistics };
}
