import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { analyse, type NodePattern, orderNodes } from "../../../src/solver/sparse/index.ts";
import { gradedMesh, matrixFromEdges, meshMatrix, renumber, sectorMesh, shuffled } from "./matrices.ts";

const one = () => [1, 0, 0, 1] as const;
const edgesOf = (pairs: readonly (readonly [number, number])[], n: number) =>
  pairs.map(([a, b]) => [a % n, b % n] as const);

function expectPermutation(order: Int32Array, n: number): void {
  expect(order.length).toBe(n);
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
}

/** Blocks of the factor for an order, by playing elimination on sets: the definition of fill. */
function fillOf(pattern: NodePattern, order: ArrayLike<number>): number {
  const near = Array.from({ length: pattern.n }, () => new Set<number>());
  for (let j = 0; j < pattern.n; j++) {
    for (let p = pattern.colPtr[j] + 1; p < pattern.colPtr[j + 1]; p++) {
      near[j].add(pattern.rowIdx[p]);
      near[pattern.rowIdx[p]].add(j);
    }
  }
  let blocks = 0;
  for (let k = 0; k < order.length; k++) {
    const i = order[k];
    blocks += 1 + near[i].size;
    for (const a of near[i]) {
      near[a].delete(i);
      for (const b of near[i]) if (a !== b) near[a].add(b);
    }
  }
  return blocks;
}

/** Greedy minimum degree with true degrees. */
function exactMinimumDegree(pattern: NodePattern): number[] {
  const near = Array.from({ length: pattern.n }, () => new Set<number>());
  for (let j = 0; j < pattern.n; j++) {
    for (let p = pattern.colPtr[j] + 1; p < pattern.colPtr[j + 1]; p++) {
      near[j].add(pattern.rowIdx[p]);
      near[pattern.rowIdx[p]].add(j);
    }
  }
  const left = new Set(near.keys());
  const order: number[] = [];
  while (left.size > 0) {
    let best = -1;
    for (const i of left) if (best === -1 || near[i].size < near[best].size) best = i;
    order.push(best);
    left.delete(best);
    for (const a of near[best]) {
      near[a].delete(best);
      for (const b of near[best]) if (a !== b) near[a].add(b);
    }
  }
  return order;
}

describe("orderNodes", () => {
  // dense enough that the quotient graph runs out of room and is swept together several times
  test("is a permutation, the same on both paths, of random graphs with more fill than room", {
    timeout: 60_000,
  }, () => {
    let state = 0;
    const random = () => {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
      return (state >>> 8) / 2 ** 24;
    };
    for (let seed = 1; seed <= 12; seed++) {
      state = seed;
      const n = 3000;
      const edges = Array.from(
        { length: 5000 },
        () => [Math.floor(n * random()), Math.floor(n * random())] as const,
      );
      const pattern = matrixFromEdges(
        n,
        edges.filter(([a, b]) => a !== b),
        one,
      );
      const plain = orderNodes(pattern, "plain", "minimum degree");
      expectPermutation(plain, n);
      expect(orderNodes(pattern, undefined, "minimum degree")).toEqual(plain);
    }
  });

  test("is a permutation of any graph, also in pieces, also with single nodes", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 200 }),
        (n, pairs) => {
          expectPermutation(orderNodes(matrixFromEdges(n, edgesOf(pairs, n), one)), n);
        },
      ),
      { seed: 20240502, numRuns: 400 },
    );
    expect(orderNodes(matrixFromEdges(0, [], one)).length).toBe(0);
  });

  test("puts a node tied to nearly all others last", () => {
    const n = 2000;
    const edges = Array.from({ length: n - 1 }, (_, i) => [i + 1, 0] as const);
    const order = orderNodes(matrixFromEdges(n, edges, one));
    expectPermutation(order, n);
    expect(order[n - 1]).toBe(0);
  });

  test("makes no fill in a tree", () => {
    // exact: leaves first leaves nothing to join (S. Parter, SIAM Review 3, 1961, from memory)
    fc.assert(
      fc.property(fc.array(fc.nat(), { minLength: 1, maxLength: 300 }), (picks) => {
        const n = picks.length + 1;
        const pattern = matrixFromEdges(
          n,
          picks.map((p, k) => [k + 1, p % (k + 1)] as const),
          one,
        );
        expect(fillOf(pattern, orderNodes(pattern))).toBe(2 * n - 1);
      }),
      { seed: 20240503, numRuns: 60 },
    );
  });

  test("fills about as little as greedy elimination with true degrees", () => {
    let ours = 0;
    let greedy = 0;
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(), fc.nat()), { minLength: 40, maxLength: 160 }), (pairs) => {
        const pattern = matrixFromEdges(60, edgesOf(pairs, 60), one);
        ours += fillOf(pattern, orderNodes(pattern));
        greedy += fillOf(pattern, exactMinimumDegree(pattern));
      }),
      { seed: 20240504, numRuns: 100 },
    );
    expect(ours).toBeLessThanOrEqual(1.05 * greedy);
  });

  // non-zeros of the factor of the same matrices under the AMD of SuiteSparse 5.12 on the node graph, counted by
  // CHOLMOD 3.0.14; 0.8 rad sector, nr × 2 nr cells, inner arc held
  test.each([
    [25, 10_100, 522_438],
    [56, 50_400, 3_823_432],
    [79, 100_172, 8_363_106],
  ])("fills a sector of %i cells across no more than the reference count allows", (nr, unknowns, count) => {
    const mesh = sectorMesh(nr, 2 * nr);
    const matrix = meshMatrix(mesh);
    expect(2 * matrix.n).toBe(unknowns);
    expect(analyse(matrix).statistics.factorNonZeros).toBeLessThanOrEqual(1.05 * count);
    if (nr > 60) return;
    // whatever the node numbers
    const other = renumber(matrix, shuffled(matrix.n, 7));
    expect(analyse(other).statistics.factorNonZeros).toBeLessThanOrEqual(1.15 * count);
  });

  test("is the same each time", () => {
    const matrix = meshMatrix(gradedMesh(0.5, 3));
    expect(orderNodes(matrix)).toEqual(orderNodes(matrix));
  });
});
