import fc from "fast-check";
import { expect, test } from "vitest";
import { atLeast, atMost, degrees, figure } from "../../src/design/figures.ts";
import { SEED } from "../profile/soundness.ts";

test("a limit is printed on the side on which it still works, four digits from it", () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-4, max: 1e5, noNaN: true }), (x) => {
      const down = Number(atMost(x));
      const up = Number(atLeast(x));
      expect(down).toBeLessThanOrEqual(x * (1 + 1e-12));
      expect(up).toBeGreaterThanOrEqual(x * (1 - 1e-12));
      expect(up - down).toBeLessThanOrEqual(1.0001e-3 * x);
    }),
    { seed: SEED, numRuns: 1000 },
  );
});

test("a number that is round already stays as it is", () => {
  expect([atMost(0.3), atLeast(0.1 + 0.2), atMost(1200), atMost(0)]).toEqual(["0.3", "0.3", "1200", "0"]);
  expect([figure(37.6000000001), figure(0.05), degrees(Math.PI / 6)]).toEqual(["37.6", "0.05", "30°"]);
});
