import { describe, expect, test } from "vitest";
import { DesignError } from "../../src/design/index.ts";
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
});
