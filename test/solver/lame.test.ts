import { describe, expect, test } from "vitest";
import { toPolar } from "./exact.ts";
import { referenceCases } from "./reference.ts";
import { ringSector } from "./shapes.ts";
import { nodeAt, solvePart, stressAtNode } from "./solved.ts";
import { graded } from "./structured.ts";

/* Thick ring under pressure: Lamé 1852; Timoshenko & Goodier art. 28 (elastic-exact.json, section "lame"). */
describe("thick ring under pressure, quarter with symmetry", () => {
  for (const { id, inputs, expected } of referenceCases("lame")) {
    test(`${id}: stresses to 0.3 % of the peak hoop stress, displacements to 1e-4`, () => {
      const { ri, ro, pi, po, r_mid } = inputs;
      const rows = ro / ri < 1.5 ? 4 : ro / ri > 3 ? 14 : 8;
      const { mesh, solution, stress, field } = solvePart(
        ringSector(ri, ro, 0, Math.PI / 2, 24, rows, { space: graded(ro / ri) }),
        [
          { edges: ["inner"], pressure: pi },
          { edges: ["outer"], pressure: po },
        ],
        [
          { edges: ["start"], v: 0 },
          { edges: ["end"], u: 0 },
        ],
      );
      const peak = Math.max(...["st_ri", "st_ro"].map((k) => Math.abs(expected[k])));
      const at = (r: number): { u: number; sr: number; st: number }[] =>
        [0, Math.PI / 4, Math.PI / 2].map((a) => {
          const [x, y] = [r * Math.cos(a), r * Math.sin(a)];
          if (r === r_mid) {
            const p = field.at(x, y)!;
            const [sr, st] = toPolar(p.sxx, p.syy, p.sxy, x, y);
            return { u: Math.cos(a) * p.u + Math.sin(a) * p.v, sr, st };
          }
          const i = nodeAt(mesh, x, y);
          const [sr, st] = toPolar(...stressAtNode(stress, i), x, y);
          const [u, v] = solution.displacement.subarray(2 * i, 2 * i + 2);
          return { u: Math.cos(a) * u + Math.sin(a) * v, sr, st };
        });
      for (const [name, r] of [
        ["ri", ri],
        ["mid", r_mid],
        ["ro", ro],
      ] as const) {
        for (const { u, sr, st } of at(r)) {
          expect(Math.abs(sr - expected[`sr_${name}`])).toBeLessThan(3e-3 * peak);
          expect(Math.abs(st - expected[`st_${name}`])).toBeLessThan(3e-3 * peak);
          expect(Math.abs(u / expected[`u_${name}`] - 1)).toBeLessThan(1e-4);
        }
      }
      expect(solution.residual).toBeLessThan(1e-15);
      expect(Math.abs(solution.strainEnergy / solution.halfWork - 1)).toBeLessThan(1e-11);
    });
  }
});
