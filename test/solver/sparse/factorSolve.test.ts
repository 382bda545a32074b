import fc from "fast-check";
import * as mathjs from "mathjs";
import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import {
  analyse,
  createWorkspace,
  factor,
  matrixVector,
  type NodeMatrix,
  residualNorm,
  solve,
  withWorkspace,
} from "../../../src/solver/sparse/index.ts";
import {
  dense,
  dominant,
  gradedMesh,
  matrixFromEdges,
  meshMatrix,
  randomVector,
  relativeDifference,
  renumber,
  sectorMesh,
  shuffled,
} from "./matrices.ts";
import { solveSystem } from "./solveSystem.ts";

/** b = A x through the documented layout, apart from the project's own product. */
function denseProduct(matrix: NodeMatrix, x: Float64Array): Float64Array {
  return Float64Array.from(dense(matrix), (row) => row.reduce((s, v, c) => s + v * x[c], 0));
}

const complete = (n: number) =>
  Array.from({ length: n * n }, (_, q) => [Math.floor(q / n), q % n] as const).filter(([a, b]) => a > b);

describe("factor and solve", () => {
  test("agree with a dense Cholesky solve on random graphs", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 150 }),
        fc.integer({ min: 1, max: 1e6 }),
        (n, pairs, seed) => {
          const matrix = dominant(
            n,
            pairs.map(([a, b]) => [a % n, b % n] as const),
            seed,
          );
          const b = randomVector(2 * n, seed + 1);
          const reference = new CholeskyDecomposition(new Matrix(dense(matrix))).solve(
            Matrix.columnVector(b),
          );
          expect(relativeDifference(solveSystem(matrix, b).x, reference.to1DArray())).toBeLessThan(1e-12);
        },
      ),
      { seed: 20240506, numRuns: 200 },
    );
  });

  // one front each: every remainder of the 4 × 4 blocking
  test.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 31, 32, 33])(
    "agree with a dense Cholesky solve on a full matrix of %i nodes",
    (n) => {
      const matrix = dominant(n, complete(n), 100 + n);
      const b = randomVector(2 * n, n);
      const reference = new CholeskyDecomposition(new Matrix(dense(matrix))).solve(Matrix.columnVector(b));
      expect(relativeDifference(solveSystem(matrix, b).x, reference.to1DArray())).toBeLessThan(1e-12);
    },
  );

  test("hold the entries of the dense factor, diagonal as reciprocals", () => {
    const matrix = dominant(5, complete(5), 9);
    const s = analyse(matrix, Int32Array.of(0, 1, 2, 3, 4));
    const { panels } = factor(s, matrix.values);
    expect(s.fronts).toBe(1);
    const l = new CholeskyDecomposition(new Matrix(dense(matrix))).lowerTriangularMatrix;
    for (let c = 0; c < 10; c++) {
      for (let r = c; r < 10; r++) {
        const stored = panels[(r >> 2) * 8 * 5 + 4 * c + (r & 3)];
        expect(r === c ? 1 / stored : stored).toBeCloseTo(l.get(r, c), 12);
      }
    }
  });

  test("find the discrete sine modes of a grid Laplacian", () => {
    // exact: the five-point Laplacian of an m × m grid with a held rim has eigenvectors sin(pπi/(m+1)) sin(qπj/(m+1))
    // to eigenvalues 4 - 2 cos(pπ/(m+1)) - 2 cos(qπ/(m+1))
    const m = 60;
    const edges: [number, number][] = [];
    for (let j = 0; j < m; j++) {
      for (let i = 0; i < m; i++) {
        if (i + 1 < m) edges.push([j * m + i, j * m + i + 1]);
        if (j + 1 < m) edges.push([j * m + i, j * m + m + i]);
      }
    }
    const matrix = matrixFromEdges(m * m, edges, (i, j) => (i === j ? [4, 0, 0, 4] : [-1, 0, 0, -1]));
    const mode = (p: number, q: number, i: number, j: number) =>
      Math.sin((p * Math.PI * (i + 1)) / (m + 1)) * Math.sin((q * Math.PI * (j + 1)) / (m + 1));
    const eigenvalue = (p: number, q: number) =>
      4 - 2 * Math.cos((p * Math.PI) / (m + 1)) - 2 * Math.cos((q * Math.PI) / (m + 1));
    const exact = new Float64Array(2 * m * m);
    const b = new Float64Array(2 * m * m);
    for (let j = 0; j < m; j++) {
      for (let i = 0; i < m; i++) {
        const k = 2 * (j * m + i);
        exact[k] = mode(1, 2, i, j);
        exact[k + 1] = mode(3, 1, i, j);
        b[k] = eigenvalue(1, 2) * exact[k];
        b[k + 1] = eigenvalue(3, 1) * exact[k + 1];
      }
    }
    expect(relativeDifference(solveSystem(matrix, b).x, exact)).toBeLessThan(1e-11);
  });

  test("recover a chosen displacement of a graded elastic mesh", () => {
    const matrix = meshMatrix(gradedMesh(0.8, 11));
    const chosen = randomVector(2 * matrix.n, 12);
    const { x, residual } = solveSystem(matrix, denseProduct(matrix, chosen));
    expect(residual).toBeLessThan(1e-14);
    expect(relativeDifference(x, chosen)).toBeLessThan(1e-9);
  });

  test("agree with a sparse LU of another library on an elastic sector of 1980 unknowns", () => {
    const matrix = meshMatrix(sectorMesh(11, 22));
    expect(2 * matrix.n).toBe(1980);
    const a = dense(matrix);
    const values: number[] = [];
    const index: number[] = [];
    const ptr = [0];
    for (let c = 0; c < a.length; c++) {
      for (let r = 0; r < a.length; r++) {
        if (a[r][c] === 0) continue;
        values.push(a[r][c]);
        index.push(r);
      }
      ptr.push(values.length);
    }
    const b = randomVector(a.length, 13);
    // a class the library exports but does not declare
    const { SparseMatrix } = mathjs as unknown as { SparseMatrix: new (data: object) => mathjs.Matrix };
    const other = new SparseMatrix({ values, index, ptr, size: [a.length, a.length] });
    const reference = mathjs.lusolve(
      mathjs.slu(other, 1, 1e-3),
      [...b].map((v) => [v]),
    );
    const flat = (reference.toArray() as number[][]).map((row) => Number(row[0]));
    expect(relativeDifference(solveSystem(matrix, b).x, flat)).toBeLessThan(1e-9);
  });

  test("solve several right-hand sides at once to the same bits as one by one", () => {
    const matrix = meshMatrix(gradedMesh(0.6, 4));
    const f = factor(analyse(matrix), matrix.values);
    const size = 2 * matrix.n;
    const many = randomVector(3 * size, 14);
    const single = [0, 1, 2].map((s) => many.slice(s * size, (s + 1) * size));
    solve(f, many, 3);
    single.forEach((x, s) => {
      solve(f, x);
      expect(x).toEqual(many.slice(s * size, (s + 1) * size));
    });
  });

  test("give the same bits again, in fresh memory or in memory used for a larger matrix", () => {
    const matrix = meshMatrix(gradedMesh(0.6, 5));
    const b = randomVector(2 * matrix.n, 15);
    const first = solveSystem(matrix, b).x;
    const larger = meshMatrix(gradedMesh(0.4, 5));
    const workspace = createWorkspace();
    factor(analyse(larger), larger.values, workspace);
    const again = b.slice();
    const held = workspace.kernels.bytes();
    solve(factor(analyse(matrix), matrix.values, workspace), again);
    expect(workspace.kernels.bytes()).toBe(held);
    expect(again).toEqual(first);
  });

  test("keep a workspace from one use to the next, and give nested uses their own", () => {
    const outer = withWorkspace((workspace) => {
      expect(withWorkspace((inner) => inner)).not.toBe(workspace);
      return workspace;
    });
    expect(withWorkspace((workspace) => workspace)).toBe(outer);
    const matrix = dominant(3, [[1, 0]], 5);
    const symbolic = analyse(matrix);
    const stale = withWorkspace((workspace) => factor(symbolic, matrix.values, workspace));
    withWorkspace((workspace) => factor(symbolic, matrix.values, workspace));
    expect(() => solve(stale, new Float64Array(6))).toThrow("another factorisation");
  });

  test("do not depend on how nodes are numbered, but for round-off", () => {
    const matrix = meshMatrix(gradedMesh(0.6, 6));
    const place = shuffled(matrix.n, 16);
    const b = randomVector(2 * matrix.n, 17);
    const moved = new Float64Array(b.length);
    for (let i = 0; i < matrix.n; i++) moved.set(b.subarray(2 * i, 2 * i + 2), 2 * place[i]);
    const x = solveSystem(matrix, b).x;
    const other = solveSystem(renumber(matrix, place), moved).x;
    const back = Float64Array.from(x, (_, d) => other[2 * place[d >> 1] + (d & 1)]);
    expect(relativeDifference(back, x)).toBeLessThan(1e-9);
  });

  test("refuse a factor whose memory another factorisation has taken", () => {
    const matrix = dominant(3, [[1, 0]], 1);
    const s = analyse(matrix);
    const workspace = createWorkspace();
    const old = factor(s, matrix.values, workspace);
    factor(s, matrix.values, workspace);
    expect(() => solve(old, new Float64Array(6))).toThrow("used for another factorisation");
  });

  test("refuse wrong lengths with the numbers", () => {
    const matrix = dominant(3, [[1, 0]], 1);
    const s = analyse(matrix);
    expect(() => factor(s, new Float64Array(12))).toThrow("12 values for 4 blocks of four");
    expect(() => solve(factor(s, matrix.values), new Float64Array(5))).toThrow("5 numbers for 1 right-hand");
  });
});

