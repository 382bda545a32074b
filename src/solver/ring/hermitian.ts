import { SolveError } from "../solveError.ts";

/**
 * A Hermitian positive definite matrix H = X + i Y as L Lᴴ, dense. Rows one after the other, lower triangle; the
 * diagonal holds reciprocals.
 */
export interface HermitianFactor {
  readonly n: number;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * Factorises in place, row by row (Cholesky–Banachiewicz): each entry is a dot product of two rows, read straight
 * through. A pivot must exceed `floor` times its own diagonal entry.
 * @throws Error naming the row whose pivot does not.
 */
export function factorHermitian(
  n: number,
  re: Float64Array,
  im: Float64Array,
  floor: number,
): HermitianFactor {
  for (let i = 0; i < n; i++) {
    const a = i * n;
    for (let j = 0; j <= i; j++) {
      const b = j * n;
      let x = 0;
      let y = 0;
      for (let k = 0; k < j; k++) {
        const p = re[a + k];
        const q = im[a + k];
        const r = re[b + k];
        const s = im[b + k];
        x += p * r + q * s; // row i times the conjugate of row j
        y += q * r - p * s;
      }
      if (j < i) {
        re[a + j] = (re[a + j] - x) * re[b + j];
        im[a + j] = (im[a + j] - y) * re[b + j];
      } else {
        const pivot = re[a + i] - x;
        if (!(pivot > floor * re[a + i])) {
          throw new SolveError(
            `pivot ${pivot.toExponential(2)} of row ${i} of a harmonic of the ring is under ${(floor * re[a + i]).toExponential(2)}`,
            "the ring, or a neck of it, is more slender than double precision carries, or a support is missing",
          );
        }
        re[a + i] = 1 / Math.sqrt(pivot);
        im[a + i] = 0;
      }
    }
  }
  return { n, re, im };
}

/** Solves H x = b in place; the right-hand side is `x + i y`. */
export function solveHermitian({ n, re, im }: HermitianFactor, x: Float64Array, y: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const a = i * n;
    let u = x[i];
    let v = y[i];
    for (let k = 0; k < i; k++) {
      u -= re[a + k] * x[k] - im[a + k] * y[k];
      v -= re[a + k] * y[k] + im[a + k] * x[k];
    }
    x[i] = u * re[a + i];
    y[i] = v * re[a + i];
  }
  // Lᴴ by columns, that is by rows of L
  for (let i = n - 1; i >= 0; i--) {
    const a = i * n;
    const u = x[i] * re[a + i];
    const v = y[i] * re[a + i];
    x[i] = u;
    y[i] = v;
    for (let k = 0; k < i; k++) {
      x[k] -= re[a + k] * u + im[a + k] * v;
      y[k] -= re[a + k] * v - im[a + k] * u;
    }
  }
}
