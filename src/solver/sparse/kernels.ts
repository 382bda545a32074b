import type { Symbolic } from "./symbolic.ts";

/**
 * The numeric work, behind one small set of functions over flat arrays: a set compiled for other hardware can stand in
 * for `plainKernels`. Kernels never throw and allocate nothing that grows with the matrix; shapes are checked by
 * their callers. Layouts of panels and updates are described with `Symbolic`. `panels`, `updates`, `pivotFloor`, `x` and
 * `local` come from the set's own `allocate` and may be longer than needed; `values` and the symbolic arrays do not.
 */
export interface Kernels {
  /** A buffer of zeros for this set to work on (a set with its own memory hands out views of it). */
  allocate(length: number): Float64Array;
  /**
   * Factorises all fronts, children first: fills `panels` with L, its diagonal kept as reciprocals. `pivotFloor[d]` is
   * the least pivot accepted at dof d of the new numbering. Returns -1, or the dof whose pivot p fails p > floor, with
   * p left in `pivotFloor[d]`.
   */
  factorFronts(
    symbolic: Symbolic,
    values: Float64Array,
    panels: Float64Array,
    updates: Float64Array,
    pivotFloor: Float64Array,
  ): number;
  /**
   * Solves L Lᵀ X = B in place for `count` vectors in new numbering, vector s at `x[s * 2 n] …`. `local` is scratch of
   * `Symbolic.statistics.largestFront` + 8 numbers at least.
   */
  solveFronts(
    symbolic: Symbolic,
    panels: Float64Array,
    x: Float64Array,
    count: number,
    local: Float64Array,
  ): void;
}
