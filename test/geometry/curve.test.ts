import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  arc,
  type Curve,
  curveArea,
  curveCurvature,
  curveLength,
  curvePoint,
  curveTangent,
  involute,
  line,
  mirrorCurve,
  moveCurve,
  movePoint,
  reverseCurve,
  subCurve,
} from "../../src/geometry/index.ts";

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const far = (c: Curve) => curveLength(c) > 0.01;
const lines = fc.tuple(number(-5, 5), number(-5, 5), number(-5, 5), number(-5, 5)).map((p) => line(...p));
const arcs = fc
  .tuple(number(-5, 5), number(-5, 5), number(0.1, 5), number(-4, 4), number(-6, 6))
  .map(([x, y, r, a, turn]) => arc(x, y, r, a, a + turn));
const involutes = fc
  .tuple(
    number(-5, 5),
    number(-5, 5),
    number(0.5, 5),
    number(-4, 4),
    fc.boolean(),
    number(0, 1.5),
    number(0, 1.5),
  )
  .map(([x, y, r, a, left, s, e]) => involute(x, y, r, a, left ? 1 : -1, s, e));
const curves = fc.oneof(lines, arcs, involutes).filter(far);
const runs = { seed: 2024, numRuns: 300 };
const at = (c: Curve, u: number) => curvePoint(c, u, [0, 0]);

describe("every curve", () => {
  test("is travelled evenly: chords of equal steps sum to the length, and equal steps are equal", () => {
    fc.assert(
      fc.property(curves, (c) => {
        const n = 2000;
        let sum = 0;
        let [x, y] = at(c, 0);
        let half = 0;
        for (let k = 1; k <= n; k++) {
          const [p, q] = at(c, k / n);
          sum += Math.hypot(p - x, q - y);
          if (2 * k === n) half = sum;
          [x, y] = [p, q];
        }
        const length = curveLength(c);
        // chords fall short with the square of the turn per step; near an involute's base circle a little more
        expect(sum / length).toBeGreaterThan(1 - 2e-5);
        expect(sum / length).toBeLessThan(1 + 1e-12);
        expect(half / length).toBeCloseTo(0.5, 4);
      }),
      runs,
    );
  });

  test("has the area of a fine polygon: ½ Σ (x₀ y₁ − x₁ y₀)", () => {
    fc.assert(
      fc.property(curves, (c) => {
        // Richardson's extrapolation of two polygons, whose error falls with the square of the step
        const polygon = (n: number) => {
          let sum = 0;
          let [x, y] = at(c, 0);
          for (let k = 1; k <= n; k++) {
            // steps uniform in the turn near the base circle: u = w² is smooth there
            const w = c.kind === "involute" && Math.min(c.start, c.end) < 0.3 ? squared(c, k / n) : k / n;
            const [p, q] = at(c, w);
            sum += (x * q - p * y) / 2;
            [x, y] = [p, q];
          }
          return sum;
        };
        const fine = (4 * polygon(800) - polygon(400)) / 3;
        expect(curveArea(c)).toBeCloseTo(fine, 6);
      }),
      runs,
    );
  });

  test("has the tangent and curvature of its finite differences", () => {
    fc.assert(
      fc.property(curves, number(0.1, 0.9), (c, u) => {
        const d = 1e-4;
        const length = curveLength(c);
        const [ax, ay] = at(c, u - d);
        const [bx, by] = at(c, u + d);
        const [tx, ty] = curveTangent(c, u, [0, 0]);
        expect((bx - ax) / (2 * d * length)).toBeCloseTo(tx, 5);
        expect((by - ay) / (2 * d * length)).toBeCloseTo(ty, 5);
        const [px, py] = curveTangent(c, u - d, [0, 0]);
        const [qx, qy] = curveTangent(c, u + d, [0, 0]);
        const turn = Math.atan2(px * qy - py * qx, px * qx + py * qy);
        expect(turn / (2 * d) - length * curveCurvature(c, u)).toBeCloseTo(0, 4);
      }),
      runs,
    );
  });

  test("cut, reversed, moved and mirrored passes through the points it should", () => {
    fc.assert(
      fc.property(
        curves,
        number(0, 1),
        number(0, 1),
        number(0, 1),
        number(-3, 3),
        (c, from, to, u, angle) => {
          const near = (p: readonly number[], q: readonly number[]) => {
            expect(p[0]).toBeCloseTo(q[0]!, 6);
            expect(p[1]).toBeCloseTo(q[1]!, 6);
          };
          if (Math.abs(from - to) > 1e-6) near(at(subCurve(c, from, to), u), at(c, from + u * (to - from)));
          near(at(reverseCurve(c), u), at(c, 1 - u));
          const m = { angle, dx: 1.5, dy: -0.5 };
          const [x, y] = at(c, u);
          near(at(moveCurve(m, c), u), movePoint(m, x, y, [0, 0]));
          near(at(mirrorCurve(c), u), [x, -y]);
          expect(curveLength(moveCurve(m, c))).toBeCloseTo(curveLength(c), 10);
          expect(curveArea(reverseCurve(c))).toBeCloseTo(-curveArea(c), 9);
          expect(curveArea(mirrorCurve(c))).toBeCloseTo(-curveArea(c), 9);
        },
      ),
      runs,
    );
  });

  test("meets its ends exactly", () => {
    // + 0 makes no difference between 0 and -0
    const ends = (c: Curve, u: number) => at(c, u).map((v) => v + 0);
    fc.assert(
      fc.property(curves, (c) => {
        if (c.kind === "line") expect(ends(c, 1)).toEqual([c.x1 + 0, c.y1 + 0]);
        expect(ends(reverseCurve(c), 0)).toEqual(ends(c, 1));
        expect(ends(reverseCurve(c), 1)).toEqual(ends(c, 0));
      }),
      runs,
    );
  });
});

