import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { curveCurvature, curvePoint, curveTangent } from "../../src/geometry/index.ts";
import {
  cantilever,
  curvedBarMoment,
  curvedBarShear,
  disc,
  lame,
  stripLoad,
  wedgeForce,
} from "../../src/verify/exact/bars.ts";
import { inglis } from "../../src/verify/exact/inglis.ts";
import { kirsch, kirschDisplacement } from "../../src/verify/exact/kirsch.ts";
import { williamsField } from "../../src/verify/exact/williams.ts";
import type { StressField } from "../../src/verify/model.ts";
import { ellipseQuarter } from "../../src/verify/outlines.ts";
import { referenceCases } from "../../src/verify/references.ts";

const at = (field: StressField, x: number, y: number): number[] => {
  const s = new Float64Array(3);
  field(x, y, s);
  return [...s];
};

/** Fields with a region in which they are smooth: polar box r0…r1, angles a0…a1. */
const FIELDS: readonly [string, StressField, readonly [number, number, number, number]][] = [
  ["kirsch", kirsch(5, 100, -30, 45), [5, 25, -3, 3]],
  ["inglis 10:1", inglis(10, 1, 100), [10.2, 40, -3, 3]],
  ["inglis, round", inglis(5, 5, 100), [5, 30, -3, 3]],
  ["lame", lame(10, 20, 100, 20), [10, 20, -3, 3]],
  ["curved bar, couple", curvedBarMoment(10, 20, 1000), [10, 20, 0, 1.5]],
  ["curved bar, force", curvedBarShear(10, 20, 100), [10, 20, 0, 1.5]],
  ["cantilever", cantilever(10, 1, 1000), [1, 9, -1, 1]],
  ["strip load", stripLoad(100, 5), [1, 20, -2.9, -0.2]],
  ["wedge, along", wedgeForce(1000, 0.8, "along"), [4, 25, -0.8, 0.8]],
  ["wedge, across", wedgeForce(1000, 0.8, "across"), [4, 25, -0.8, 0.8]],
  ["disc", disc(40, 5, 10000), [0, 15, -3, 3]],
  ["corner of 90°", williamsField(1.5 * Math.PI, 0.5444837367825), [0.5, 2, -2.3, 2.3]],
];

