import { describe, expect, test } from "vitest";
import { stressError } from "../../src/solver/index.ts";
import { elasticity, enterElement, RULE6, strainAtPoint } from "../../src/solver/triangle6.ts";
import { kirsch, lame, type StressField, tractionOf } from "./exact.ts";
import { type Part, quarterPlate, ringSector } from "./shapes.ts";
import { type Solved, solvePart, steel } from "./solved.ts";
import { graded } from "./structured.ts";

/*
 * Orders of convergence of a second-order element on a smooth solution, against exact fields (Lamé art. 28, Kirsch art. 35 of
 * Timoshenko & Goodier): energy 4 (Strang & Fix 1973, from memory: twice the order of the strains), displacement 3, recovered
 * stress at least 2, the order of the raw one (over two halvings, since its largest error moves from node to node).
 */

interface Errors {
  readonly energy: number;
  readonly displacement: number;
  readonly stress: number;
  readonly raw: number;
  readonly estimate: number;
}

/** Largest nodal errors and energy-norm errors of a solution against an exact field. */
function errors(s: Solved, field: StressField, u: (x: number, y: number) => [number, number]): Errors {
  const { xy, elements } = s.mesh;
  let displacement = 0;
  let stress = 0;
  for (let i = 0; i < xy.length / 2; i++) {
    const [x, y] = xy.subarray(2 * i, 2 * i + 2);
    const [ux, uy] = u(x, y);
    displacement = Math.max(
      displacement,
      Math.hypot(s.solution.displacement[2 * i] - ux, s.solution.displacement[2 * i + 1] - uy),
    );
    const exact = field(x, y);
    for (let k = 0; k < 3; k++) stress = Math.max(stress, Math.abs(s.stress[3 * i + k] - exact[k]));
  }
  // ∫ (σ − σ_h):C⁻¹:(σ − σ_h), the square of the energy norm of the error
  const { d11, d12, d33 } = elasticity(steel);
  const det = d11 * d11 - d12 * d12;
  const strain = new Float64Array(3);
  let raw = 0;
  for (let e = 0; e < elements.length / 6; e++) {
    enterElement(xy, elements, s.solution.displacement, e);
    for (let g = 0; g < 6; g++) {
      const w = RULE6.weight[g] * strainAtPoint(RULE6, g, e, strain);
      let x = 0;
      let y = 0;
      for (let a = 0; a < 6; a++) {
        x += RULE6.shape[6 * g + a] * xy[2 * elements[6 * e + a]];
        y += RULE6.shape[6 * g + a] * xy[2 * elements[6 * e + a] + 1];
      }
      const [sxx, syy, sxy] = field(x, y);
      const a = sxx - (d11 * strain[0] + d12 * strain[1]);
      const b = syy - (d12 * strain[0] + d11 * strain[1]);
      const c = sxy - d33 * strain[2];
      raw += w * ((d11 * (a * a + b * b) - 2 * d12 * a * b) / det + (c * c) / d33);
    }
  }
  let estimate = 0;
  for (const e of stressError(s.problem, s.solution, s.stress)) estimate += e * e;
  return { energy: raw, displacement, stress, raw: Math.sqrt(raw), estimate: Math.sqrt(estimate) };
}

const symmetric = (first: string, second: string) => [
  { edges: [first], u: 0 },
  { edges: [second], v: 0 },
];

const problems: readonly {
  readonly name: string;
  readonly part: (n: number) => Part;
  readonly loaded: readonly string[];
  readonly supports: ReturnType<typeof symmetric>;
  readonly field: StressField;
  readonly u: (x: number, y: number) => [number, number];
}[] = [
  {
    name: "thick ring",
    part: (n) => ringSector(10, 20, 0, Math.PI / 2, n, n / 2, { space: graded(2) }),
    loaded: ["inner", "outer"],
    supports: symmetric("end", "start"),
    field: lame(10, 20, 100, 0),
    u: (x, y) => {
      const { E, nu } = steel;
      const r2 = x * x + y * y;
      const A = (100 * 100) / 300;
      const f = ((1 - nu) * A + ((1 + nu) * A * 400) / r2) / E; // u / r
      return [f * x, f * y];
    },
  },
  {
    name: "plate with a hole",
    part: (n) => quarterPlate(5, 20, n, n, graded(8)),
    loaded: ["x1", "y1"],
    supports: symmetric("x0", "y0"),
    field: kirsch(100, 5),
    u: (x, y) => {
      // 2G(u + iv) = κφ − z conj φ' − conj ψ with φ = S/4 (z + 2a²/z), ψ = −S/2 (z + a²/z − a⁴/z³)
      const { E, nu } = steel;
      const k = (3 - nu) / (1 + nu);
      const r2 = x * x + y * y;
      const inv = [x / r2, -y / r2];
      const sq = [inv[0] ** 2 - inv[1] ** 2, 2 * inv[0] * inv[1]];
      const cube = [sq[0] * inv[0] - sq[1] * inv[1], sq[0] * inv[1] + sq[1] * inv[0]];
      const phi = [25 * (x + 50 * inv[0]), 25 * (y + 50 * inv[1])];
      const slope = [25 * (1 - 50 * sq[0]), 25 * (-50 * sq[1])];
      const psi = [-50 * (x + 25 * inv[0] - 625 * cube[0]), -50 * (y + 25 * inv[1] - 625 * cube[1])];
      const re = k * phi[0] - (x * slope[0] + y * slope[1]) - psi[0];
      const im = k * phi[1] - (y * slope[0] - x * slope[1]) + psi[1];
      return [(re * (1 + nu)) / E, (im * (1 + nu)) / E];
    },
  },
];

describe("halving the elements", () => {
  for (const { name, part, loaded, supports, field, u } of problems) {
    for (const jitter of [0, 0.2]) {
      test(`${name}, ${jitter ? "shaken" : "regular"} mesh: energy falls 16-fold, displacement 8-fold, recovered stress over 4-fold`, () => {
        const [first, coarse, fine] = [6, 12, 24].map((n) =>
          errors(
            solvePart(part(n), [{ edges: loaded, traction: tractionOf(field) }], supports, {
              jitter,
              seed: 7,
            }),
            field,
            u,
          ),
        );
        const order = (key: keyof Errors) => Math.log2(coarse[key] / fine[key]);
        expect(order("energy")).toBeGreaterThan(3.7);
        expect(order("displacement")).toBeGreaterThan(2.8);
        expect(Math.log2(first.stress / fine.stress)).toBeGreaterThan(4);
        // the estimate from the recovered stress is the true error, and better as the mesh is finer
        expect(Math.abs(coarse.estimate / coarse.raw - 1)).toBeLessThan(0.05);
        expect(Math.abs(fine.estimate / fine.raw - 1)).toBeLessThan(0.02);
      });
    }
  }
});
