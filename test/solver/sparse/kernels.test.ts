import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { simdModuleText } from "../../../scripts/simdModule.mjs";
import {
  analyse,
  createWorkspace,
  factor,
  NO_NODE,
  type NodeMatrix,
  NotPositiveDefiniteError,
  orderNodes,
  patternFromElements,
  solve,
} from "../../../src/solver/sparse/index.ts";
import { dominant, gradedMesh, meshMatrix, randomVector, sectorMesh } from "./matrices.ts";

/** The factor and the solution of three right-hand sides by one set of kernels. */
function solved(matrix: NodeMatrix, kind: "plain" | "simd") {
  const f = factor(analyse(matrix), matrix.values, createWorkspace(kind));
  const x = randomVector(6 * matrix.n, 7);
  solve(f, x, 3);
  return { panels: f.panels.slice(), x };
}

function expectSameBits(matrix: NodeMatrix): void {
  const plain = solved(matrix, "plain");
  const simd = solved(matrix, "simd");
  // -0 and 0 are told apart by toEqual, NaNs count as equal
  expect(simd.panels).toEqual(plain.panels);
  expect(simd.x).toEqual(plain.x);
}

const complete = (n: number) =>
  Array.from({ length: n * n }, (_, q) => [Math.floor(q / n), q % n] as const).filter(([a, b]) => a > b);

describe("vector kernels", () => {
  test.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 31, 32, 33])(
    "give the bits of the plain ones on a full matrix of %i nodes",
    (n) => expectSameBits(dominant(n, complete(n), 100 + n)),
  );

  test("give the bits of the plain ones on random graphs", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 200 }),
        fc.integer({ min: 1, max: 1e6 }),
        (n, pairs, seed) => {
          const edges = pairs.map(([a, b]) => [a % n, b % n] as const);
          expectSameBits(dominant(n, edges, seed));
        },
      ),
      { seed: 20240611, numRuns: 150 },
    );
  });

  test("give the bits of the plain ones on elastic meshes, structured and graded", () => {
    expectSameBits(meshMatrix(sectorMesh(11, 22)));
    expectSameBits(meshMatrix(gradedMesh(0.4, 5)));
  });

  test("name the same failing pivot as the plain ones", () => {
    const matrix = dominant(9, complete(9), 4);
    matrix.values[4 * matrix.colPtr[6] + 3] = -1;
    const failure = (kind: "plain" | "simd") => {
      try {
        factor(analyse(matrix), matrix.values, createWorkspace(kind));
      } catch (error) {
        if (error instanceof NotPositiveDefiniteError) return error.message;
        throw error;
      }
      return "";
    };
    expect(failure("simd")).toContain("not positive definite");
    expect(failure("simd")).toBe(failure("plain"));
  });

  test("order and analyse as plain ones do, with the cliques of a mesh known or not", () => {
    const meshes = [sectorMesh(11, 22), gradedMesh(0.4, 5)];
    const withCliques = meshes.map((m) => patternFromElements(m.held.length, m.elements, 6).pattern);
    for (const pattern of withCliques) {
      const { cliques, ...bare } = pattern;
      expect(cliques?.ptr.length).toBeGreaterThan(1);
      for (const graph of [pattern, bare]) {
        const order = orderNodes(graph, "plain");
        expect(orderNodes(graph)).toEqual(order);
        expect(analyse(graph)).toEqual(analyse(graph, undefined, "plain"));
        // a star a clique gives the same fronts and rows as all its edges
        const { pattern: _, ...read } = analyse(graph, order);
        const { pattern: __, ...other } = analyse(bare, order, "plain");
        expect(read).toEqual(other);
      }
    }
  });

  test("order and analyse random graphs as plain ones do", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 200 }),
        (n, pairs) => {
          const { values: _, ...graph } = dominant(
            n,
            pairs.map(([a, b]) => [a % n, b % n] as const),
            1,
          );
          expect(analyse(graph)).toEqual(analyse(graph, undefined, "plain"));
        },
      ),
      { seed: 20240612, numRuns: 150 },
    );
  });

  test("order and analyse random sets of elements, held and repeated nodes among them", () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.integer({ min: 0, max: 24 }), { minLength: 6, maxLength: 6 }), {
          maxLength: 40,
        }),
        (elements) => {
          // node 24 stands for one without an equation
          const flat = Uint32Array.from(elements.flat(), (i) => (i === 24 ? NO_NODE : i));
          const { pattern } = patternFromElements(24, flat, 6);
          expect(patternFromElements(24, flat, 6)).toEqual(patternFromElements(24, flat, 6, "plain"));
          const { cliques: _, ...bare } = pattern;
          const order = orderNodes(pattern);
          expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: 24 }, (__, i) => i));
          expect(orderNodes(pattern, "plain")).toEqual(order);
          const { pattern: a, ...read } = analyse(pattern, order);
          const { pattern: b, ...other } = analyse(bare, order, "plain");
          expect(read).toEqual(other);
        },
      ),
      { seed: 20240613, numRuns: 150 },
    );
  });

  test("are compiled from the sources beside them", async () => {
    const kept = readFileSync(new URL("../../../src/solver/sparse/simdModule.ts", import.meta.url), "utf8");
    expect(await simdModuleText()).toBe(kept);
  });
});
