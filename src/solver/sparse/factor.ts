import type { Kernels } from "./kernels.ts";
import { NotPositiveDefiniteError } from "./notPositiveDefiniteError.ts";
import { plainKernels } from "./plainKernels.ts";
import { SIMD_MOST_BYTES, simdBytes, simdKernels } from "./simdKernels.ts";
import type { FactorStatistics, Symbolic } from "./symbolic.ts";

/**
 * A pivot at or below this share of the matrix's own diagonal entry counts as zero. Without supports the last pivots
 * are cancelled to round-off of either sign, up to some 1e-12 of the diagonal for the last one or two; a cantilever of
 * length / height 1000 still keeps 2e-10 (both measured on six-node triangles, up to 72 000 unknowns). What is more slender
 * keeps less, and is told by what refinement still corrects (`Solver`).
 */
export const PIVOT_TOLERANCE = 1e-11;

/**
 * Memory of the numeric phase and the kernels that work in it, kept between factorisations; grows when a larger pattern
 * comes, and is given back when the workspace is let go.
 */
export interface FactorWorkspace {
  kernels: Kernels;
  /** Counts factorisations: a factor of an earlier one is gone. */
  generation: number;
}

/** A = L Lᵀ with the rows and columns of A taken in `symbolic.order`. */
export interface Factor {
  readonly symbolic: Symbolic;
  readonly workspace: FactorWorkspace;
  readonly generation: number;
  /**
   * Columns of L by front, laid out as described with `Symbolic`; each diagonal entry as its reciprocal. A view to be
   * read at once: a later solve or factorisation may move the memory.
   */
  readonly panels: Float64Array;
  readonly statistics: FactorStatistics;
}

/** A fresh workspace: vector kernels where the machine has them, plain ones elsewhere or when asked for. Same numbers. */
export function createWorkspace(kind?: Kernels["kind"]): FactorWorkspace {
  const kernels = (kind === "plain" ? null : simdKernels()) ?? plainKernels();
  if (kind !== undefined && kernels.kind !== kind)
    throw new Error(`createWorkspace: no ${kind} kernels here`);
  return { kernels, generation: 0 };
}

/** Beyond this a workspace is let go after use, bytes. */
const MOST_KEPT_BYTES = 512 * 2 ** 20;
let kept: FactorWorkspace | null = null;

/**
 * Runs `work` with a workspace kept from the call before, unless that one was large: fresh memory costs a small
 * factorisation as much as its arithmetic. Factors made in it must not be used once `work` has returned; `solve` refuses
 * them as soon as the memory is in use again. Calls within calls get workspaces of their own.
 */
export function withWorkspace<T>(work: (workspace: FactorWorkspace) => T): T {
  const workspace = kept ?? createWorkspace();
  kept = null;
  try {
    return work(workspace);
  } finally {
    if (workspace.kernels.bytes() <= MOST_KEPT_BYTES) kept = workspace;
  }
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
  const { order, statistics, pattern } = symbolic;
  if (values.length !== 4 * pattern.rowIdx.length) {
    throw new Error(`factor: ${values.length} values for ${pattern.rowIdx.length} blocks of four`);
  }
  // what 32-bit addresses do not reach is left to arrays of the runtime
  if (workspace.kernels.kind === "simd" && simdBytes(symbolic) > SIMD_MOST_BYTES) {
    workspace.kernels = plainKernels();
  }
  const { kernels } = workspace;
  workspace.generation++;
  const failure = kernels.factor(symbolic, values, PIVOT_TOLERANCE);
  if (failure !== null) {
    const { column, pivot, floor } = failure;
    throw new NotPositiveDefiniteError(order[column >> 1], column & 1 ? 1 : 0, pivot, floor);
  }
  return {
    symbolic,
    workspace,
    generation: workspace.generation,
    get panels() {
      return kernels.panels(symbolic);
    },
    statistics,
  };
}
