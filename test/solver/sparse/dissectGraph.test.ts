import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { line } from "../../../src/geometry/index.ts";
import { solveOutline } from "../../../src/solver/index.ts";
import { dissectGraph } from "../../../src/solver/sparse/dissectGraph.ts";
import {
  analyse,
  createWorkspace,
  factor,
  type NodePattern,
  orderNodes,
  patternFromElements,
  residualNorm,
  solve,
} from "../../../src/solver/sparse/index.ts";
import {
  gradedMesh,
  meshMatrix,
  randomVector,
  relativeDifference,
  sectorMesh,
  type TestMesh,
} from "./matrices.ts";

/** The pattern of a mesh with nothing held, and its sets. */
function meshPattern(mesh: TestMesh): NodePattern {
  return patternFromElements(mesh.held.length, mesh.elements, 6).pattern;
}

/** Sets of nodes as a pattern. */
function patternOfSets(n: number, sets: readonly (readonly number[])[], width: number): NodePattern {
  const none = 0xffffffff;
  const flat = sets.flatMap((set) => Array.from({ length: width }, (_, a) => set[a] ?? none));
  return patternFromElements(n, Uint32Array.from(flat), width).pattern;
}

function dissected({ n, cliques }: NodePattern, leaf: number) {
  return dissectGraph(n, cliques!.ptr.length - 1, cliques!.ptr, cliques!.nodes, leaf);
}

/**
 * What nested dissection promises (A. George, SIAM J. Numer. Anal. 10, 1973): two nodes that are tied lie in parts one
 * within the other, so no edge runs between the halves that a separator parts. And separators come later.
 */
function expectSeparation(pattern: NodePattern, leaf: number): void {
  const { stage, parent } = dissected(pattern, leaf);
  const { n, colPtr, rowIdx } = pattern;
  expect(stage.length).toBe(n);
  expect(parent[parent.length - 1]).toBe(-1);
  for (let s = 0; s < parent.length - 1; s++) {
    expect(parent[s]).toBeGreaterThan(s);
    expect(parent[s]).toBeLessThan(parent.length);
  }
  const within = (low: number, high: number): boolean => {
    let s = low;
    while (s !== -1 && s < high) s = parent[s];
    return s === high;
  };
  let wrong = 0;
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
      const a = stage[j];
      const b = stage[rowIdx[p]];
      if (!within(Math.min(a, b), Math.max(a, b))) wrong++;
    }
  }
  expect(wrong).toBe(0);
}

/** Nodes in separators. */
function separating({ stage, parent }: ReturnType<typeof dissected>): number {
  const inner = new Set(parent);
  return stage.filter((s) => inner.has(s)).length;
}

/** Two of a mesh that do not touch. */
function twice({ xy, elements, held }: TestMesh): TestMesh {
  return {
    xy: Float64Array.of(...xy, ...xy),
    elements: Uint32Array.of(...elements, ...elements.map((i) => i + held.length)),
    held: Uint8Array.of(...held, ...held),
  };
}

const path = (n: number) => Array.from({ length: n - 1 }, (_, i) => [i, i + 1]);
const star = (n: number) => Array.from({ length: n - 1 }, (_, i) => [0, i + 1]);

describe("dissectGraph", () => {
  test("separates whatever the sets of nodes are, in pieces or not", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 80 }),
        fc.array(fc.array(fc.nat(), { minLength: 1, maxLength: 5 }), { minLength: 1, maxLength: 120 }),
        fc.integer({ min: 1, max: 12 }),
        (n, sets, leaf) => {
          const distinct = sets.map((set) => [...new Set(set.map((i) => i % n))]);
          expectSeparation(patternOfSets(n, distinct, 5), leaf);
        },
      ),
      { seed: 20240711, numRuns: 300 },
    );
  });

  test("separates paths, stars, rings, single nodes and meshes", () => {
    expectSeparation(patternOfSets(500, path(500), 2), 3);
    expectSeparation(patternOfSets(500, star(500), 2), 3);
    expectSeparation(patternOfSets(500, [...path(500), [499, 0]], 2), 3);
    expectSeparation(patternOfSets(1, [[0]], 2), 1);
    expectSeparation(
      patternOfSets(700, [...path(500), ...Array.from({ length: 200 }, (_, i) => [500 + i])], 2),
      2,
    );
    for (const leaf of [1, 20, 300]) {
      expectSeparation(meshPattern(sectorMesh(9, 18)), leaf);
      expectSeparation(meshPattern(gradedMesh(0.4, 5)), leaf);
    }
  });

  test("cuts a path at single nodes", () => {
    // exact: between two parts of a path there is one node
    const found = dissected(patternOfSets(1000, path(1000), 2), 10);
    expect(separating(found)).toBe((found.parent.length - 1) / 2);
    expect(found.parent.length).toBeGreaterThan(60);
  });

  test("needs no separator between pieces", () => {
    const pieces = Array.from({ length: 64 }, (_, k) => path(9).map(([a, b]) => [10 * k + a, 10 * k + b]));
    const found = dissected(patternOfSets(640, pieces.flat(), 2), 40);
    // cuts fall between pieces, or where parts of equal size ask for it inside one: a node each
    expect(separating(found)).toBeLessThanOrEqual((found.parent.length - 1) / 2);
    expectSeparation(patternOfSets(640, pieces.flat(), 2), 40);
  });

  test("cuts a square across no more than a line through it costs", () => {
    // n × n cells of two triangles: a straight cut runs along n sides, over 2 n + 1 nodes
    const n = 40;
    const pattern = meshPattern(sectorMesh(n, n));
    const found = dissected(pattern, 2 * n * n - 1);
    const top = found.stage.filter((s) => s === found.parent.length - 1).length;
    expect(top).toBeGreaterThan(0);
    expect(top).toBeLessThanOrEqual(2 * n + 1);
    const sizes = [0, 1].map((s) => found.stage.filter((t) => t === s).length);
    expect(Math.min(...sizes)).toBeGreaterThan(0.29 * pattern.n);
  });
});

