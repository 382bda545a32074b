import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  baseDiameter,
  betweenPins,
  inv,
  inverseInvolute,
  overPins,
  pinMeasurement,
  toothThicknessAt,
} from "../../src/profile/index.ts";
import { DEGREE, involuteHalfAngle, involuteSplines, least, RUNS, SEED } from "./soundness.ts";

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

  test("is undone by its inverse from a hair to 89°", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 89 * DEGREE, noNaN: true }), (angle) => {
        expect(Math.abs(inverseInvolute(inv(angle)) - angle)).toBeLessThan(
          1e-12 * angle + 1e-15 / angle ** 2,
        );
      }),
      { seed: SEED, numRuns: 500 },
    );
  });

  test("keeps its digits near zero, where tan φ − φ cancels", () => {
    // series of tan: φ³/3 + 2 φ⁵/15
    expect(inv(1e-4) / (1e-12 / 3 + 2e-20 / 15)).toBeCloseTo(1, 14);
    expect(inv(0.01 - 1e-12) / inv(0.01 + 1e-12)).toBeCloseTo(1, 8);
  });

  test("has no inverse for a negative value, and says so with the number", () => {
    expect(() => inverseInvolute(-0.1)).toThrow("-0.1");
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

describe("measurement over and between pins", () => {
  // ANSI B92.1 / AGMA 2002 form, standard involute geometry
  test.each(cases.filter((c) => c.section === "pins"))("$id", (c) => {
    const { kind, pin, t, s, alphaDeg } = c.inputs as Record<string, number> & { kind: unknown };
    const teeth = (c.inputs["N"] ?? c.inputs["z"])!;
    const pitchDiameter = c.inputs["P"] === undefined ? teeth * c.inputs["m"]! : teeth / c.inputs["P"];
    const input = { teeth, pitchDiameter, pressureAngle: alphaDeg! * DEGREE, pinDiameter: pin! };
    const found =
      (kind as string) === "external"
        ? overPins({ ...input, toothThickness: t! })
        : betweenPins({ ...input, spaceWidth: s! });
    expect(Math.abs(found.measurement - c.expected["M"]!)).toBeLessThanOrEqual(c.tolerance.value);
    // the reference prints the angle to seven decimals of a degree
    expect(Math.abs(found.pinAngle / DEGREE - c.expected["phiDeg"]!)).toBeLessThanOrEqual(
      Math.max(c.tolerance.value, 5.1e-8),
    );
  });

  // pure geometry: the pin sits in the middle of a space, so its distance from the flank must be its radius
  test.each(["internal spline", "external spline"] as const)(
    "the pin touches the flanks of an %s",
    (kind) => {
      fc.assert(
        fc.property(involuteSplines(kind), (profile) => {
          const { teeth, module } = profile;
          // a pin of about the space's width sits near the pitch circle
          const pin =
            (kind === "external spline" ? 1.15 : 0.95) * (Math.PI * module - profile.toothThickness);
          const { measurement, contactDiameter } = pinMeasurement(profile, pin);
          const base = baseDiameter(profile)! / 2;
          fc.pre(contactDiameter > 2.001 * base);
          const way = kind === "external spline" ? 1 : -1;
          const centre = (measurement - way * pin) / 2 / (teeth % 2 ? Math.cos(Math.PI / 2 / teeth) : 1);
          const distance = (r: number) => {
            const angle = Math.PI / teeth - involuteHalfAngle(profile, r);
            return Math.hypot(centre - r * Math.cos(angle), r * Math.sin(angle));
          };
          const touch = contactDiameter / 2;
          const found = least(distance, Math.max(base, touch - 0.3 * module), touch + 0.3 * module);
          expect(Math.abs(found - pin / 2)).toBeLessThan(1e-9 * module);
          expect(Math.abs(distance(touch) - pin / 2)).toBeLessThan(1e-9 * module);
        }),
        { seed: SEED, numRuns: RUNS },
      );
    },
  );
});
