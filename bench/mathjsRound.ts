import type { NodeMatrix } from "../src/solver/sparse/index.ts";

interface SparseLibrary {
  readonly SparseMatrix: new (data: object) => object;
  slu(matrix: object, order: number, threshold: number): object;
  lusolve(decomposition: object, rhs: number[][]): { toArray(): number[][] };
}

/** The library everyone has, if it is installed. */
export async function loadMathjs(): Promise<SparseLibrary | null> {
  try {
    // out of sight of the bundler: it stays where it is installed
    const name = "mathjs";
    return (await import(name)) as unknown as SparseLibrary;
  } catch {
    return null;
  }
}

/** The whole matrix, both triangles, as that library keeps it. */
export function mathjsMatrix(library: SparseLibrary, { n, colPtr, rowIdx, values: own }: NodeMatrix): object {
  const columns: [number, number][][] = Array.from({ length: 2 * n }, () => []);
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
      const i = rowIdx[p];
      for (let c = 0; c < 2; c++) {
        for (let r = 0; r < 2; r++) {
          if (i === j && c > r) continue;
          const v = own[4 * p + 2 * c + r];
          columns[2 * j + c].push([2 * i + r, v]);
          if (i !== j || r !== c) columns[2 * i + r].push([2 * j + c, v]);
        }
      }
    }
  }
  const values: number[] = [];
  const index: number[] = [];
  const ptr = [0];
  for (const column of columns) {
    for (const [row, value] of column.sort((a, b) => a[0] - b[0])) {
      index.push(row);
      values.push(value);
    }
    ptr.push(index.length);
  }
  return new library.SparseMatrix({ values, index, ptr, size: [2 * n, 2 * n], datatype: "number" });
}

/** Its two ways to order a symmetric matrix: minimum degree on A + Aᵀ, and on AᵀA without dense rows. */
export const MATHJS_ORDERS = [1, 2];

/** Order, factor and solve by sparse LU, milliseconds, and the solution. */
export function mathjsRound(
  library: SparseLibrary,
  matrix: object,
  rhs: Float64Array,
  order: number,
): { time: number; x: Float64Array } {
  const b = Array.from(rhs, (v) => [v]);
  const from = performance.now();
  const x = library.lusolve(library.slu(matrix, order, 1e-3), b);
  const time = performance.now() - from;
  return { time, x: Float64Array.from(x.toArray(), (row) => Number(row[0])) };
}