describe("ordering by dissection", () => {
  const meshes = [sectorMesh(22, 44), gradedMesh(0.25, 3), twice(sectorMesh(14, 28))];

  test("is a permutation, the same each time and in both paths", () => {
    for (const mesh of meshes) {
      const pattern = meshPattern(mesh);
      const order = orderNodes(pattern, undefined, "dissection");
      expect(order).not.toEqual(orderNodes(pattern, undefined, "minimum degree"));
      expect(order.slice().sort()).toEqual(Int32Array.from({ length: pattern.n }, (_, i) => i));
      expect(orderNodes(pattern, undefined, "dissection")).toEqual(order);
      expect(orderNodes(pattern, "plain", "dissection")).toEqual(order);
      expect(analyse(pattern, "dissection")).toEqual(analyse(pattern, "dissection", "plain"));
      const { pattern: _, ...read } = analyse(pattern, order);
      const { pattern: __, ...found } = analyse(pattern, "dissection");
      expect(found).toEqual(read);
    }
  });

  test("fills in no more than minimum degree by a twentieth, and works less on the larger mesh", () => {
    const statistics = meshes.map((mesh) => {
      const pattern = meshPattern(mesh);
      return (["dissection", "minimum degree"] as const).map((way) => analyse(pattern, way).statistics);
    });
    for (const [ours, theirs] of statistics) {
      expect(ours.factorNonZeros).toBeLessThanOrEqual(1.05 * theirs.factorNonZeros);
    }
    // 100 k unknowns, as in docs/performance.md
    const large = meshPattern(sectorMesh(79, 158));
    const [ours, theirs] = (["automatic", "minimum degree"] as const).map(
      (way) => analyse(large, way).statistics,
    );
    expect(ours.factorNonZeros).toBeLessThanOrEqual(theirs.factorNonZeros);
    expect(ours.flops).toBeLessThan(theirs.flops);
  });

  test("solves as exactly as the other order", () => {
    const matrix = meshMatrix(sectorMesh(40, 80));
    const rhs = randomVector(2 * matrix.n, 5);
    const [a, b] = (["dissection", "minimum degree"] as const).map((way) => {
      const x = rhs.slice();
      solve(factor(analyse(matrix, way), matrix.values, createWorkspace()), x);
      expect(residualNorm(matrix, x, rhs)).toBeLessThan(1e-14);
      return x;
    });
    expect(relativeDifference(a, b)).toBeLessThan(1e-9);
  });

  test("can be asked for with a problem, and changes the answer by round-off alone", () => {
    const side = (name: string, x0: number, y0: number, x1: number, y1: number) => ({
      name,
      zone: name,
      curve: line(x0, y0, x1, y1),
    });
    const question = {
      outline: {
        loops: [[side("b", 0, 0, 8, 0), side("r", 8, 0, 8, 3), side("t", 8, 3, 0, 3), side("l", 0, 3, 0, 0)]],
      },
      material: { E: 210_000, nu: 0.3, state: "plane stress" as const },
      loads: [{ edges: ["t"], pressure: 10 }],
      supports: [{ edges: ["l"], u: 0, v: 0 }],
      meshSize: 0.15,
    };
    const a = solveOutline({ ...question, ordering: "dissection" }).displacement;
    const b = solveOutline(question).displacement;
    expect(a.length).toBeGreaterThan(4000);
    expect(a).not.toEqual(b);
    expect(relativeDifference(a, b)).toBeLessThan(1e-9);
    // @ts-expect-error an ordering there is not
    expect(() => solveOutline({ ...question, ordering: "best" })).toThrow('ordering: "best" is none of');
  });

  test("leaves to minimum degree what has no sets, or sets that do not fall apart", () => {
    const { cliques: _, ...bare } = meshPattern(meshes[0]);
    expect(orderNodes(bare, undefined, "dissection")).toEqual(orderNodes(bare, undefined, "minimum degree"));
    // 1500 sets of four out of 300 nodes at random
    const picks = randomVector(6000, 11);
    const sets = Array.from({ length: 1500 }, (_, s) => [
      ...new Set(Array.from({ length: 4 }, (__, a) => Math.floor(((picks[4 * s + a] + 1) / 2) * 299.999))),
    ]);
    const dense = patternOfSets(300, sets, 4);
    expect(orderNodes(dense, undefined, "dissection")).toEqual(
      orderNodes(dense, undefined, "minimum degree"),
    );
  });

  test("is refused under a name it has not", () => {
    const pattern = meshPattern(sectorMesh(2, 2));
    // @ts-expect-error an ordering there is not
    expect(() => orderNodes(pattern, undefined, "best")).toThrow('ordering: "best" is none of');
  });
});
