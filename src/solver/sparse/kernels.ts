import type { Symbolic } from "./symbolic.ts";

/** A pivot that is not above its floor. `column` is the dof in new numbering. */
export interface PivotFailure {
  readonly column: number;
  readonly pivot: number;
  readonly floor: number;
}

/**
 * The numeric work and the memory it is done in. There are two sets, `plainKernels` and `simdKernels`, which give the
 * same numbers to the last bit. Shapes are checked by the callers. One factor is held at a time: `factor` overwrites
 * the last one, keeping the memory, which only grows; it is given back when the set itself is let go.
 */
export interface Kernels {
  readonly kind: "plain" | "simd";
  /**
   * Factorises all fronts, children first. A pivot must exceed `tolerance` times its own diagonal entry (or 0 where that
   * is negative). Returns null, or the first pivot that does not.
   */
  factor(symbolic: Symbolic, values: Float64Array, tolerance: number): PivotFailure | null;
  /** Solves A X = B in place with the factor held, for `count` vectors in the pattern's numbering, vector s at `rhs[s * 2 n] …`. */
  solve(symbolic: Symbolic, rhs: Float64Array, count: number): void;
  /** The factor held: its panels as described with `Symbolic`, the diagonal as reciprocals. A view, valid until the next call. */
  panels(symbolic: Symbolic): Float64Array;
  /** Bytes held now. */
  bytes(): number;
}

/** Vectors in the pattern's numbering into `x`, in new numbering. */
export function toNewOrder({ n, order }: Symbolic, rhs: Float64Array, count: number, x: Float64Array): void {
  for (let s = 0; s < count; s++) {
    const base = 2 * n * s;
    for (let k = 0; k < n; k++) {
      const i = base + 2 * order[k];
      x[base + 2 * k] = rhs[i];
      x[base + 2 * k + 1] = rhs[i + 1];
    }
  }
}

/** And back. */
export function fromNewOrder(
  { n, order }: Symbolic,
  x: Float64Array,
  count: number,
  rhs: Float64Array,
): void {
  for (let s = 0; s < count; s++) {
    const base = 2 * n * s;
    for (let k = 0; k < n; k++) {
      const i = base + 2 * order[k];
      rhs[i] = x[base + 2 * k];
      rhs[i + 1] = x[base + 2 * k + 1];
    }
  }
}
