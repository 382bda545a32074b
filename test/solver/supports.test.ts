import { Matrix, solve } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { assemble, equationPattern, gather, spread } from "../../src/solver/assemble.ts";
import { equations, NO_NODE } from "../../src/solver/equations.ts";
import {
  nodalResultant,
  type Problem,
  Solver,
  type Support,
  sideLoads,
  solveProblem,
} from "../../src/solver/index.ts";
import { rectangle, ring, ringSector } from "./shapes.ts";
import { distance, largest, nodeAt, solvePart, steel } from "./solved.ts";
import { finishMesh, structuredMesh } from "./structured.ts";

/** A problem on a small part. */
function small(supports: readonly Support[], loads: Problem["loads"] = []): Problem {
  const part = rectangle(0, 0, 4, 2, 2, 1);
  return {
    outline: part.outline,
    mesh: structuredMesh(part.outline, part.blocks),
    material: steel,
    thickness: 1,
    loads,
    supports,
  };
}

/** Displacements by a dense solve of the assembled matrix (ml-matrix), independent of the sparse solver. */
function dense(problem: Problem): Float64Array {
  const eq = equations(problem);
  const { matrix, lift } = assemble(problem, eq, equationPattern(problem.mesh, eq));
  const n = 2 * eq.count;
  const full = Matrix.zeros(n, n);
  for (let j = 0; j < eq.count; j++) {
    for (let p = matrix.colPtr[j]; p < matrix.colPtr[j + 1]; p++) {
      for (let c = 0; c < 2; c++) {
        for (let r = 0; r < 2; r++) {
          const v = matrix.values[4 * p + 2 * c + r];
          full.set(2 * matrix.rowIdx[p] + r, 2 * j + c, v);
          full.set(2 * j + c, 2 * matrix.rowIdx[p] + r, v);
        }
      }
    }
  }
  gather(eq, sideLoads(problem, problem.loads), lift);
  const q = solve(full, Matrix.columnVector(Array.from(lift))).to1DArray();
  const u = new Float64Array(problem.mesh.xy.length);
  spread(eq, Float64Array.from(q), u);
  return u;
}

