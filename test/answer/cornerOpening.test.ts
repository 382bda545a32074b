import { describe, expect, test } from "vitest";
import { cornerArc, freeSides, pointsMean } from "../../src/answer/cornerOpening.ts";
import { pathAverage, pathPoints } from "../../src/answer/pathAverage.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { williamsField } from "../../src/verify/exact/williams.ts";
import { demoSpline } from "../profile/soundness.ts";

/** Exponent of the symmetric corner field: sin(λ w) + λ sin w = 0 (M. L. Williams, J. Appl. Mech. 19, 526, 1952), by bisection. */
function exponent(w: number): number {
  const f = (l: number) => Math.sin(l * w) + l * Math.sin(w);
  let low = 0.5;
  let high = 0.9;
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (f(low) * f(middle) <= 0) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

describe("the mean opening stress along a sharp corner's bisector", () => {
  test.each([230, 250, 270, 300])(
    "read on an arc is the exact mean of Williams' field, %i° of material",
    (degrees) => {
      const w = (degrees * Math.PI) / 180;
      const lambda = exponent(w);
      const field = williamsField(w, lambda);
      const at = (x: number, y: number, out: Float64Array) => {
        field(x, y, out);
        return true;
      };
      const d = 0.1;
      const corner = { x: 0, y: 0, dx: 1, dy: 0 };
      // σθ on the bisector is r^(λ − 1), whose mean to d is d^(λ − 1) / λ
      const exact = d ** (lambda - 1) / lambda;
      for (const sense of [1, -1] as const) {
        const arc = cornerArc(at, corner, d, { sense, turn: w / 2 })!;
        expect(pointsMean(at, arc) / exact).toBeCloseTo(1, 8);
      }
      // the path itself, from the unbounded stress on, agrees as well as its rule can integrate it
      expect(pathAverage(at, pathPoints(0, 0, 1, 0, d))!.opening / exact).toBeCloseTo(1, 3);
    },
  );

  test("turns with the corner", () => {
    const w = 1.5 * Math.PI;
    const field = williamsField(w, exponent(w));
    const s = new Float64Array(3);
    const [c, n] = [Math.cos(0.7), Math.sin(0.7)];
    // the field turned by 0.7 rad and moved to (3, 2)
    const at = (x: number, y: number, out: Float64Array) => {
      const [dx, dy] = [x - 3, y - 2];
      field(c * dx + n * dy, c * dy - n * dx, s);
      out[0] = c * c * s[0] + n * n * s[1] - 2 * c * n * s[2];
      out[1] = n * n * s[0] + c * c * s[1] + 2 * c * n * s[2];
      out[2] = c * n * (s[0] - s[1]) + (c * c - n * n) * s[2];
      return true;
    };
    const lambda = exponent(w);
    const arc = cornerArc(at, { x: 3, y: 2, dx: c, dy: n }, 0.2, { sense: 1, turn: w / 2 })!;
    expect(pointsMean(at, arc) / (0.2 ** (lambda - 1) / lambda)).toBeCloseTo(1, 8);
  });

  test("is read on no arc that leaves the material", () => {
    const at = (x: number) => x > -0.05;
    expect(cornerArc(at, { x: 0, y: 0, dx: 1, dy: 0 }, 0.1, { sense: 1, turn: 2.3 })).toBeNull();
  });
});

describe("sides of a sharp corner", () => {
  const built = buildProfile({ ...demoSpline("internal spline"), rootRadius: 0 });
  const corner = built.corners.find((c) => c.side === "loaded")!;

  test("both are free of load near the root, and the arc ends half the material's angle from the bisector", () => {
    const sides = freeSides(built, corner, 0.02);
    expect(sides.map((s) => s.sense)).toEqual([1, -1]);
    for (const { turn } of sides) expect(turn).toBeCloseTo(corner.materialAngle / 2, 2);
  });

  test("a side that is shorter than the arc's radius, or loaded, is not used", () => {
    // the flank between corner and contact band is shorter than 1 mm
    expect(freeSides(built, corner, 1).length).toBeLessThan(2);
    const loaded = { ...built, contactEdges: built.outline.loops.flat().map((e) => e.name) };
    expect(freeSides(loaded, corner, 0.02)).toEqual([]);
  });
});
