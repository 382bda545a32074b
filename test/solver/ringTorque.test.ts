import { describe, expect, test } from "vitest";
import { nodalResultant, type Support, type Traction } from "../../src/solver/index.ts";
import { toPolar } from "./exact.ts";
import { referenceCases } from "./reference.ts";
import { ring, ringSector } from "./shapes.ts";
import { nodeAt, type Solved, solvePart, stressAtNode } from "./solved.ts";
import { graded } from "./structured.ts";

/*
 * Ring in pure in-plane shear: equilibrium; Timoshenko & Goodier art. 31 (elastic-exact.json, section "ring-torque"). Posed with
 * uniform shear on both rims, and with the inner rim held; as a whole ring, and as one cyclic sector.
 */

/** Uniform hoop traction q. */
const hoop =
  (q: number): Traction =>
  (x, y, _nx, _ny, out) => {
    const r = Math.hypot(x, y);
    out[0] = (-q * y) / r;
    out[1] = (q * x) / r;
  };

for (const { id, inputs, expected } of referenceCases("ring-torque")) {
  const { ri, ro, t, T } = inputs;
  const qi = T / (2 * Math.PI * ri * ri * t);
  const qo = T / (2 * Math.PI * ro * ro * t);
  const rows = ro / ri > 1.5 ? 8 : 4;
  const space = graded(ro / ri);
  const sectors = 8;
  const columns = 6;
  const from = 0.3; // anywhere: nothing may depend on it
  const sector = ringSector(ri, ro, from, from + (2 * Math.PI) / sectors, columns, rows, {
    tied: true,
    space,
  });
  const whole = ring(ri, ro, sectors * columns, rows, space);
  const shear = [
    { edges: ["outer"], traction: hoop(qo) },
    { edges: ["inner"], traction: hoop(-qi) },
  ];
  const held: Support[] = [{ edges: ["inner"], u: 0, v: 0 }];
  const [px, py] = [ri * Math.cos(from), ri * Math.sin(from)];
  const pin: Support = { point: [px, py], v: 0, polar: true };

  const rims = (
    s: Solved,
    check: (srt: number, sn: number, tau: number, x: number, y: number, i: number) => void,
  ) => {
    for (let i = 0; i < s.mesh.xy.length / 2; i++) {
      const [x, y] = s.mesh.xy.subarray(2 * i, 2 * i + 2);
      const r = Math.hypot(x, y);
      const tau =
        Math.abs(r - ri) < 1e-6 ? expected.tau_ri : Math.abs(r - ro) < 1e-6 ? expected.tau_ro : null;
      if (tau === null) continue;
      const [sr, st, srt] = toPolar(...stressAtNode(s.stress, i), x, y);
      check(srt, Math.max(Math.abs(sr), Math.abs(st)), tau, x, y, i);
    }
  };

  describe(id, () => {
    test("cyclic sector, both rims in uniform shear: shear to 0.4 % of its peak, nothing else, no reaction", () => {
      const s = solvePart(sector, shear, [pin], { thickness: t });
      rims(s, (srt, sn, tau) => {
        expect(Math.abs(srt - tau)).toBeLessThan(4e-3 * expected.tau_ri);
        expect(sn).toBeLessThan(4e-3 * expected.tau_ri);
      });
      // tie forces cancel about the axis, so this is the pin's: what parabolas for arcs leave of balance
      const back = nodalResultant(s.mesh.xy, s.solution.reaction);
      expect(Math.abs(back.moment)).toBeLessThan((1e-4 * T) / sectors);
      const twist = hoopShift(s, ro) / ro - hoopShift(s, ri) / ri;
      expect(Math.abs(twist / expected.twist_rad - 1)).toBeLessThan(2e-4);
    });

    test("cyclic sector, inner rim held: the same, and u_t at the outer rim", () => {
      const s = solvePart(sector, shear.slice(0, 1), held, { thickness: t });
      rims(s, (srt, sn, tau) => {
        expect(Math.abs(srt - tau)).toBeLessThan(4e-3 * expected.tau_ri);
        expect(sn).toBeLessThan(4e-3 * expected.tau_ri);
      });
      expect(Math.abs(hoopShift(s, ro) / expected.u_t_ro - 1)).toBeLessThan(2e-4);
      const back = nodalResultant(s.mesh.xy, s.solution.reaction);
      expect(Math.abs((back.moment * sectors) / -T - 1)).toBeLessThan(1e-5);
    });

    test("the whole ring says the same as its sector, held or in shear", () => {
      // hoop motion held at one point of the sector; in the ring at three of its copies
      const pins = (angles: readonly number[]): Support[] =>
        angles.map((a) => ({ point: [ri * Math.cos(a), ri * Math.sin(a)] as const, v: 0, polar: true }));
      const one = ringSector(ri, ro, 0, (2 * Math.PI) / sectors, columns, rows, { tied: true, space });
      for (const [loads, ringSupports, sectorSupports] of [
        [shear.slice(0, 1), held, held],
        [shear, pins([0, Math.PI / 2, Math.PI]), pins([0])],
      ] as const) {
        const s = solvePart(whole, loads, ringSupports, { thickness: t });
        const c = solvePart(one, loads, sectorSupports, { thickness: t });
        const size = Math.abs(hoopShift(s, ro));
        for (let i = 0; i < c.mesh.xy.length / 2; i++) {
          const [x, y] = c.mesh.xy.subarray(2 * i, 2 * i + 2);
          const k = nodeAt(s.mesh, x, y);
          for (let d = 0; d < 2; d++) {
            expect(
              Math.abs(c.solution.displacement[2 * i + d] - s.solution.displacement[2 * k + d]),
            ).toBeLessThan(1e-9 * size);
          }
          // recovered stress is no worse at the cut than in the whole ring
          for (let d = 0; d < 3; d++) {
            expect(Math.abs(c.stress[3 * i + d] - s.stress[3 * k + d])).toBeLessThan(1e-7 * expected.tau_ri);
          }
        }
        const all = nodalResultant(s.mesh.xy, s.solution.load);
        const back = nodalResultant(s.mesh.xy, s.solution.reaction);
        expect(Math.abs(all.moment + back.moment)).toBeLessThan(1e-9 * T);
      }
    });
  });
}

/** Mean hoop displacement on the circle of radius r. */
function hoopShift({ mesh, solution }: Solved, r: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < mesh.xy.length / 2; i++) {
    const [x, y] = mesh.xy.subarray(2 * i, 2 * i + 2);
    if (Math.abs(Math.hypot(x, y) - r) > 1e-6) continue;
    sum += (x * solution.displacement[2 * i + 1] - y * solution.displacement[2 * i]) / r;
    count++;
  }
  return sum / count;
}
