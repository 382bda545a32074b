import { describe, expect, test } from "vitest";
import { nodalResultant } from "../../src/solver/index.ts";
import { cantilever, curvedBarMoment, curvedBarShear, toPolar, tractionOf } from "./exact.ts";
import { referenceCases } from "./reference.ts";
import { rectangle, ringSector } from "./shapes.ts";
import { nodeAt, solvePart, stressAtNode } from "./solved.ts";

/* Cantilever: Timoshenko & Goodier art. 21 (elastic-exact.json, section "cantilever-parabolic-shear"). */
describe("cantilever with parabolic end shear", () => {
  for (const { id, inputs, expected } of referenceCases("cantilever-parabolic-shear")) {
    const { c, L, t, P, E, nu } = inputs;
    const I = (2 * c ** 3 * t) / 3;
    const G = E / (2 * (1 + nu));
    const part = rectangle(0, -c, L, c, (2 * L) / c, 4);
    const loads = [{ edges: ["left", "right"], traction: tractionOf(cantilever(c, t, P)) }];

    test(`${id}: stresses to 2e-3 and both tip deflections to 1e-3`, () => {
      // The middle of the root face is held, and its top corner against turning: u there as the exact field has it (art. 21,
      // from memory) when the axis' tangent rests, or when the face's middle does.
      const poisson = (-nu * P * c ** 3) / (6 * E * I);
      for (const [corner, deflection] of [
        [poisson - (P * c ** 3) / (3 * I * G), expected.tip_deflection_axis_clamp],
        [poisson + (P * c ** 3) / (6 * I * G), expected.tip_deflection_face_clamp],
      ]) {
        const s = solvePart(
          part,
          loads,
          [
            { point: [L, 0], u: 0, v: 0 },
            { point: [L, c], u: corner },
          ],
          { thickness: t },
        );
        expect(Math.abs(Math.abs(s.field.at(0, 0)!.v) / deflection - 1)).toBeLessThan(1e-3);
        const root = stressAtNode(s.stress, nodeAt(s.mesh, L, c));
        expect(Math.abs(root[0] / expected.sxx_root_top - 1)).toBeLessThan(2e-3);
        const axis = s.field.at(L / 2, 0)!;
        expect(Math.abs(axis.sxy / expected.sxy_axis - 1)).toBeLessThan(2e-3);
        expect(Math.abs(axis.sxx)).toBeLessThan(2e-3 * Math.abs(expected.sxx_root_top));
      }
    });
  }
});

/* Golovin 1881; Timoshenko & Goodier art. 29 (section "curved-bar-moment"). */
describe("curved bar bent by couples", () => {
  for (const { id, inputs, expected } of referenceCases("curved-bar-moment")) {
    const { a, b, M } = inputs;
    test(`${id}: hoop stress at both rims and mid-wall to 0.3 % of the largest`, () => {
      const rows = b / a < 1.5 ? 4 : b / a > 2.5 ? 14 : 8;
      const s = solvePart(
        ringSector(a, b, 0, Math.PI / 2, b / a < 1.5 ? 24 : 16, rows, {
          space: (u) => (a ** (1 - u) * b ** u) / (b - a) - a / (b - a),
        }),
        [{ edges: ["start", "end"], traction: tractionOf(curvedBarMoment(a, b, M)) }],
        [
          { point: [a, 0], u: 0, v: 0 },
          { point: [b, 0], v: 0 },
        ],
      );
      const size = Math.abs(expected.st_a);
      for (const angle of [Math.PI / 4, Math.PI / 2]) {
        const [c, n] = [Math.cos(angle), Math.sin(angle)];
        const inner = toPolar(...stressAtNode(s.stress, nodeAt(s.mesh, a * c, a * n)), c, n);
        const outer = toPolar(...stressAtNode(s.stress, nodeAt(s.mesh, b * c, b * n)), c, n);
        expect(Math.abs(inner[1] - expected.st_a)).toBeLessThan(3e-3 * size);
        expect(Math.abs(outer[1] - expected.st_b)).toBeLessThan(3e-3 * size);
        const p = s.field.at(expected.r_mid * c, expected.r_mid * n)!;
        const mid = toPolar(p.sxx, p.syy, p.sxy, c, n);
        expect(Math.abs(mid[0] - expected.sr_mid)).toBeLessThan(3e-3 * size);
        expect(Math.abs(mid[1] - expected.st_mid)).toBeLessThan(3e-3 * size);
      }
      // the two couples balance, so the supports carry nothing but what parabolas miss of arcs
      const carried = nodalResultant(s.mesh.xy, s.solution.reaction);
      expect(Math.abs(carried.moment)).toBeLessThan(1e-6 * M);
    });
  }
});

/* Timoshenko & Goodier art. 33 (section "curved-bar-shear"). */
describe("curved bar with a radial end force", () => {
  for (const { id, inputs, expected } of referenceCases("curved-bar-shear")) {
    const { a, b, P } = inputs;
    test(`${id}: stresses at the built-in end and shear at the free one to 0.3 % of the largest`, () => {
      const s = solvePart(
        ringSector(a, b, 0, Math.PI / 2, 20, 8),
        [{ edges: ["start", "end"], traction: tractionOf(curvedBarShear(a, b, P)) }],
        [
          { point: [0, a], u: 0, v: 0 },
          { point: [0, b], u: 0 },
        ],
      );
      const size = Math.abs(expected.st_a_th90);
      const inner = stressAtNode(s.stress, nodeAt(s.mesh, 0, a));
      const outer = stressAtNode(s.stress, nodeAt(s.mesh, 0, b));
      expect(Math.abs(inner[0] - expected.st_a_th90)).toBeLessThan(3e-3 * size);
      expect(Math.abs(outer[0] - expected.st_b_th90)).toBeLessThan(3e-3 * size);
      const p = s.field.at((a + b) / 2, 0)!;
      expect(Math.abs(p.sxy - expected.srt_mid_th0)).toBeLessThan(3e-3 * size);
      // on the face θ = 0 the outward normal is −y, so the traction along +x is −s_rθ
      let fx = 0;
      for (let i = 0; i < s.mesh.xy.length / 2; i++) {
        if (Math.abs(s.mesh.xy[2 * i + 1]) < 1e-9) fx += s.solution.load[2 * i];
      }
      expect(Math.abs(fx / -expected.shear_resultant_th0 - 1)).toBeLessThan(1e-7);
    });
  }
});