/** Fraction at which the roll angle is the share w of its way. */
function squared(c: Curve & { kind: "involute" }, w: number): number {
  if (w === 1) return 1;
  const t = c.start + w * (c.end - c.start);
  return (t * t - c.start * c.start) / (c.end * c.end - c.start * c.start);
}

describe("closed forms", () => {
  test("a full circle has length 2πr and area πr², wherever its centre", () => {
    const c = arc(3, -2, 1.5, 0.4, 0.4 + 2 * Math.PI);
    expect(curveLength(c)).toBeCloseTo(3 * Math.PI, 12);
    expect(curveArea(c)).toBeCloseTo(2.25 * Math.PI, 12);
    expect(curveCurvature(c, 0.3)).toBeCloseTo(1 / 1.5, 14);
    expect(curveCurvature(reverseCurve(c), 0.3)).toBeCloseTo(-1 / 1.5, 14);
  });

  test("an involute rolls off: its length from the base circle is rb t²/2, its curvature radius rb t", () => {
    const c = involute(0, 0, 10, 0, 1, 0, 0.8);
    expect(curveLength(c)).toBeCloseTo((10 * 0.64) / 2, 12);
    expect(1 / curveCurvature(c, 1)).toBeCloseTo(8, 12);
  });
});

describe("the involute function", () => {
  // involute geometry: the polar angle of the point at pressure angle φ is inv φ = tan φ − φ; table values of the
  // file's "involute" section
  const { cases } = JSON.parse(
    readFileSync(new URL("../../fixtures/reference/spline-standard.json", import.meta.url), "utf8"),
  ) as {
    cases: {
      id: string;
      section: string;
      inputs: { angleDeg?: number };
      expected: { inv?: number };
      tolerance: { value: number };
    }[];
  };
  const table = cases.filter((c) => c.section === "involute" && c.inputs.angleDeg !== undefined);

  test.each(table.map((c) => [c.inputs.angleDeg!, c.expected.inv!, c.tolerance.value]))(
    "at %d° is %d, as the angle and radius of a point of the curve show",
    (degrees, inv, tolerance) => {
      const phi = (degrees * Math.PI) / 180;
      for (const hand of [1, -1] as const) {
        const c = involute(0, 0, 7, 0, hand, 0, Math.tan(phi));
        const [x, y] = at(c, 1);
        expect(Math.abs(hand * Math.atan2(y, x) - inv)).toBeLessThan(tolerance);
        expect(Math.hypot(x, y)).toBeCloseTo(7 / Math.cos(phi), 12);
      }
    },
  );

  test("has its familiar value at 20°, 0.014904383867", () => {
    const [x, y] = at(involute(0, 0, 1, 0, 1, 0.1, Math.tan(Math.PI / 9)), 1);
    expect(Math.atan2(y, x)).toBeCloseTo(0.014904383867, 11);
    expect(table.length).toBeGreaterThan(4);
  });
});
