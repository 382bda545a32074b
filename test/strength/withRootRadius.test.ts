import { describe, expect, test } from "vitest";
import { DesignError, readPart } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { largestRootRadius, withRootRadius } from "../../src/strength/index.ts";
import { design, spline } from "./roots.ts";

describe("another root radius", () => {
  const before = design(spline({ rootRadius: 0.1 }));

  test("changes the root and nothing else", () => {
    const after = withRootRadius(before, 0.4);
    expect(after).toEqual({ ...before, profile: { ...before.profile, rootRadius: 0.4 } });
  });

  test("fits up to the largest, and a hundredth more does not", () => {
    const largest = largestRootRadius(before);
    expect(largest).toBeGreaterThan(0.4);
    expect(() => buildProfile(withRootRadius(before, largest).profile)).not.toThrow();
    expect(() => buildProfile(withRootRadius(before, largest + 0.01).profile)).toThrow(DesignError);
  });

  test("leaves a full root across the gap the radius that it is, whichever flank is loaded", () => {
    for (const more of [
      "loaded flank: drive",
      "back-cut: 2 deg, contact: { from: 2.8 mm, to: 6 mm }, loaded flank: over-run",
    ]) {
      const full = readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 9, mean diameter: 55 mm, face width: 10 mm, height: 6.5 mm, ramp angle: 31 deg,
  root radius: full, base thickness: 8 mm, ${more} }
load: { torque: 100 N m }
`,
        "ring.yaml",
      ).designs[0]!;
      const radii = (profile: typeof full.profile) =>
        Object.fromEntries(buildProfile(profile).corners.map(({ side, radius }) => [side, radius]));
      const drawn = radii(full.profile);
      const largest = largestRootRadius(full);
      expect(largest).toBeLessThanOrEqual(drawn["loaded"]! + 1e-9);
      expect(largest).toBeGreaterThan(drawn["loaded"]! - 0.02);
      for (const radius of [0, 0.5, largest])
        expect(radii(withRootRadius(full, radius).profile)).toEqual({
          loaded: radius,
          unloaded: drawn["unloaded"],
        });
    }
  });
});
