import { describe, expect, test } from "vitest";
import { meshOutline, outlineSize } from "../../src/mesh/index.ts";
import {
  evaluator,
  integrateSides,
  nodalResultant,
  type Problem,
  recoverStress,
  sideLoads,
  solveOutline,
  solveProblem,
} from "../../src/solver/index.ts";
import { kirsch, tractionOf } from "./exact.ts";
import { quarterPlate, rectangle, ring } from "./shapes.ts";
import { nodeAt, solvePart, steel } from "./solved.ts";
import { structuredMesh } from "./structured.ts";

describe("recoverStress", () => {
  test("is exact for a stress of degree 3 given at the nodes, to the boundary and at every node", () => {
    // Airy function x⁵ − 5 x³ y²·…: φ = Re z⁵ + Im(conj(z) z⁴) (biharmonic, Goursat), so stresses of degree 3 in equilibrium
    const part = rectangle(-2, -1, 3, 2, 6, 5);
    const mesh = structuredMesh(part.outline, part.blocks, { jitter: 0.2, seed: 5 });
    const { E, nu } = steel;
    const G = E / (2 * (1 + nu));
    const kappa = (3 - nu) / (1 + nu);
    // φ' = (2 − i) z³, ψ' = (1 + 3i) z³ − z²
    const cx = (re: number, im: number): [number, number] => [re, im];
    const mul = (a: readonly number[], b: readonly number[]) =>
      cx(a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]);
    const field = (x: number, y: number) => {
      const z = cx(x, y);
      const z2 = mul(z, z);
      const z3 = mul(z2, z);
      const z4 = mul(z2, z2);
      const phi = mul([0.5, -0.25], z4);
      const d1 = mul([2, -1], z3);
      const d2 = mul([6, -3], z2);
      const psi = mul([0.25, 0.75], z4);
      psi[0] -= z3[0] / 3;
      psi[1] -= z3[1] / 3;
      const dpsi = mul([1, 3], z3);
      dpsi[0] -= z2[0];
      dpsi[1] -= z2[1];
      const zc = mul(z, [d1[0], -d1[1]]);
      const D = mul([x, -y], d2);
      D[0] += dpsi[0];
      D[1] += dpsi[1];
      return {
        u: [(kappa * phi[0] - zc[0] - psi[0]) / (2 * G), (kappa * phi[1] - zc[1] + psi[1]) / (2 * G)],
        s: [2 * d1[0] - D[0], 2 * d1[0] + D[0], D[1]] as [number, number, number],
      };
    };
    const displacement = new Float64Array(mesh.xy.length);
    let size = 0;
    for (let i = 0; i < mesh.xy.length / 2; i++) {
      const { u, s } = field(mesh.xy[2 * i], mesh.xy[2 * i + 1]);
      displacement.set(u, 2 * i);
      size = Math.max(size, ...s.map(Math.abs));
    }
    const loads = [
      { edges: ["right", "top"], traction: tractionOf((x, y) => field(x, y).s) },
      { edges: ["bottom"], traction: tractionOf((x, y) => field(x, y).s) },
    ];
    const supports = [{ edges: ["left"], u: 0, v: 0 }];
    const problem: Problem = { outline: part.outline, mesh, material: steel, thickness: 1, loads, supports };
    const stress = recoverStress(problem, { displacement });
    for (let i = 0; i < mesh.xy.length / 2; i++) {
      const { s } = field(mesh.xy[2 * i], mesh.xy[2 * i + 1]);
      for (let k = 0; k < 3; k++) expect(Math.abs(stress[3 * i + k] - s[k])).toBeLessThan(1e-9 * size);
    }
  });

  test("meets the load on a loaded side and the absence of it on a free one", () => {
    const s = solvePart(
      ring(10, 20, 32, 4),
      [{ edges: ["inner"], pressure: 100 }],
      [
        { point: [10, 0], u: 0, v: 0 },
        { point: [-10, 0], v: 0 },
      ],
    );
    for (let i = 0; i < s.mesh.xy.length / 2; i++) {
      const [x, y] = s.mesh.xy.subarray(2 * i, 2 * i + 2);
      const r = Math.hypot(x, y);
      if (r > 10 + 1e-6 && r < 20 - 1e-6) continue;
      const [sxx, syy, sxy] = s.stress.subarray(3 * i, 3 * i + 3);
      const p = r < 15 ? -100 : 0; // radial stress wanted, no shear
      expect(Math.abs(sxx * x + sxy * y - p * x) / r).toBeLessThan(0.3);
      expect(Math.abs(sxy * x + syy * y - p * y) / r).toBeLessThan(0.3);
    }
  });

  test("where a pressure starts, neither side's load is forced on the other", () => {
    const part = rectangle(-10, -10, 10, 0, 8, 4);
    const top = part.outline.loops[0][2];
    const split = {
      loops: [
        [
          part.outline.loops[0][0],
          part.outline.loops[0][1],
          { ...top, name: "clear", curve: { kind: "line" as const, x0: 10, y0: 0, x1: 0, y1: 0 } },
          { ...top, name: "pressed", curve: { kind: "line" as const, x0: 0, y0: 0, x1: -10, y1: 0 } },
          part.outline.loops[0][3],
        ],
      ],
    };
    const s = solvePart(
      { outline: split, blocks: part.blocks },
      [{ edges: ["pressed"], pressure: 60 }],
      [{ edges: ["bottom"], u: 0, v: 0 }],
    );
    const syy = s.stress[3 * nodeAt(s.mesh, 0, 0) + 1];
    expect(syy).toBeGreaterThan(-55);
    expect(syy).toBeLessThan(-5);
    expect(Math.abs(s.stress[3 * nodeAt(s.mesh, -5, 0) + 1] + 60)).toBeLessThan(0.6);
    expect(Math.abs(s.stress[3 * nodeAt(s.mesh, 5, 0) + 1])).toBeLessThan(0.6);
  });

  test("works on a mesh of one or two elements", () => {
    const s = solvePart(
      rectangle(0, 0, 2, 1, 1, 1),
      [{ edges: ["right"], traction: [10, 0] }],
      [
        { edges: ["left"], u: 0 },
        { point: [0, 0], v: 0 },
      ],
    );
    for (let i = 0; i < s.stress.length; i += 3) {
      expect(s.stress[i]).toBeCloseTo(10, 8);
      expect(s.stress[i + 1]).toBeCloseTo(0, 8);
      expect(s.stress[i + 2]).toBeCloseTo(0, 8);
    }
  });
});

