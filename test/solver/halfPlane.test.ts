import { describe, expect, test } from "vitest";
import { line, type Outline } from "../../src/geometry/index.ts";
import { stripLoad, toPolar, tractionOf, wedge } from "./exact.ts";
import { referenceCases } from "./reference.ts";
import { ringSector } from "./shapes.ts";
import { solvePart } from "./solved.ts";
import { along, graded } from "./structured.ts";

/* Boussinesq/Michell; Timoshenko & Goodier art. 37 (elastic-exact.json, section "strip-load"): box 0 ≤ x ≤ 20, −20 ≤ y ≤ 0. */
describe("half-plane with pressure on a strip", () => {
  const a = 5;
  const w = 20;
  const top = [line(w, 0, a, 0), line(a, 0, 0, 0)] as const;
  const bottom = line(0, -w, w, -w);
  const right = line(w, -w, w, 0);
  const left = line(0, 0, 0, -w);
  const split = line(a, -w, a, 0);
  const outline: Outline = {
    loops: [
      [
        { name: "bottom", zone: "outer", curve: bottom },
        { name: "right", zone: "outer", curve: right },
        { name: "clear", zone: "outer", curve: top[0] },
        { name: "pressed", zone: "flank", curve: top[1] },
        { name: "left", zone: "symmetry", curve: left },
      ],
    ],
  };
  const down = (u: number) => 1 - graded(8)(1 - u); // rows crowd at the surface
  const blocks = [
    {
      bottom: along(line(0, -w, a, -w)),
      top: along(line(0, 0, a, 0)),
      left: along(line(0, -w, 0, 0)),
      right: along(split),
      columns: 10,
      rows: 16,
      spaceRows: down,
      spaceColumns: (u: number) => 1 - graded(6)(1 - u),
    },
    {
      bottom: along(line(a, -w, w, -w)),
      top: along(line(a, 0, w, 0)),
      left: along(split),
      right: along(right),
      columns: 14,
      rows: 16,
      spaceRows: down,
      spaceColumns: graded(12),
    },
  ];
  const s = solvePart(
    { outline, blocks },
    [
      { edges: ["pressed"], pressure: 100 },
      { edges: ["bottom", "right"], traction: tractionOf(stripLoad(100, a)) },
    ],
    [
      { edges: ["left"], u: 0 },
      { point: [0, -w], v: 0 },
    ],
  );
  for (const { id, inputs, expected } of referenceCases("strip-load")) {
    test(`${id}: to 0.5 MPa of 100`, () => {
      const p = s.field.at(inputs.x, inputs.y)!;
      expect(Math.abs(p.sxx - expected.sxx)).toBeLessThan(0.5);
      expect(Math.abs(p.syy - expected.syy)).toBeLessThan(0.5);
      expect(Math.abs(p.sxy - expected.sxy)).toBeLessThan(0.5);
      expect(Math.abs(Math.hypot((p.sxx - p.syy) / 2, p.sxy) - expected.tau_max)).toBeLessThan(0.5);
    });
  }
});

/* Flamant 1892, Michell; Timoshenko & Goodier arts. 36, 38 (section "flamant"): sector 4 ≤ r ≤ 20, flanks free. */
describe("wedge under a force at its apex", () => {
  for (const { id, inputs, expected } of referenceCases("flamant")) {
    const { P, halfAngleDeg, r } = inputs;
    const al = (halfAngleDeg * Math.PI) / 180;
    for (const way of ["along", "across"] as const) {
      test(`${id}, force ${way} the axis: to 0.5 % of the flank or axis stress`, () => {
        const field = wedge(al, P, way === "along");
        const n = Math.max(4, 2 * Math.ceil(halfAngleDeg / 15));
        const s = solvePart(
          ringSector(4, 25, -al, al, 2 * n, 16, { space: (u) => (4 * (25 / 4) ** u - 4) / 21 }),
          [{ edges: ["inner", "outer"], traction: tractionOf(field) }],
          [
            { point: [25, 0], u: 0, v: 0 },
            { point: [4, 0], v: 0 },
          ],
        );
        const sr = (angle: number): number => {
          // 16 rows in geometric progression do not pass through r; it is read from the field a hair inside
          const [x, y] = [r * Math.cos(angle), r * Math.sin(angle)];
          const p = s.field.at(x, y)!;
          return toPolar(p.sxx, p.syy, p.sxy, x, y)[0];
        };
        if (way === "along") {
          const size = Math.abs(expected.sr_axis_force_th0);
          expect(Math.abs(sr(0) - expected.sr_axis_force_th0)).toBeLessThan(5e-3 * size);
          expect(Math.abs(sr(al) - expected.sr_axis_force_flank)).toBeLessThan(5e-3 * size);
        } else {
          // across: the flank that the force leans on (+y here) is pressed, the other pulled
          const size = Math.abs(expected.sr_cross_force_flank_compression);
          expect(Math.abs(sr(al) - expected.sr_cross_force_flank_compression)).toBeLessThan(5e-3 * size);
          expect(Math.abs(sr(-al) - expected.sr_cross_force_flank_tension)).toBeLessThan(5e-3 * size);
        }
      });
    }
  }
});
