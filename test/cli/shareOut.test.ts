import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { shareOut } from "../../src/cli/shareOut.ts";
import type { Design } from "../../src/design/index.ts";
import { designOf } from "../answer/designs.ts";
import { demoSpline, SEED } from "../profile/soundness.ts";

const profile = demoSpline("internal spline");
const plain = designOf(profile);
/** Variants that differ in what is solved; every third carries on one tooth, every fifth is sharp. */
const designs = Array.from(
  { length: 60 },
  (_, k): Design => ({
    ...plain,
    variant: `V${k}`,
    profile: { ...profile, rootRadius: k % 5 === 0 ? 0 : 0.3 + k / 100, faceWidth: 10 + k },
    load: {
      ...plain.load,
      sharing: k % 3 === 0 ? { mode: "teeth", weights: [1] } : { mode: "share", fraction: 0.5 },
    },
  }),
);
const counted = (shares: readonly number[], count: number) =>
  Array.from({ length: count }, (_, k) => shares.filter((share) => share === k + 1).length);

describe("shareOut", () => {
  test("gives every variant one share, none more than one more than another", () => {
    for (const count of [1, 2, 7, 60, 100]) {
      const sizes = counted(shareOut(designs, count), count);
      expect(sizes.reduce((a, b) => a + b)).toBe(60);
      expect(Math.max(...sizes) - Math.min(...sizes)).toBeLessThanOrEqual(1);
    }
  });

  test("spreads whole rings and sharp roots evenly too", () => {
    const shares = shareOut(designs, 4);
    for (const heavy of [
      designs.map((d) => d.load.sharing.mode === "teeth"),
      designs.map(
        (d) =>
          d.load.sharing.mode === "share" && d.profile.kind !== "face tooth" && d.profile.rootRadius === 0,
      ),
    ]) {
      const sizes = counted(
        shares.filter((_, k) => heavy[k]),
        4,
      );
      expect(Math.max(...sizes) - Math.min(...sizes)).toBeLessThanOrEqual(1);
    }
  });

  test("does not depend on the order of variants or on their names", () => {
    const shares = shareOut(designs, 7);
    fc.assert(
      fc.property(
        fc.shuffledSubarray(
          designs.map((_, k) => k),
          { minLength: 60 },
        ),
        (order) => {
          const moved = shareOut(
            order.map((k) => ({ ...designs[k]!, variant: `renamed ${k}`, note: "moved" })),
            7,
          );
          expect(moved).toEqual(order.map((k) => shares[k]));
        },
      ),
      { seed: SEED, numRuns: 20 },
    );
  });

  test("keeps together what is solved as one", () => {
    const harder = designs.map(
      (d): Design => ({
        ...d,
        variant: `${d.variant} hard`,
        steel: { grade: "4340", hardnessLow: 50, hardnessHigh: 52, hardnessText: "50..52 HRC" },
      }),
    );
    const shares = shareOut([...designs, ...harder], 9);
    expect(shares.slice(60)).toEqual(shares.slice(0, 60));
  });
});