describe("equations", () => {
  test("give the displacements a dense solve gives: supports, slanted supports, prescribed values, ties", () => {
    const sector = ringSector(5, 8, 0.4, 0.4 + Math.PI / 5, 2, 2, { tied: true });
    const cases: Problem[] = [
      small([{ edges: ["left"], u: 0, v: 0 }], [{ edges: ["right"], traction: [3, -7] }]),
      small(
        [
          { edges: ["left"], v: 0, angle: 0.4 },
          { point: [0, 0], u: 0, angle: 0.4 },
        ],
        [{ edges: ["top"], pressure: 5 }],
      ),
      small([
        { edges: ["left"], u: 0, v: 0 },
        { edges: ["right"], u: (_x, y) => 1e-3 * y, v: 2e-3 },
      ]),
      {
        outline: sector.outline,
        mesh: structuredMesh(sector.outline, sector.blocks),
        material: steel,
        thickness: 3,
        loads: [{ edges: ["inner"], pressure: 40 }],
        supports: [{ edges: ["outer"], v: 1e-4, polar: true }],
      },
    ];
    for (const problem of cases) {
      const a = solveProblem(problem);
      const b = dense(problem);
      expect(distance(a.displacement, b)).toBeLessThan(1e-12 * largest(b));
      expect(a.residual).toBeLessThan(1e-15);
      expect(Math.abs(a.strainEnergy - a.halfWork)).toBeLessThan(1e-11 * a.strainEnergy);
    }
  });

  test("a slanted roller: no force along it, no motion into it", () => {
    const angle = 0.7;
    const problem = small(
      [
        { edges: ["bottom"], v: 0, angle },
        { point: [0, 0], u: 0, angle },
      ],
      [{ edges: ["top"], pressure: 10 }],
    );
    const { displacement, reaction } = solveProblem(problem);
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    for (let i = 0; i < displacement.length / 2; i++) {
      const y = problem.mesh.xy[2 * i + 1];
      const x = problem.mesh.xy[2 * i];
      if (y !== 0) continue;
      expect(Math.abs(-s * displacement[2 * i] + c * displacement[2 * i + 1])).toBeLessThan(1e-18);
      if (x !== 0) expect(Math.abs(c * reaction[2 * i] + s * reaction[2 * i + 1])).toBeLessThan(1e-11);
    }
  });

  test("a polar support lets a ring breathe and keeps it from turning", () => {
    const s = solvePart(
      ring(10, 20, 48, 6),
      [{ edges: ["inner"], pressure: 100 }],
      [{ edges: ["outer"], v: 0, polar: true }],
    );
    // Lamé, as in elastic-exact.json lame/1
    const i = nodeAt(s.mesh, 0, 20);
    expect(s.solution.displacement[2 * i + 1] / 0.006349206).toBeCloseTo(1, 3);
  });

  test("reactions balance loads in force and moment", () => {
    const s = solvePart(
      rectangle(0, 0, 4, 2, 6, 3),
      [
        { edges: ["right"], traction: [3, -7] },
        { edges: ["top"], pressure: 4 },
      ],
      [{ edges: ["left"], u: 0, v: 0 }],
      { thickness: 2.5 },
    );
    const f = nodalResultant(s.mesh.xy, s.solution.load);
    const r = nodalResultant(s.mesh.xy, s.solution.reaction);
    expect(f.fx).toBeCloseTo(3 * 2 * 2.5, 12);
    expect(f.fy).toBeCloseTo((-7 * 2 - 4 * 4) * 2.5, 12);
    expect(f.fx + r.fx).toBeCloseTo(0, 9);
    expect(f.fy + r.fy).toBeCloseTo(0, 9);
    expect(f.moment + r.moment).toBeCloseTo(0, 9);
  });
});