describe("side loads", () => {
  test("refuse a load that is no number, by its edge", () => {
    const part = ring(10, 20, 32, 4);
    const body = { outline: part.outline, mesh: structuredMesh(part.outline, part.blocks), thickness: 3 };
    for (const traction of [
      [Number.NaN, 0],
      [0, Number.POSITIVE_INFINITY],
    ] as const)
      expect(() => sideLoads(body, [{ edges: ["outer"], traction }])).toThrow(/load on outer: a traction of/);
    expect(() => sideLoads(body, [{ edges: ["outer"], pressure: Number.NaN }])).toThrow(/load on outer/);
  });

  test("a pressure all round a closed loop balances, and the parabolas' length is the circle's", () => {
    const part = ring(10, 20, 32, 4);
    const mesh = structuredMesh(part.outline, part.blocks);
    const body = { outline: part.outline, mesh, thickness: 3 };
    const f = sideLoads(body, [{ edges: ["outer"], pressure: 50 }]);
    const r = nodalResultant(mesh.xy, f);
    expect(Math.hypot(r.fx, r.fy)).toBeLessThan(1e-10);
    expect(Math.abs(r.moment)).toBeLessThan(1e-9);
    const out = integrateSides(body, ["outer"], (_x, _y, nx, ny, t) => t.set([nx, ny]));
    expect(out.length / (40 * Math.PI)).toBeCloseTo(1, 5);
  });

  test("nodal loads have the force and moment of the traction on the meshed sides, to round-off", () => {
    const part = ring(10, 20, 20, 3);
    const mesh = structuredMesh(part.outline, part.blocks);
    const body = { outline: part.outline, mesh, thickness: 3 };
    const traction = (x: number, y: number, nx: number, _ny: number, t: Float64Array) => {
      t[0] = 3 * x - y * y + nx;
      t[1] = 2 + x * y;
    };
    const a = nodalResultant(mesh.xy, sideLoads(body, [{ edges: ["inner"], traction }]));
    const b = integrateSides(body, ["inner"], traction);
    // tractions of some 100 MPa over 60 mm × 3 mm at an arm of 10 mm
    for (const key of ["fx", "fy", "moment"] as const)
      expect(Math.abs(a[key] - b[key])).toBeLessThan(1e-14 * 2e5);
  });
});

