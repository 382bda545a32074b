import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { spreadApart } from "../../src/report/spreadApart.ts";

describe("labels spread apart", () => {
  test("stay where they would like to be while there is room, and move no farther than they must", () => {
    expect(spreadApart([10, 40, 90], [15, 15, 15], { last: 100 })).toEqual([10, 40, 90]);
    expect(spreadApart([10, 12, 90], [15, 20, 15], { last: 100 })).toEqual([10, 25, 90]);
    expect(spreadApart([80, 95, 99], [15, 20, 15], { last: 100 })).toEqual([65, 80, 100]);
    expect(spreadApart([2, 3], [15, 15], { first: 6, last: 100 })).toEqual([6, 21]);
    expect(spreadApart([], [], { first: 6, last: 100 })).toEqual([]);
  });

  test("keep their order and distance, and pass neither end where there is room for all", () => {
    const gap = fc.integer({ min: 1, max: 30 });
    const label = fc.tuple(fc.integer({ min: -50, max: 250 }), gap);
    fc.assert(
      fc.property(fc.array(label, { minLength: 1, maxLength: 8 }), (labels) => {
        const wishes = labels.map(([wish]) => wish).sort((a, b) => a - b);
        const gaps = labels.map(([, own]) => own);
        // room for eight labels: seven gaps of 30
        const places = spreadApart(wishes, gaps, { first: 0, last: 210 });
        for (let k = 1; k < places.length; k++)
          expect(places[k]! - places[k - 1]!).toBeGreaterThanOrEqual(gaps[k - 1]!);
        expect(places[0]).toBeGreaterThanOrEqual(0);
        expect(places.at(-1)).toBeLessThanOrEqual(210);
      }),
      { seed: 61, numRuns: 300 },
    );
  });
});