describe("ties", () => {
  test("a full set of sectors sharing its centre holds that node still", () => {
    // a pie slice of 45°: the centre is its own image under the tie
    const at = (a: number) => [6 * Math.cos(a), 6 * Math.sin(a)] as const;
    const turn = Math.PI / 4;
    const [ex, ey] = at(turn);
    const outline: Outline = {
      loops: [
        [
          { name: "start", zone: "cut", curve: line(0, 0, 6, 0) },
          { name: "rim", zone: "rim", curve: arc(0, 0, 6, 0, turn) },
          { name: "end", zone: "cut", curve: line(ex, ey, 0, 0) },
        ],
      ],
      ties: [{ leader: ["start"], follower: ["end"], motion: { angle: turn, dx: 0, dy: 0 } }],
    };
    const [mx, my] = at(turn / 2);
    const xy = Float64Array.of(0, 0, 6, 0, ex, ey, 3, 0, mx, my, ex / 2, ey / 2);
    const mesh = finishMesh(outline, xy, Uint32Array.of(0, 1, 2, 3, 4, 5));
    const problem: Problem = {
      outline,
      mesh,
      material: steel,
      thickness: 1,
      loads: [{ edges: ["rim"], pressure: -30 }],
      supports: [{ point: [6, 0], v: 0 }],
    };
    const eq = equations(problem);
    expect(eq.equation[eq.classOf[0]]).toBe(NO_NODE);
    const { displacement, halfWork, strainEnergy } = solveProblem(problem);
    expect(displacement[0]).toBe(0);
    expect(displacement[1]).toBe(0);
    // a disc pulled evenly: u = (1 − ν) p r / E (Lamé with no hole)
    expect(displacement[2] / ((0.7 * 30 * 6) / 210000)).toBeCloseTo(1, 3);
    expect(Math.abs(displacement[4] - displacement[2] * Math.SQRT1_2)).toBeLessThan(1e-18);
    expect(Math.abs(strainEnergy / halfWork - 1)).toBeLessThan(1e-12);
  });

  test("a shift tie repeats a strip endlessly: pressure from above strains it as a wall of no width change", () => {
    const part = rectangle(0, 0, 3, 2, 3, 2);
    const outline: Outline = {
      ...part.outline,
      ties: [{ leader: ["left"], follower: ["right"], motion: { angle: 0, dx: 3, dy: 0 } }],
    };
    const mesh = structuredMesh(outline, part.blocks, { jitter: 0.1 });
    const { displacement, load, reaction } = solveProblem({
      outline,
      mesh,
      material: steel,
      thickness: 1,
      loads: [{ edges: ["top"], pressure: 21 }],
      supports: [
        { edges: ["bottom"], v: 0 },
        { point: [0, 0], u: 0 },
      ],
    });
    // exx = 0 and syy = −p: v = −p (1 − ν²) y / E
    const i = nodeAt(mesh, 3, 2);
    expect(displacement[2 * i + 1] / ((-21 * 0.91 * 2) / 210000)).toBeCloseTo(1, 12);
    expect(Math.abs(displacement[2 * i])).toBeLessThan(1e-18);
    expect(nodalResultant(mesh.xy, load).fy + nodalResultant(mesh.xy, reaction).fy).toBeCloseTo(0, 10);
  });

  test("two pieces that meet in one node turn about it like a hinge", () => {
    const parts = [rectangle(0, 0, 2, 2, 2, 2), rectangle(2, 2, 4, 4, 2, 2)];
    const outline: Outline = {
      loops: parts.map(({ outline: { loops } }, k) => loops[0].map((e) => ({ ...e, name: `${e.name}${k}` }))),
    };
    const problem: Problem = {
      outline,
      mesh: structuredMesh(
        outline,
        parts.flatMap(({ blocks }) => blocks),
      ),
      material: steel,
      thickness: 1,
      loads: [{ edges: ["top1"], pressure: 10 }],
      supports: [{ edges: ["left0"], u: 0, v: 0 }],
    };
    expect(() => solveProblem(problem)).toThrow(
      "it can turn about (2, 2) (pieces that touch in a single node turn there like a hinge)",
    );
    // held against that turn, both carry, and their forces balance
    const held = { ...problem, supports: [...problem.supports, { edges: ["right1"], v: 0 }] };
    const { load, reaction, strainEnergy, halfWork } = solveProblem(held);
    expect(
      nodalResultant(problem.mesh.xy, load).fy + nodalResultant(problem.mesh.xy, reaction).fy,
    ).toBeCloseTo(0, 10);
    expect(Math.abs(strainEnergy / halfWork - 1)).toBeLessThan(1e-9);
  });

  test("chains of ties add up their turns", () => {
    // three 40° sectors tied one to the next, the third to the first's image: as one sector tied to itself
    const sector = (2 * Math.PI) / 9;
    const one = ringSector(5, 8, 0, sector, 2, 2, { tied: true });
    const a = solvePart(one, [{ edges: ["inner"], pressure: 40 }], [{ edges: ["outer"], u: 0, v: 0 }]);
    const parts = [0, 1, 2].map((k) => ringSector(5, 8, k * sector, (k + 1) * sector, 2, 2));
    const outline: Outline = {
      loops: parts.map((p, k) => p.outline.loops[0].map((e) => ({ ...e, name: `${e.name}${k}` }))),
      ties: [
        { leader: ["start0"], follower: ["start1"], motion: { angle: sector, dx: 0, dy: 0 } },
        { leader: ["start1"], follower: ["start2"], motion: { angle: sector, dx: 0, dy: 0 } },
        ...[0, 1, 2].map((k) => ({
          leader: [`start${k}`],
          follower: [`end${k}`],
          motion: { angle: sector, dx: 0, dy: 0 },
        })),
      ],
    };
    // separate pieces: meshes side by side, nodes never shared
    const meshes = parts.map((p) => structuredMesh(p.outline, p.blocks));
    let nodes = 0;
    const xy: number[] = [];
    const elements: number[] = [];
    for (const m of meshes) {
      xy.push(...m.xy);
      elements.push(...m.elements.map((i) => i + nodes));
      nodes += m.xy.length / 2;
    }
    const mesh = joined(meshes, outline, Float64Array.from(xy), Uint32Array.from(elements));
    const b = solveProblem({
      outline,
      mesh,
      material: steel,
      thickness: 1,
      loads: [{ edges: ["inner0", "inner1", "inner2"], pressure: 40 }],
      supports: [
        { edges: ["outer0"], u: 0, v: 0 },
        { edges: ["outer1", "outer2"], u: 0, v: 0 },
      ],
    });
    const n = a.mesh.xy.length;
    expect(distance(b.displacement.subarray(0, n), a.solution.displacement)).toBeLessThan(
      1e-12 * largest(a.solution.displacement),
    );
  });
});

