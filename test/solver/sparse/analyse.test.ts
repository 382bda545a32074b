import fc from "fast-check";
import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { columnCounts } from "../../../src/solver/sparse/columnCounts.ts";
import { postorder } from "../../../src/solver/sparse/eliminationTree.ts";
import { analyse, type Symbolic } from "../../../src/solver/sparse/index.ts";
import { dense, dominant, gradedMesh, meshMatrix, shuffled } from "./matrices.ts";

/** What the layout promises, checked in full. */
function expectSound(s: Symbolic): void {
  const { n, fronts, frontFirst, frontParent, rowPtr, rows, rowInParent, panelStart, entryTarget } = s;
  expect(frontFirst[fronts]).toBe(n);
  for (let f = 0; f < fronts; f++) {
    const first = frontFirst[f];
    const last = frontFirst[f + 1];
    expect(last).toBeGreaterThan(first);
    for (let q = rowPtr[f]; q < rowPtr[f + 1]; q++) {
      expect(rows[q]).toBeGreaterThanOrEqual(q === rowPtr[f] ? last : rows[q - 1] + 1);
    }
    const up = frontParent[f];
    if (rowPtr[f] === rowPtr[f + 1]) continue; // nothing to pass on
    expect(up).toBeGreaterThan(f);
    const k = frontFirst[up + 1] - frontFirst[up];
    for (let q = rowPtr[f]; q < rowPtr[f + 1]; q++) {
      const local = rowInParent[q];
      const node = local < k ? frontFirst[up] + local : rows[rowPtr[up] + local - k - (k & 1)];
      expect(node).toBe(rows[q]);
    }
  }
  // an update is not written over one still waited for
  let waiting: number[] = [];
  const end = (f: number) => {
    const blocks = (rowPtr[f + 1] - rowPtr[f] + 1) >> 1;
    return s.updateStart[f] + 8 * blocks * (blocks + 1);
  };
  for (let f = 0; f < fronts; f++) {
    expect(end(f)).toBeLessThanOrEqual(s.updateLength);
    for (const other of waiting) {
      const apart = end(other) <= s.updateStart[f] || end(f) <= s.updateStart[other];
      if (!apart) throw new Error(`update of front ${f} over that of front ${other}`);
    }
    waiting = waiting.filter((other) => frontParent[other] !== f);
    if (rowPtr[f] < rowPtr[f + 1]) waiting.push(f);
  }
  expect([...s.childList].map((f) => frontParent[f])).toEqual(
    Array.from({ length: fronts }, (_, f) =>
      new Array<number>(s.childPtr[f + 1] - s.childPtr[f]).fill(f),
    ).flat(),
  );
  // no two blocks fall on one place
  expect(new Set(entryTarget).size).toBe(entryTarget.length);
  for (const target of entryTarget) expect(target + 5).toBeLessThan(panelStart[fronts]);
}

describe("analyse", () => {
  test("counts the non-zeros a dense factorisation finds, on random graphs", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 25 }),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 60 }),
        fc.integer({ min: 1, max: 1e6 }),
        (n, pairs, seed) => {
          const matrix = dominant(
            n,
            pairs.map(([a, b]) => [a % n, b % n] as const),
            seed,
          );
          const s = analyse(matrix);
          expectSound(s);
          const a = dense(matrix);
          const dofs = [...s.order].flatMap((i) => [2 * i, 2 * i + 1]);
          const l = new CholeskyDecomposition(new Matrix(dofs.map((r) => dofs.map((c) => a[r][c]))))
            .lowerTriangularMatrix;
          const counts = dofs.map((_, c) => dofs.filter((_, r) => l.get(r, c) !== 0).length);
          expect(s.statistics.factorNonZeros).toBe(counts.reduce((sum, c) => sum + c, 0));
          expect(s.statistics.flops).toBe(counts.reduce((sum, c) => sum + c * c, 0));
          expect(s.statistics.factorStored).toBeGreaterThanOrEqual(s.statistics.factorNonZeros);
        },
      ),
      { seed: 20240505, numRuns: 120 },
    );
  });

  test("is sound on a graded mesh, in any order", () => {
    const matrix = meshMatrix(gradedMesh(0.5, 1));
    const given = analyse(matrix);
    expectSound(given);
    expect([...given.order].sort((a, b) => a - b)).toEqual(Array.from({ length: matrix.n }, (_, i) => i));
    const poor = analyse(matrix, shuffled(matrix.n, 5));
    expectSound(poor);
    expect(poor.statistics.factorNonZeros).toBeGreaterThan(given.statistics.factorNonZeros);
  });

  test("keeps few zeros for the sake of larger fronts", () => {
    const { statistics } = analyse(meshMatrix(gradedMesh(0.25, 2)));
    expect(statistics.frontFlops).toBeLessThan(1.25 * statistics.flops);
    expect(statistics.peakBytes).toBeGreaterThan(8 * statistics.factorStored);
  });

  test("stacks far fewer numbers of updates than the factor holds", () => {
    const s = analyse(meshMatrix(gradedMesh(0.25, 2)));
    expect(s.updateLength).toBeLessThan(0.5 * s.statistics.factorStored);
  });

  test("takes an empty matrix", () => {
    const s = analyse({ n: 0, colPtr: Int32Array.of(0), rowIdx: new Int32Array(0) });
    expect(s.fronts).toBe(0);
  });

  test("refuses an order that is no permutation", () => {
    const matrix = dominant(3, [[1, 0]], 1);
    expect(() => analyse(matrix, Int32Array.of(0, 1))).toThrow("an order of 2 for 3 nodes");
    expect(() => analyse(matrix, Int32Array.of(0, 1, 1))).toThrow("order[2] = 1 is no permutation");
  });
});

describe("columnCounts", () => {
  test("of an arrow pointing up is full triangles, pointing down two a column", () => {
    // exact: eliminating the hub first joins all; last joins none
    const n = 6;
    const chain = Int32Array.from({ length: n }, (_, i) => (i + 1 < n ? i + 1 : -1));
    const hubFirst = columnCounts(chain, Int32Array.of(0, 5, 5, 5, 5, 5, 5), Int32Array.of(1, 2, 3, 4, 5));
    expect([...hubFirst]).toEqual([6, 5, 4, 3, 2, 1]);
    const star = Int32Array.of(5, 5, 5, 5, 5, -1);
    const hubLast = columnCounts(star, Int32Array.of(0, 1, 2, 3, 4, 5, 5), Int32Array.of(5, 5, 5, 5, 5));
    expect([...hubLast]).toEqual([2, 2, 2, 2, 2, 1]);
  });
});

describe("postorder", () => {
  test("puts children first, subtrees together, heavier siblings ahead", () => {
    const parent = Int32Array.of(4, 4, 3, 5, 5, -1, -1);
    expect([...postorder(parent, new Float64Array(7))]).toEqual([2, 3, 0, 1, 4, 5, 6]);
    expect([...postorder(parent, Float64Array.of(1, 2, 0, 1, 3, 0, 0))]).toEqual([1, 0, 4, 2, 3, 5, 6]);
  });
});
