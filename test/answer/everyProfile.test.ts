import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { solvePass } from "../../src/answer/solvePass.ts";
import { torqueBalance } from "../../src/answer/torqueBalance.ts";
import type { FaceToothProfile, Profile, SplineProfile } from "../../src/design/index.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import { faceTeeth, faultsOf, involuteSplines, RUNS, SEED, straightSplines } from "../profile/soundness.ts";
import { designOf } from "./designs.ts";

const kinds: { name: string; profiles: fc.Arbitrary<Profile> }[] = [
  { name: "involute internal splines", profiles: involuteSplines("internal spline") },
  { name: "involute external splines", profiles: involuteSplines("external spline") },
  { name: "straight internal splines", profiles: straightSplines("internal spline") },
  { name: "straight external splines", profiles: straightSplines("external spline") },
  { name: "face teeth", profiles: faceTeeth() },
];

/** The same profile with its loaded root (spline: both roots) at a part of the largest radius; 0 is sharp. */
function withRoot(profile: Profile, part: number): Profile {
  const { radius } = largestFillet(profile, "loaded");
  if (profile.kind !== "face tooth") return { ...(profile as SplineProfile), rootRadius: part * radius };
  const key = profile.loadedFlank === "drive" ? "driveRootRadius" : "overrunRootRadius";
  return { ...(profile as FaceToothProfile), [key]: part * radius };
}

describe.each(kinds)("random $name", ({ profiles }) => {
  // the checks inside solvePass refuse an inverted element, a wrong area, or cut sides that do not match
  test("mesh without an invalid element, and balance their torque to 1e-9", { timeout: 240_000 }, () => {
    let solved = 0;
    const part = fc.oneof(
      { weight: 1, arbitrary: fc.constant(0) },
      { weight: 9, arbitrary: fc.double({ min: 0.05, max: 0.98, noNaN: true }) },
    );
    const reaction = fc.constantFrom("uniform shear" as const, "held" as const);
    fc.assert(
      fc.property(profiles, part, reaction, (drawn, fraction, held) => {
        fc.pre(faultsOf(() => largestFillet(drawn, "loaded")).length === 0);
        const profile = withRoot(drawn, fraction);
        fc.pre(faultsOf(() => buildProfile(profile)).length === 0);
        const plain = designOf(profile);
        const design = { ...plain, averagingDistance: 0.01, load: { ...plain.load, reaction: held } };
        const built = buildProfile(profile);
        const pass = solvePass(design, built, 1, 400_000);
        const balance = torqueBalance(design, built, pass);
        expect(balance.imbalance).toBeLessThan(1e-9);
        expect(pass.solution.residual).toBeLessThan(1e-12);
        expect(pass.quality.minAngle).toBeGreaterThan(12);
        expect(pass.quality.areaError).toBeLessThan(1e-4);
        const { root } = pass.answer;
        expect(Number.isFinite(root.average.opening)).toBe(true);
        if (!root.sharp) expect(root.peakPrincipal!.stress).toBeGreaterThan(0);
        solved++;
      }),
      { seed: SEED, numRuns: RUNS },
    );
    expect(solved).toBeGreaterThanOrEqual(RUNS);
  });
});