/** Pieces in one mesh, each with its four edges, tied by position. */
function joined(
  meshes: readonly Problem["mesh"][],
  outline: Outline,
  xy: Float64Array,
  elements: Uint32Array,
): Problem["mesh"] {
  const tieLeader: number[] = [];
  const tieFollower: number[] = [];
  const tieIndex: number[] = [];
  let base = 0;
  let first = 0;
  const side = { element: [] as number[], local: [] as number[], edge: [] as number[], u: [] as number[] };
  const on = new Map<string, Set<number>>();
  for (const [k, m] of meshes.entries()) {
    for (let b = 0; b < m.sideElement.length; b++) {
      side.element.push(m.sideElement[b] + first);
      side.local.push(m.sideLocal[b]);
      side.edge.push(m.sideEdge[b] + 4 * k);
      side.u.push(m.sideU[2 * b], m.sideU[2 * b + 1]);
      const name = outline.loops[k][m.sideEdge[b]].name;
      const at = 6 * m.sideElement[b];
      const s = m.sideLocal[b];
      if (!on.has(name)) on.set(name, new Set());
      for (const i of [m.elements[at + s], m.elements[at + 3 + s], m.elements[at + ((s + 1) % 3)]]) {
        on.get(name)!.add(i + base);
      }
    }
    base += m.xy.length / 2;
    first += m.elements.length / 6;
  }
  for (const [t, tie] of outline.ties!.entries()) {
    const c = Math.cos(tie.motion.angle);
    const s = Math.sin(tie.motion.angle);
    for (const l of on.get(tie.leader[0])!) {
      const x = c * xy[2 * l] - s * xy[2 * l + 1];
      const y = s * xy[2 * l] + c * xy[2 * l + 1];
      for (const f of on.get(tie.follower[0])!) {
        if (Math.hypot(xy[2 * f] - x, xy[2 * f + 1] - y) > 1e-9) continue;
        tieLeader.push(l);
        tieFollower.push(f);
        tieIndex.push(t);
      }
    }
  }
  return {
    xy,
    elements,
    neighbours: Int32Array.from(
      meshes.flatMap((m, k) => Array.from(m.neighbours, (e) => (e < 0 ? e : e + (k * elements.length) / 18))),
    ),
    sideElement: Uint32Array.from(side.element),
    sideLocal: Uint8Array.from(side.local),
    sideEdge: Uint32Array.from(side.edge),
    sideU: Float64Array.from(side.u),
    tieLeader: Uint32Array.from(tieLeader),
    tieFollower: Uint32Array.from(tieFollower),
    tieIndex: Uint32Array.from(tieIndex),
  };
}

