import { describe, expect, test } from "vitest";
import { arc, type Curve, type Edge, line } from "../../src/geometry/index.ts";
import { solveOutline } from "../../src/solver/index.ts";
import { kirsch, type StressField, toPolar, tractionOf } from "./exact.ts";
import { referenceCase, referenceCases } from "./reference.ts";
import { quarterPlate } from "./shapes.ts";
import { nodeAt, type Solved, solvePart, stressAtNode } from "./solved.ts";
import { graded } from "./structured.ts";

/*
 * Plate with a circular hole: Kirsch 1898; Timoshenko & Goodier art. 35 (elastic-exact.json, sections "kirsch" and
 * "kirsch-biaxial"). Quarter model with the exact traction on the outer edges, so nothing is lost to its finite size.
 */

const a = 5;
const w = 20;

function quarter(field: StressField, sides: number, rows: number, ratio = 8): Solved {
  return solvePart(
    quarterPlate(a, w, sides, rows, graded(ratio)),
    [{ edges: ["x1", "y1"], traction: tractionOf(field) }],
    [
      { edges: ["x0"], u: 0 },
      { edges: ["y0"], v: 0 },
    ],
  );
}

describe("plate with a hole in tension", () => {
  const s = quarter(kirsch(100, a), 16, 16);
  for (const { id, inputs, expected } of referenceCases("kirsch")) {
    if (id === "kirsch/Kt") continue;
    const { x, y } = inputs;
    test(`${id}, (${x}, ${y}): stresses to 0.3 MPa of 100, displacements to 1e-4 of the largest`, () => {
      const onRim = Math.abs(Math.hypot(x, y) - a) < 1e-9;
      const p = s.field.at(x, y)!;
      const [sxx, syy, sxy] =
        onRim && x * y === 0 ? stressAtNode(s.stress, nodeAt(s.mesh, x, y)) : [p.sxx, p.syy, p.sxy];
      expect(Math.abs(sxx - expected.sxx)).toBeLessThan(0.3);
      expect(Math.abs(syy - expected.syy)).toBeLessThan(0.3);
      expect(Math.abs(sxy - expected.sxy)).toBeLessThan(0.3);
      expect(Math.abs(toPolar(sxx, syy, sxy, x, y)[1] - expected.hoop)).toBeLessThan(0.3);
      expect(Math.abs(p.u - expected.u)).toBeLessThan(1e-4 * 0.011);
      expect(Math.abs(p.v - expected.v)).toBeLessThan(1e-4 * 0.011);
    });
  }

  test("kirsch/Kt: 3 to 0.1 % at the top of the hole and −1 to 0.3 % at its side", () => {
    const { expected } = referenceCase("kirsch/Kt");
    const peak = s.stress[3 * nodeAt(s.mesh, 0, a)];
    const least = s.stress[3 * nodeAt(s.mesh, a, 0) + 1];
    expect(Math.abs(peak / expected.peak - 1)).toBeLessThan(1e-3);
    expect(Math.abs(least / expected.min - 1)).toBeLessThan(3e-3);
  });

  test("eight sides round the quarter already give the peak to 0.5 %", () => {
    const coarse = quarter(kirsch(100, a), 8, 8);
    expect(Math.abs(coarse.stress[3 * nodeAt(coarse.mesh, 0, a)] / 300 - 1)).toBeLessThan(5e-3);
  });
});

describe("a hole that is a hundred thousandth of its plate", () => {
  test("has three times the far stress all the same, to 0.5 %", () => {
    const [b, r] = [50, 0.001];
    const side = (name: string, curve: Curve): Edge => ({ name, zone: "side", curve });
    const { at } = solveOutline({
      outline: {
        loops: [
          [
            side("bottom", line(r, 0, b, 0)),
            side("right", line(b, 0, b, b)),
            side("top", line(b, b, 0, b)),
            side("left", line(0, b, 0, r)),
            side("hole", arc(0, 0, r, Math.PI / 2, 0)),
          ],
        ],
      },
      material: { E: 205_000, nu: 0.29, state: "plane stress" },
      loads: [{ edges: ["right"], traction: [100, 0] }],
      supports: [
        { edges: ["bottom"], v: 0 },
        { edges: ["left"], u: 0 },
      ],
    });
    expect(Math.abs(at(0, r)!.sxx / 300 - 1)).toBeLessThan(5e-3);
  });
});

describe("plate with a hole, two remote stresses", () => {
  for (const { id, inputs, expected } of referenceCases("kirsch-biaxial")) {
    test(`${id}: hoop stress at the hole to 0.3 % of its largest`, () => {
      const one = kirsch(inputs.s1, a);
      const two = kirsch(inputs.s2, a);
      const field: StressField = (x, y) => {
        const [axx, ayy, axy] = one(x, y);
        const [bxx, byy, bxy] = two(y, -x); // turned by a quarter
        return [axx + byy, ayy + bxx, axy - bxy];
      };
      const s = quarter(field, 16, 16);
      const size = Math.max(Math.abs(expected.hoop_th0), Math.abs(expected.hoop_th90));
      const top = s.stress[3 * nodeAt(s.mesh, 0, a)];
      const side = s.stress[3 * nodeAt(s.mesh, a, 0) + 1];
      expect(Math.abs(top - expected.hoop_th90)).toBeLessThan(3e-3 * size);
      expect(Math.abs(side - expected.hoop_th0)).toBeLessThan(3e-3 * size);
    });
  }
});