describe("solveOutline", () => {
  const w = 20;
  const { outline } = quarterPlate(5, w, 8, 8, (u) => u);

  test("meshes, solves and answers at a point: a plate with a hole (Kirsch) with no word about elements", () => {
    const field = kirsch(100, 5);
    const answer = solveOutline({
      outline,
      material: steel,
      loads: [{ edges: ["x1", "y1"], traction: tractionOf(field) }],
      supports: [
        { edges: ["x0"], u: 0 },
        { edges: ["y0"], v: 0 },
      ],
      meshSize: 1.2,
    });
    expect(Math.abs(answer.at(0, 5)!.sxx / 300 - 1)).toBeLessThan(5e-3);
    for (const [x, y] of [
      [0, 6],
      [8, 6],
      [10, 10],
      [19, 3],
    ]) {
      const p = answer.at(x, y)!;
      const exact = field(x, y);
      expect(Math.abs(p.sxx - exact[0])).toBeLessThan(0.5);
      expect(Math.abs(p.syy - exact[1])).toBeLessThan(0.5);
      expect(Math.abs(p.sxy - exact[2])).toBeLessThan(0.5);
    }
    expect(answer.at(1, 1)).toBeNull();
    expect(answer.at(25, 1)).toBeNull();
    expect(answer.stress.length).toBe(1.5 * answer.displacement.length);
  });

  test("the evaluator writes the same into arrays, and leaves them alone outside", () => {
    const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 4 }) });
    const problem: Problem = {
      outline,
      mesh,
      material: steel,
      thickness: 1,
      loads: [{ edges: ["x1"], traction: [100, 0] }],
      supports: [
        { edges: ["x0"], u: 0 },
        { edges: ["y0"], v: 0 },
      ],
    };
    const solution = solveProblem(problem);
    const stress = recoverStress(problem, solution);
    const field = evaluator(problem, solution, stress);
    const s = new Float64Array(3);
    const d = new Float64Array(2);
    for (let i = 0; i < mesh.xy.length / 2; i += 3) {
      const [x, y] = mesh.xy.subarray(2 * i, 2 * i + 2);
      expect(field.stressAt(x, y, s)).toBe(true);
      expect(field.displacementAt(x, y, d)).toBe(true);
      for (let k = 0; k < 3; k++) expect(s[k]).toBeCloseTo(stress[3 * i + k], 6);
      for (let k = 0; k < 2; k++) expect(d[k]).toBeCloseTo(solution.displacement[2 * i + k], 12);
    }
    s.fill(7);
    expect(field.stressAt(0, 0, s)).toBe(false);
    expect([...s]).toEqual([7, 7, 7]);
  });

  test("refuses a mesh size that is none", () => {
    const bad = { outline, material: steel, loads: [], supports: [], meshSize: 0 };
    expect(() => solveOutline(bad)).toThrow("meshSize 0 mm must be positive");
  });
});