describe("what the user must put right is said in words", () => {
  const load = [{ edges: ["right"], traction: [1, 0] as const }];
  test.each<[string, readonly Support[], string]>([
    ["no support at all", [], "move along x, along y and turn"],
    ["free along x", [{ edges: ["bottom"], v: 0 }], "move along x"],
    ["free along y", [{ edges: ["left"], u: 0 }], "move along y"],
    ["free to turn about its pin", [{ point: [4, 2], u: 0, v: 0 }], "turn about (4, 2)"],
    ["free along a slope", [{ edges: ["bottom"], v: 0, angle: Math.PI / 6 }], "move along (0.866, 0.500)"],
  ])("%s", (_name, supports, words) => {
    expect(() => solveProblem(small(supports, load))).toThrow(words);
  });

  test("two values for one direction, with the place", () => {
    const clash = [
      { edges: ["left"], u: 0, v: 0 },
      { edges: ["top"], u: 0.5 },
    ];
    expect(() => solveProblem(small(clash))).toThrow(
      /edge "top" at \(0\.00000, 2\.00000\) prescribes 0\.5 mm/,
    );
    // the same value twice is no contradiction, nor is one direction given in two frames
    const agree = [
      { edges: ["left"], u: 0, v: 0 },
      { edges: ["top"], u: 0 },
      { edges: ["top"], v: 0, angle: -Math.PI / 2 },
    ];
    expect(() => solveProblem(small(agree))).not.toThrow();
  });

  test("an edge that is not there, a support without a place, a load that is both or neither", () => {
    const held = [{ edges: ["left"], u: 0, v: 0 }];
    expect(() => solveProblem(small([{ edges: ["lift"], u: 0 }]))).toThrow('no edge "lift"; it has "bottom"');
    expect(() => solveProblem(small([{ u: 0 }]))).toThrow("neither edges nor a point");
    expect(() => solveProblem(small(held, [{ edges: ["rim"], pressure: 1 }]))).toThrow(
      'load: the outline has no edge "rim"',
    );
    expect(() => solveProblem(small(held, [{ edges: ["top"], pressure: 1, traction: [1, 1] }]))).toThrow(
      "both are there",
    );
    expect(() => solveProblem(small(held, [{ edges: ["top"] }]))).toThrow("neither is there");
  });

  test("two parts that only touch in a node", () => {
    // a hinge: the second square can turn about the shared corner
    const a = rectangle(0, 0, 1, 1, 1, 1);
    const b = rectangle(1, 1, 2, 2, 1, 1);
    const outline: Outline = {
      loops: [a.outline.loops[0], b.outline.loops[0].map((e) => ({ ...e, name: `${e.name}2` }))],
    };
    const mesh = structuredMesh(outline, [...a.blocks, ...b.blocks]);
    const problem: Problem = {
      outline,
      mesh,
      material: steel,
      thickness: 1,
      loads: [],
      supports: [{ edges: ["left"], u: 0, v: 0 }],
    };
    expect(() => solveProblem(problem)).toThrow(
      /it can turn about \(1, 1\) \(pieces that touch in a single node/,
    );
  });
});

describe("Solver", () => {
  const supports = [{ edges: ["left"], u: 0, v: 0 }];
  test("updated with other coordinates, material and loads gives what a fresh solve gives", () => {
    const first = small(supports, [{ edges: ["right"], traction: [1, 2] }]);
    const solver = new Solver(first);
    solver.solve();
    const other: Problem = {
      ...first,
      mesh: { ...first.mesh, xy: first.mesh.xy.map((v, k) => (k % 2 === 0 ? 1.25 * v : v)) },
      outline: rectangle(0, 0, 5, 2, 2, 1).outline,
      material: { E: 70000, nu: 0.33, state: "plane strain" },
      loads: [{ edges: ["top"], pressure: 3 }],
    };
    solver.update(other);
    expect(distance(solver.solve().displacement, solveProblem(other).displacement)).toBe(0);
    expect(solver.unknowns).toBe(solveProblem(other).unknowns);
  });

  test("updated with other supports analyses anew", () => {
    const first = small(supports, [{ edges: ["right"], traction: [1, 2] }]);
    const solver = new Solver(first);
    solver.solve();
    const other = { ...first, supports: [{ edges: ["bottom"], u: 0, v: 0 }] };
    solver.update(other);
    expect(distance(solver.solve().displacement, solveProblem(other).displacement)).toBe(0);
  });
});
