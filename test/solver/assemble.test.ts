import { describe, expect, test } from "vitest";
import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize } from "../../src/mesh/index.ts";
import { assemble, equationPattern } from "../../src/solver/assemble.ts";
import { equations } from "../../src/solver/equations.ts";
import type { Problem } from "../../src/solver/index.ts";
import { ELEMENT_BLOCKS, elasticity, elementBlocks } from "../../src/solver/triangle6.ts";
import { distance, largest, steel } from "./solved.ts";

const TURN = Math.PI / 4;
const at = (r: number, a: number): [number, number] => [r * Math.cos(a), r * Math.sin(a)];

/** A sector between two arcs, its cut sides tied by a turn or not: some sides curved, most straight. */
function sector(tied: boolean, supports: Problem["supports"]): Problem {
  const ties = [{ leader: ["start"], follower: ["end"], motion: { angle: TURN, dx: 0, dy: 0 } }];
  const outline: Outline = {
    loops: [
      [
        { name: "start", zone: "cut", curve: line(...at(10, 0), ...at(16, 0)) },
        { name: "rim", zone: "tip", curve: arc(0, 0, 16, 0, TURN) },
        { name: "end", zone: "cut", curve: line(...at(16, TURN), ...at(10, TURN)) },
        { name: "bore", zone: "bore", curve: arc(0, 0, 10, TURN, 0) },
      ],
    ],
    ...(tied ? { ties } : {}),
  };
  const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 1.1 }) });
  return { outline, mesh, material: steel, thickness: 4, loads: [], supports };
}

function assembled(problem: Problem, kind?: "plain") {
  const eq = equations(problem);
  return assemble(problem, eq, equationPattern(problem.mesh, eq), undefined, kind);
}

describe("assemble", () => {
  test.each([
    ["free", sector(false, [])],
    ["held at an angle", sector(false, [{ edges: ["end"], v: 0, angle: TURN }])],
    ["tied to itself", sector(true, [])],
    ["tied to itself, displacements prescribed", sector(true, [{ edges: ["bore"], u: 0.01, polar: true }])],
  ])("gives the same bits in both paths for a sector %s", (_, problem) => {
    const here = assembled(problem);
    const plain = assembled(problem, "plain");
    expect(here.matrix.values).toEqual(plain.matrix.values);
    expect(here.lift).toEqual(plain.lift);
  });

  test("is the sum of the element stiffnesses", () => {
    // by definition; the sums differ in their order alone, a few roundings of the greatest entry
    const problem = sector(false, []);
    const { xy, elements } = problem.mesh;
    const { matrix } = assembled(problem);
    const { n, colPtr, rowIdx, values } = matrix;
    expect(2 * n).toBe(xy.length);
    const sums = new Map<number, number>();
    const k = new Float64Array(ELEMENT_BLOCKS);
    for (let e = 0; e < elements.length / 6; e++) {
      elementBlocks(xy, elements, e, elasticity(steel), 4, k);
      for (let a = 0, q = 0; a < 6; a++) {
        for (let b = 0; b <= a; b++, q += 4) {
          for (let c = 0; c < 4; c++) {
            const row = 2 * elements[6 * e + a] + (c & 1);
            const column = 2 * elements[6 * e + b] + (c >> 1);
            const key = Math.max(row, column) * 2 * n + Math.min(row, column);
            if (a === b && c === 2) continue; // the mirrored half of a diagonal block
            sums.set(key, (sums.get(key) ?? 0) + k[q + c]);
          }
        }
      }
    }
    const expected = new Float64Array(values.length);
    const found = values.slice();
    const eq = equations(problem);
    const nodeOf = new Int32Array(n);
    for (let i = 0; i < n; i++) nodeOf[eq.equation[eq.classOf[i]]] = i;
    for (let j = 0; j < n; j++) {
      for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
        for (let c = 0; c < 4; c++) {
          const row = 2 * nodeOf[rowIdx[p]] + (c & 1);
          const column = 2 * nodeOf[j] + (c >> 1);
          if (rowIdx[p] === j && c === 2)
            found[4 * p + c] = 0; // not read by the solver
          else expected[4 * p + c] = sums.get(Math.max(row, column) * 2 * n + Math.min(row, column)) ?? 0;
        }
      }
    }
    expect(distance(found, expected)).toBeLessThan(1e-14 * largest(expected));
  });

  test("names the element that is inside out, in both paths", () => {
    const problem = sector(false, []);
    const elements = problem.mesh.elements.slice();
    // the other way round: corners 0 2 1, mid-sides 5 4 3
    const [a, b, c, d, e, f] = elements.subarray(60, 66);
    elements.set([a, c, b, f, e, d], 60);
    const wrong = { ...problem, mesh: { ...problem.mesh, elements } };
    expect(() => assembled(wrong)).toThrow("element 10 is inside out");
    expect(() => assembled(wrong, "plain")).toThrow("element 10 is inside out");
    // and works again afterwards
    expect(assembled(problem).matrix.values).toEqual(assembled(problem, "plain").matrix.values);
  });
});