describe("matrixVector", () => {
  test("is the product with the dense matrix", () => {
    const matrix = dominant(
      30,
      complete(30).filter((_, k) => k % 5 === 0),
      21,
    );
    const x = randomVector(60, 22);
    const y = new Float64Array(60);
    matrixVector(matrix, x, y);
    expect(relativeDifference(y, denseProduct(matrix, x))).toBeLessThan(1e-14);
  });
});

describe("residualNorm and refine", () => {
  test("a residual with a NaN anywhere is none that looks small", () => {
    const matrix = matrixFromEdges(3, [], () => [1, 0, 0, 1]);
    const b = Float64Array.of(1, 1, 1, 1, 1, 1);
    for (let k = 0; k < 6; k++) {
      const x = b.slice();
      x[k] = Number.NaN;
      expect(residualNorm(matrix, x, b)).toBeNaN();
    }
  });

  const matrix = meshMatrix(gradedMesh(0.6, 8));
  const b = randomVector(2 * matrix.n, 23);
  const { residual } = solveSystem(matrix, b);

  test("a solve leaves a residual of round-off size", () => {
    expect(residual).toBeGreaterThan(0);
    expect(residual).toBeLessThan(1e-14);
  });

  test("the residual is 1 without a solution, 0 for nothing, NaN for NaN", () => {
    const zero = new Float64Array(b.length);
    expect(residualNorm(matrix, zero, b)).toBe(1);
    expect(residualNorm(matrix, zero, zero)).toBe(0);
    expect(residualNorm(matrix, zero.slice().fill(Number.NaN), b)).toBeNaN();
  });

  test("the residual is what its definition says, on a dense matrix", () => {
    const small = dominant(8, complete(8), 31);
    const a = dense(small);
    const y = randomVector(16, 32);
    const c = randomVector(16, 33);
    const worst = Math.max(...a.map((row, r) => Math.abs(c[r] - row.reduce((s, v, k) => s + v * y[k], 0))));
    const scale = Math.max(
      ...a.map((row, r) => Math.abs(c[r]) + row.reduce((s, v, k) => s + Math.abs(v * y[k]), 0)),
    );
    expect(residualNorm(small, y, c)).toBeCloseTo(worst / scale, 13);
  });
});
