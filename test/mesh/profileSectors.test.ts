import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Profile } from "../../src/design/design.ts";
import { checkMesh, meshOutline, nodalSize, outlineSize, repeatMesh } from "../../src/mesh/index.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import { faceTeeth, faultsOf, involuteSplines, straightSplines } from "../profile/soundness.ts";

const kinds: [string, fc.Arbitrary<Profile>][] = [
  ["involute internal splines", involuteSplines("internal spline")],
  ["involute external splines", involuteSplines("external spline")],
  ["straight-sided internal splines", straightSplines("internal spline")],
  ["straight-sided external splines", straightSplines("external spline")],
  ["face teeth", faceTeeth()],
];

describe.each(kinds)("sectors of random %s", (_name, profiles) => {
  const drawn = fc.record({
    profile: profiles,
    part: fc.double({ min: 0.02, max: 1, noNaN: true }),
    base: fc.double({ min: 0.3, max: 2, noNaN: true }),
  });

  test("are meshed, remeshed and repeated soundly, sharp or rounded", () => {
    let tried = 0;
    fc.assert(
      fc.property(drawn, ({ profile, part, base }) => {
        fc.pre(faultsOf(() => largestFillet(profile, "loaded")).length === 0);
        const rounded =
          profile.kind === "face tooth" || part < 0.1
            ? profile
            : { ...profile, rootRadius: part * largestFillet(profile, "loaded").radius };
        fc.pre(faultsOf(() => buildProfile(rounded)).length === 0);
        const built = buildProfile(rounded);
        const scale = profile.kind === "face tooth" ? profile.height / 2 : profile.module;
        const sources = built.corners
          .filter((c) => c.radius === 0)
          .map(({ x, y }) => ({ x, y, size: 1e-3 * scale }));
        const field = outlineSize(built.outline, { base: base * scale, sources });
        const mesh = meshOutline(built.outline, { size: field });
        const quality = checkMesh(mesh, built.outline);
        expect(quality.minAngle).toBeGreaterThan(20);
        expect(quality.minJacobian).toBeGreaterThan(0.3);
        expect(Math.abs(quality.areaError)).toBeLessThan(1e-4);

        const whole = repeatMesh(mesh, built.outline, built.sectors);
        expect(checkMesh(whole.mesh, whole.outline).minAngle).toBeCloseTo(quality.minAngle, 6);

        // sizes that jump between nodes, as error estimates do
        const sizes = new Float64Array(mesh.xy.length / 2);
        for (let i = 0; i < sizes.length; i++) {
          sizes[i] = field(mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!) * (0.4 + ((i * 7919) % 97) / 97);
        }
        const again = checkMesh(meshOutline(built.outline, { size: nodalSize(mesh, sizes) }), built.outline);
        expect(again.minAngle).toBeGreaterThan(20);

        // sizes that know nothing of the part
        const coarse = checkMesh(meshOutline(built.outline, { size: () => 5 * scale }), built.outline);
        expect(coarse.minAngle).toBeGreaterThan(18);
        tried++;
      }),
      { seed: 31, numRuns: 12 },
    );
    expect(tried).toBeGreaterThanOrEqual(12);
  });
});
