import { describe, expect, test } from "vitest";
import { elementStress } from "../../src/solver/index.ts";
import { referenceCases } from "./reference.ts";
import { rectangle } from "./shapes.ts";
import { solvePart, steel } from "./solved.ts";

/*
 * Patch tests: Irons & Razzaque 1972, as given in fixtures/reference/elastic-exact.json, section "patch". Displacements are
 * prescribed on the outer nodes of an irregular patch; inside everything must follow.
 */

const around = ["bottom", "right", "top", "left"];
const meshes = [
  ["straight sides", { jitter: 0.25, seed: 11 }],
  ["curved inner sides", { jitter: 0.2, bulge: 0.08, seed: 12 }],
] as const;

describe("patch", () => {
  for (const [name, options] of meshes) {
    for (const { id, inputs, expected, tolerance } of referenceCases("patch")) {
      if (!("exx" in inputs)) continue;
      test(`${id}, ${name}: displacements, raw and recovered stresses to 1e-9`, () => {
        const { exx, eyy, gxy } = inputs;
        const u = (x: number, y: number) => exx * x + (gxy / 2) * y;
        const v = (x: number, y: number) => (gxy / 2) * x + eyy * y;
        const { mesh, problem, solution, stress } = solvePart(
          rectangle(0, 0, 10, 10, 4, 3),
          [],
          [{ edges: around, u, v }],
          options,
        );
        const wanted = [expected.sxx, expected.syy, expected.sxy];
        const size = Math.max(...wanted.map(Math.abs));
        const exact = exactStress(exx, eyy, gxy);
        for (let k = 0; k < 3; k++) expect(Math.abs(exact[k] - wanted[k])).toBeLessThan(1e-6 * size); // printed to 7 figures
        for (let i = 0; i < mesh.xy.length / 2; i++) {
          const [x, y] = mesh.xy.subarray(2 * i, 2 * i + 2);
          expect(Math.abs(solution.displacement[2 * i] - u(x, y))).toBeLessThan(1e-14);
          expect(Math.abs(solution.displacement[2 * i + 1] - v(x, y))).toBeLessThan(1e-14);
          for (let k = 0; k < 3; k++) {
            expect(Math.abs(stress[3 * i + k] - exact[k])).toBeLessThan(tolerance.value * size);
          }
        }
        const raw = new Float64Array(3);
        for (let e = 0; e < mesh.elements.length / 6; e++) {
          for (const [xi, eta] of [
            [0, 0],
            [0.5, 0.5],
            [0.2, 0.7],
          ]) {
            elementStress(problem, solution, e, xi, eta, raw);
            for (let k = 0; k < 3; k++) {
              expect(Math.abs(raw[k] - exact[k])).toBeLessThan(tolerance.value * size);
            }
          }
        }
      });
    }
  }

  test("pure bending, a field of degree 2, is exact where sides are straight", () => {
    // patch/pure_bending_quadratic
    const s0 = 100;
    const c = 5;
    const { E, nu } = steel;
    const u = (x: number, y: number) => (s0 / (E * c)) * x * y;
    const v = (x: number, y: number) => (-s0 / (2 * E * c)) * (x * x + nu * y * y);
    const { mesh, stress } = solvePart(rectangle(0, -5, 10, 5, 4, 3), [], [{ edges: around, u, v }], {
      jitter: 0.25,
      seed: 13,
    });
    for (let i = 0; i < mesh.xy.length / 2; i++) {
      expect(Math.abs(stress[3 * i] - (s0 * mesh.xy[2 * i + 1]) / c)).toBeLessThan(1e-8 * s0);
      expect(Math.abs(stress[3 * i + 1])).toBeLessThan(1e-8 * s0);
      expect(Math.abs(stress[3 * i + 2])).toBeLessThan(1e-8 * s0);
    }
  });
});

function exactStress(exx: number, eyy: number, gxy: number): [number, number, number] {
  const { E, nu } = steel;
  const d = E / (1 - nu * nu);
  return [d * (exx + nu * eyy), d * (eyy + nu * exx), (E / (2 * (1 + nu))) * gxy];
}
