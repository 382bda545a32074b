import { describe, expect, test } from "vitest";
import {
  analyse,
  createWorkspace,
  factor,
  type NodeMatrix,
  NotPositiveDefiniteError,
  PIVOT_TOLERANCE,
  solve,
} from "../../../src/solver/sparse/index.ts";
import { dominant, gradedMesh, matrixFromEdges, meshMatrix, randomVector, sectorMesh } from "./matrices.ts";

function failure(matrix: NodeMatrix, order?: Int32Array): NotPositiveDefiniteError {
  try {
    factor(analyse(matrix, order), matrix.values);
  } catch (error) {
    if (error instanceof NotPositiveDefiniteError) return error;
    throw error;
  }
  throw new Error("factorised");
}

describe("a matrix that is not positive definite", () => {
  test("names the node and dof without stiffness, and what to do", () => {
    for (const dof of [0, 1] as const) {
      for (const node of [0, 3, 6]) {
        const edges = [1, 2, 3, 4, 5, 6].map((i) => [i, i - 1] as const);
        const matrix = dominant(7, edges, 40);
        // the node's row and column of this dof emptied
        for (let j = 0; j < 7; j++) {
          for (let p = matrix.colPtr[j]; p < matrix.colPtr[j + 1]; p++) {
            for (let r = 0; r < 2; r++) {
              for (let c = 0; c < 2; c++) {
                const row = 2 * matrix.rowIdx[p] + r;
                const column = 2 * j + c;
                if (row === 2 * node + dof || column === 2 * node + dof) matrix.values[4 * p + 2 * c + r] = 0;
              }
            }
          }
        }
        const error = failure(matrix);
        expect([error.node, error.dof, error.pivot]).toEqual([node, dof, 0]);
        expect(error.message).toContain(`node ${node}, dof ${dof}`);
        expect(error.message).toContain("add a support");
      }
    }
  });

  test("names the first failing pivot of a full matrix in the order given", () => {
    // exact: A = L D Lᵀ with unit L of ones below the diagonal and D = 1 but for -2 at dof 5; elimination meets D
    const n = 4;
    const entry = (r: number, c: number) => {
      let sum = 0;
      for (let k = 0; k <= Math.min(r, c); k++) sum += k === 5 ? -2 : 1;
      return sum;
    };
    const edges = [];
    for (let a = 0; a < n; a++) for (let b = 0; b < a; b++) edges.push([a, b] as const);
    const matrix = matrixFromEdges(n, edges, (i, j) => [
      entry(2 * i, 2 * j),
      entry(2 * i + 1, 2 * j),
      entry(2 * i, 2 * j + 1),
      entry(2 * i + 1, 2 * j + 1),
    ]);
    const error = failure(matrix, Int32Array.of(0, 1, 2, 3));
    expect([error.node, error.dof]).toEqual([2, 1]);
    expect(error.pivot).toBeCloseTo(-2, 14);
  });

  test.each([
    ["a sector", sectorMesh(6, 12)],
    ["a graded mesh", gradedMesh(0.5, 9)],
  ])("finds %s without supports though round-off may leave small positive pivots", (_, mesh) => {
    const error = failure(meshMatrix(mesh, true));
    // against the diagonal entry: round-off, however much the last nodes' short lever magnifies it
    expect((Math.abs(error.pivot) / error.floor) * PIVOT_TOLERANCE).toBeLessThan(1e-8);
  });

  test("names a node of the loose piece when another piece is held", () => {
    const held = meshMatrix(sectorMesh(4, 6));
    const loose = meshMatrix(sectorMesh(3, 5), true);
    const blocks = held.rowIdx.length;
    const joint: NodeMatrix = {
      n: held.n + loose.n,
      colPtr: Int32Array.from([...held.colPtr, ...loose.colPtr.subarray(1).map((p) => p + blocks)]),
      rowIdx: Int32Array.from([...held.rowIdx, ...loose.rowIdx.map((i) => i + held.n)]),
      values: Float64Array.from([...held.values, ...loose.values]),
    };
    expect(failure(joint).node).toBeGreaterThanOrEqual(held.n);
  });

  test.each([
    [Number.NaN, "no finite number"],
    [Number.POSITIVE_INFINITY, "no finite number"],
    [-3, "zero or negative"],
  ])("says that a value is %d", (value, words) => {
    const matrix = dominant(
      5,
      [
        [1, 0],
        [2, 1],
        [3, 2],
        [4, 3],
      ],
      41,
    );
    matrix.values[4 * matrix.colPtr[2]] = value;
    const error = failure(matrix);
    expect(error.node).toBe(2);
    expect(error.message).toContain(words);
  });

  test("leaves the workspace fit for the next matrix", () => {
    const bad = meshMatrix(sectorMesh(3, 5), true);
    const good = meshMatrix(sectorMesh(3, 5));
    const workspace = createWorkspace();
    expect(() => factor(analyse(bad), bad.values, workspace)).toThrow(NotPositiveDefiniteError);
    const b = randomVector(2 * good.n, 42);
    const x = b.slice();
    solve(factor(analyse(good), good.values, workspace), x);
    const fresh = b.slice();
    solve(factor(analyse(good), good.values), fresh);
    expect(x).toEqual(fresh);
  });
});
