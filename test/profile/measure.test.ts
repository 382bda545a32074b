import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { inv, toothThicknessAt } from "../../src/profile/index.ts";
import { DEGREE, involuteSplines, SEED } from "./soundness.ts";

interface Case {
  readonly id: string;
  readonly section: string;
  readonly inputs: Record<string, number>;
  readonly expected: Record<string, number>;
  readonly tolerance: { readonly value: number };
}
const file = new URL("../../fixtures/reference/spline-standard.json", import.meta.url);
const { cases } = JSON.parse(readFileSync(file, "utf8")) as { cases: Case[] };

describe("the involute function", () => {
  // involute geometry; inv 20° = 0.014904383867 is the familiar table value
  test.each(cases.filter((c) => c.section === "involute" && "inv" in c.expected))("$id", (c) => {
    expect(Math.abs(inv(c.inputs["angleDeg"]! * DEGREE) - c.expected["inv"]!)).toBeLessThanOrEqual(
      c.tolerance.value,
    );
  });

  test("keeps its digits near zero, where tan φ − φ cancels", () => {
    // series of tan: φ³/3 + 2 φ⁵/15
    expect(inv(1e-4) / (1e-12 / 3 + 2e-20 / 15)).toBeCloseTo(1, 14);
    expect(inv(0.01 - 1e-12) / inv(0.01 + 1e-12)).toBeCloseTo(1, 8);
  });
});

describe("toothThicknessAt", () => {
  // t_r = 2 r (t/D + inv φ − inv φ_r), involute geometry
  test.each(cases.filter((c) => c.section === "involute" && "t_r" in c.expected))("$id", (c) => {
    const { N, P, alphaDeg, r, t } = c.inputs as Record<"N" | "P" | "alphaDeg" | "r" | "t", number>;
    const found = toothThicknessAt(
      {
        kind: "external spline",
        teeth: N,
        flank: { form: "involute", pressureAngle: alphaDeg * DEGREE },
        pitchDiameter: N / P,
        module: 1 / P,
        toothThickness: t,
        tipDiameter: (N + 1) / P,
        rootDiameter: (N - 1.35) / P,
        backDiameter: N / P / 2,
        rootRadius: 0,
        tipChamfer: 0,
        contact: [(N - 1) / P, (N + 1) / P],
        contactGiven: false,
        faceWidth: 1,
      },
      2 * r,
    );
    expect(Math.abs(found - c.expected["t_r"]!)).toBeLessThanOrEqual(c.tolerance.value);
  });

  test("is the thickness given, on the pitch circle, inside and outside", () => {
    for (const kind of ["internal spline", "external spline"] as const)
      fc.assert(
        fc.property(involuteSplines(kind), (profile) => {
          expect(toothThicknessAt(profile, profile.pitchDiameter) / profile.toothThickness).toBeCloseTo(
            1,
            12,
          );
        }),
        { seed: SEED, numRuns: 50 },
      );
  });
});