describe("exact fields", () => {
  test.each(FIELDS)(
    "%s is in equilibrium, and its mean stress is harmonic (compatibility without body force)",
    (_name, field, [r0, r1, a0, a1]) => {
      fc.assert(
        fc.property(
          fc.double({ min: r0, max: r1, noNaN: true }),
          fc.double({ min: a0, max: a1, noNaN: true }),
          (r, a) => {
            const x = r * Math.cos(a);
            const y = r * Math.sin(a);
            const h = 1e-3 * Math.max(0.1, Math.min(r, r1) / 10);
            const e = at(field, x + h, y);
            const w = at(field, x - h, y);
            const n = at(field, x, y + h);
            const s = at(field, x, y - h);
            const c = at(field, x, y);
            const size = Math.max(...[e, w, n, s].flat().map(Math.abs));
            const slope = 2 * h;
            const fx = (e[0]! - w[0]! + n[2]! - s[2]!) / slope;
            const fy = (e[2]! - w[2]! + n[1]! - s[1]!) / slope;
            // central differences err by h² times third slopes, which no field here has above 1e3 × size
            expect(Math.abs(fx)).toBeLessThan(2e-3 * size + 1e-6);
            expect(Math.abs(fy)).toBeLessThan(2e-3 * size + 1e-6);
            const mean = (v: number[]) => v[0]! + v[1]!;
            const laplace = (mean(e) + mean(w) + mean(n) + mean(s) - 4 * mean(c)) / (h * h);
            expect(Math.abs(laplace)).toBeLessThan(2e-2 * size + 1e-4);
          },
        ),
        { seed: 20260, numRuns: 60 },
      );
    },
  );

  test("kirsch, stresses and displacements, is the table of the reference", () => {
    const moved = kirschDisplacement(5, 100, 210000, 0.3);
    for (const { id, inputs, expected } of referenceCases("elastic", "kirsch")) {
      if (id === "kirsch/Kt") continue;
      const s = at(kirsch(5, 100, 0, 0), inputs["x"]!, inputs["y"]!);
      for (const [k, name] of ["sxx", "syy", "sxy"].entries()) expect(s[k]).toBeCloseTo(expected[name]!, 3);
      const [u, v] = moved(inputs["x"]!, inputs["y"]!);
      expect(u).toBeCloseTo(expected["u"]!, 8);
      expect(v).toBeCloseTo(expected["v"]!, 8);
    }
  });

  test("strip load is the table of the reference", () => {
    for (const { inputs, expected } of referenceCases("elastic", "strip-load")) {
      const s = at(stripLoad(inputs["p"]!, inputs["a"]!), inputs["x"]!, inputs["y"]!);
      for (const [k, name] of ["sxx", "syy", "sxy"].entries()) expect(s[k]).toBeCloseTo(expected[name]!, 4);
    }
  });

  test("the ellipse's field has Inglis's peak 1 + 2a/b at the tip and the reference's values ahead of it", () => {
    for (const { inputs, expected } of referenceCases("elastic", "inglis")) {
      const { S, a, b } = inputs as Record<"S" | "a" | "b", number>;
      expect(at(inglis(a, b, S), a, 0)[1]).toBeCloseTo(S * (1 + (2 * a) / b), 6);
      for (const k of [0.25, 0.5, 1, 2, 5]) {
        const value = expected[`syy_at_tip_plus_${k}rho`]!;
        expect(Math.abs(at(inglis(a, b, S), a + (k * b * b) / a, 0)[1]! - value)).toBeLessThan(2e-5 * value);
      }
    }
  });

  test("the corner's field is the reference's table, flanks free", () => {
    for (const { inputs, expected } of referenceCases("corner", "williams-field")) {
      const w = ((360 - inputs["openingDeg"]!) * Math.PI) / 180;
      const field = williamsField(w, expected["lambda1"]!);
      for (const th of [0, 30, 60, 90]) {
        const a = (th * Math.PI) / 180;
        const [sxx, syy, sxy] = at(field, Math.cos(a), Math.sin(a)) as [number, number, number];
        const st = sxx * Math.sin(a) ** 2 + syy * Math.cos(a) ** 2 - sxy * Math.sin(2 * a);
        expect(st).toBeCloseTo(expected[`st_r1_th${th}`]!, 6);
      }
      // traction on the upper flank, whose normal is (−sin, cos) of w/2
      const [sxx, syy, sxy] = at(field, Math.cos(w / 2), Math.sin(w / 2)) as [number, number, number];
      expect(-sxx * Math.sin(w / 2) + sxy * Math.cos(w / 2)).toBeCloseTo(0, 7);
      expect(-sxy * Math.sin(w / 2) + syy * Math.cos(w / 2)).toBeCloseTo(0, 7);
    }
  });
});

describe("ellipseQuarter", () => {
  test.each([
    [5, 5],
    [10, 5],
    [10, 1],
    [2000, 1000],
    [3250, 2750],
  ])(
    "a %d, b %d: arcs without kinks within 1e-6 of the ellipse, curved at the tip as it is to 0.1 %",
    (a, b) => {
      const edges = ellipseQuarter(a, b, "rim");
      let off = 0;
      for (const [k, { curve }] of edges.entries()) {
        for (let u = 0; u <= 1; u += 0.125) {
          const [x, y] = curvePoint(curve, u, [0, 0]);
          // distance to the ellipse to first order: f / |grad f|
          const f = (x / a) ** 2 + (y / b) ** 2 - 1;
          off = Math.max(off, Math.abs(f) / (2 * Math.hypot(x / (a * a), y / (b * b))));
        }
        const next = edges[k + 1];
        if (!next) continue;
        const [px, py] = curvePoint(curve, 1, [0, 0]);
        const [qx, qy] = curvePoint(next.curve, 0, [0, 0]);
        expect(Math.hypot(px - qx, py - qy)).toBeLessThan(1e-12 * a);
        const [tx, ty] = curveTangent(curve, 1, [0, 0]);
        const [sx, sy] = curveTangent(next.curve, 0, [0, 0]);
        expect(Math.abs(tx * sy - ty * sx)).toBeLessThan(1e-9);
      }
      expect(off).toBeLessThan(1e-6 * a);
      expect(Math.abs((curveCurvature(edges[0]!.curve, 0) * b * b) / a - 1)).toBeLessThan(1e-3);
    },
  );
});
