import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  addElement,
  checkPattern,
  NO_NODE,
  PLACE_BOTH,
  PLACE_DIRECT,
  PLACE_TRANSPOSED,
  patternFromElements,
} from "../../../src/solver/sparse/index.ts";
import { dense, meshMatrix, randomVector, sectorMesh } from "./matrices.ts";

describe("patternFromElements", () => {
  test("places the pairs of one element as documented", () => {
    // nodes 2, 0 and 2 again: blocks (0,0) = 0, (2,0) = 1, (1,1) = 2, (2,2) = 3
    const { pattern, elementPlace } = patternFromElements(3, Uint32Array.of(2, 0, 2), 3);
    expect([...pattern.colPtr]).toEqual([0, 2, 3, 4]);
    expect([...pattern.rowIdx]).toEqual([0, 2, 1, 2]);
    expect([...elementPlace]).toEqual([
      (3 << 2) | PLACE_DIRECT, // (a, b) = (0, 0)
      (1 << 2) | PLACE_TRANSPOSED, // (1, 0): row node 0, column node 2
      (0 << 2) | PLACE_DIRECT, // (1, 1)
      (3 << 2) | PLACE_BOTH, // (2, 0): the same node twice
      (1 << 2) | PLACE_DIRECT, // (2, 1)
      (3 << 2) | PLACE_DIRECT, // (2, 2)
    ]);
  });

  test("gives each node a diagonal block, used or not", () => {
    const { pattern } = patternFromElements(4, Uint32Array.of(1, 3), 2);
    expect([...pattern.rowIdx]).toEqual([0, 1, 3, 2, 3]);
  });

  test("refuses a node beyond the count and a length that does not divide", () => {
    expect(() => patternFromElements(3, Uint32Array.of(0, 1, 3), 3)).toThrow(
      "node 3 in element 0, of 3 nodes",
    );
    expect(() => patternFromElements(3, Uint32Array.of(0, 1), 3)).toThrow("2 indices are no multiple of 3");
  });

  test("with addElement sums elements as a dense scatter does, repeated and held nodes included", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.integer({ min: 1, max: 6 }),
        fc.array(fc.array(fc.nat({ max: 12 }), { minLength: 6, maxLength: 6 }), {
          minLength: 1,
          maxLength: 8,
        }),
        fc.integer({ min: 1, max: 1e6 }),
        (nodeCount, m, picks, seed) => {
          // 12 stands for a held node
          const elements = Uint32Array.from(
            picks.flatMap((p) => p.slice(0, m).map((i) => (i === 12 ? NO_NODE : i % nodeCount))),
          );
          const { pattern, elementPlace } = patternFromElements(nodeCount, elements, m);
          checkPattern(pattern);
          const values = new Float64Array(4 * pattern.rowIdx.length);
          const full = Array.from({ length: 2 * nodeCount }, () => new Array<number>(2 * nodeCount).fill(0));
          for (let e = 0; e < picks.length; e++) {
            const k = randomVector(4 * m * m, seed + e);
            for (let r = 0; r < 2 * m; r++) for (let c = 0; c < r; c++) k[2 * m * c + r] = k[2 * m * r + c];
            addElement(values, elementPlace, e, m, k);
            for (let r = 0; r < 2 * m; r++) {
              for (let c = 0; c < 2 * m; c++) {
                const i = elements[m * e + (r >> 1)];
                const j = elements[m * e + (c >> 1)];
                if (i !== NO_NODE && j !== NO_NODE)
                  full[2 * i + (r & 1)][2 * j + (c & 1)] += k[2 * m * r + c];
              }
            }
          }
          const ours = dense({ ...pattern, values });
          for (let r = 0; r < full.length; r++) {
            for (let c = 0; c < full.length; c++) expect(ours[r][c]).toBeCloseTo(full[r][c], 12);
          }
        },
      ),
      { seed: 20240501, numRuns: 150 },
    );
  });

  test("makes a stiffness that rigid motions do not strain", () => {
    // exact: translations and a small rotation give no force on an unsupported part
    const mesh = sectorMesh(3, 4);
    const a = dense(meshMatrix(mesh, true));
    const motions: ((i: number) => number)[] = [(i) => (i % 2 === 0 ? 1 : 0), (i) => (i % 2 === 1 ? 1 : 0)];
    motions.push((i) => (i % 2 === 0 ? -mesh.xy[i + 1] : mesh.xy[i - 1]));
    for (const motion of motions) {
      for (const row of a) {
        const scale = row.reduce((s, v, i) => s + Math.abs(v * motion(i)), 0);
        const force = row.reduce((s, v, i) => s + v * motion(i), 0);
        expect(Math.abs(force)).toBeLessThanOrEqual(1e-12 * scale);
      }
    }
  });
});

describe("checkPattern", () => {
  test("names the column whose diagonal is missing and rows out of order", () => {
    expect(() => checkPattern({ n: 2, colPtr: Int32Array.of(0, 1, 2), rowIdx: Int32Array.of(1, 1) })).toThrow(
      "column 0 does not start with its diagonal",
    );
    expect(() =>
      checkPattern({ n: 3, colPtr: Int32Array.of(0, 3, 4, 5), rowIdx: Int32Array.of(0, 2, 1, 1, 2) }),
    ).toThrow("row 1 after row 2 in column 0");
  });
});
