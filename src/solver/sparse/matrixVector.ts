import type { NodeMatrix } from "./nodeMatrix.ts";

/** y = A x for the whole symmetric matrix, written into `y` (length 2 n). Of diagonal blocks the lower half is read. */
export function matrixVector(
  { n, colPtr, rowIdx, values }: NodeMatrix,
  x: Float64Array,
  y: Float64Array,
): void {
  if (x.length !== 2 * n || y.length !== 2 * n) {
    throw new Error(`matrixVector: vectors of ${x.length} and ${y.length} for ${2 * n} rows`);
  }
  y.fill(0);
  for (let j = 0; j < n; j++) {
    const x0 = x[2 * j];
    const x1 = x[2 * j + 1];
    const d = 4 * colPtr[j];
    let y0 = y[2 * j] + values[d] * x0 + values[d + 1] * x1;
    let y1 = y[2 * j + 1] + values[d + 1] * x0 + values[d + 3] * x1;
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const i = 2 * rowIdx[p];
      const v = 4 * p;
      const a00 = values[v];
      const a10 = values[v + 1];
      const a01 = values[v + 2];
      const a11 = values[v + 3];
      y[i] += a00 * x0 + a01 * x1;
      y[i + 1] += a10 * x0 + a11 * x1;
      y0 += a00 * x[i] + a10 * x[i + 1];
      y1 += a01 * x[i] + a11 * x[i + 1];
    }
    y[2 * j] = y0;
    y[2 * j + 1] = y1;
  }
}

/**
 * max |b - A x| over max row of (|A| |x| + |b|): a scaled residual that is a small multiple of 1e-16 for a backward
 * stable solve, whatever the units or the condition. 0 when everything is zero.
 */
export function residualNorm(matrix: NodeMatrix, x: Float64Array, b: Float64Array): number {
  if (b.length !== 2 * matrix.n)
    throw new Error(`residualNorm: a right-hand side of ${b.length} for ${2 * matrix.n} rows`);
  const residual = new Float64Array(b.length);
  matrixVector(matrix, x, residual);
  const size = new Float64Array(b.length);
  addSizes(matrix, x, size);
  const worst = turnResidual(b, residual);
  return worst === 0 ? 0 : worst / largestScale(b, size);
}

/** size += |A| |x|. */
function addSizes({ n, colPtr, rowIdx, values }: NodeMatrix, x: Float64Array, size: Float64Array): void {
  for (let j = 0; j < n; j++) {
    const x0 = Math.abs(x[2 * j]);
    const x1 = Math.abs(x[2 * j + 1]);
    const d = 4 * colPtr[j];
    let s0 = size[2 * j] + Math.abs(values[d]) * x0 + Math.abs(values[d + 1]) * x1;
    let s1 = size[2 * j + 1] + Math.abs(values[d + 1]) * x0 + Math.abs(values[d + 3]) * x1;
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const i = 2 * rowIdx[p];
      const a00 = Math.abs(values[4 * p]);
      const a10 = Math.abs(values[4 * p + 1]);
      const a01 = Math.abs(values[4 * p + 2]);
      const a11 = Math.abs(values[4 * p + 3]);
      size[i] += a00 * x0 + a01 * x1;
      size[i + 1] += a10 * x0 + a11 * x1;
      const xi0 = Math.abs(x[i]);
      const xi1 = Math.abs(x[i + 1]);
      s0 += a00 * xi0 + a10 * xi1;
      s1 += a01 * xi0 + a11 * xi1;
    }
    size[2 * j] = s0;
    size[2 * j + 1] = s1;
  }
}

/** Turns `residual` from A x into b - A x. @returns its largest, or NaN where one is. */
function turnResidual(b: Float64Array, residual: Float64Array): number {
  let worst = 0;
  for (let k = 0; k < b.length; k++) {
    const r = b[k] - residual[k];
    residual[k] = r;
    worst = Math.max(worst, Math.abs(r)); // which keeps a NaN
  }
  return worst;
}

/** Largest of size + |b|. */
function largestScale(b: Float64Array, size: Float64Array): number {
  let scale = 0;
  for (let k = 0; k < b.length; k++) scale = Math.max(scale, size[k] + Math.abs(b[k]));
  return scale;
}
