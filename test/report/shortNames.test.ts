import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { shortNames, terminalWidth } from "../../src/report/index.ts";

const grid = ["0.2 mm", "0.4 mm"].flatMap((radius) =>
  ["38..42 HRC", "50..54 HRC"].flatMap((hardness) =>
    ["50 %", "one tooth"].map(
      (sharing) => `root radius ${radius}, hardness ${hardness}, teeth sharing ${sharing}`,
    ),
  ),
);

describe("names for tables", () => {
  test("stay as they are where all fit", () => {
    expect(shortNames(["V0", "sharp, as drawn", "V2"])).toEqual({
      names: ["V0", "sharp, as drawn", "V2"],
      by: null,
    });
  });

  test("of a grid are its values, and the keys are told once", () => {
    const { names, by } = shortNames(grid);
    expect(by).toBe("root radius, hardness, teeth sharing");
    expect(names[0]).toBe("0.2 mm, 38..42 HRC, 50 %");
    expect(names[7]).toBe("0.4 mm, 50..54 HRC, one tooth");
  });

  test("leave out a key that has one value, and never take a value apart", () => {
    const { names, by } = shortNames([
      "root radius 0.2 mm, hardness 38..42 HRC, rim diameter 56 mm",
      "root radius 0.2 in, hardness 38..42 HRC, rim diameter 56 mm",
    ]);
    expect({ names, by }).toEqual({ names: ["0.2 mm", "0.2 in"], by: "root radius" });
  });

  test("written by hand beside a grid stay", () => {
    const { names } = shortNames(["as cut", ...grid]);
    expect(names[0]).toBe("as cut");
    expect(names[1]).toBe("0.2 mm, 38..42 HRC, 50 %");
  });

  test("that are no grid are cut, and numbered where they then read alike", () => {
    const long = "the hub as it came out of the first furnace load";
    expect(shortNames([`${long}, run 1`, `${long}, run 2`, "V2"]).names).toEqual([
      "the hub as it came out of th… #1",
      "the hub as it came out of th… #2",
      "V2",
    ]);
  });

  test("are never wider than asked and never read alike, whatever is in them", () => {
    const word = fc.constantFrom(
      "root",
      "radius",
      "0.2",
      "mm",
      "hardness",
      "歯車",
      "50 %",
      "x".repeat(40),
      ", ",
      "",
    );
    const name = fc
      .array(word, { minLength: 1, maxLength: 12 })
      .map((words) => words.join(" ").trim() || "a");
    // a value alone would be another's name
    const taken = ["hardness root", "hardness root root root root root", "root"];
    expect(new Set(shortNames(taken, 30).names).size).toBe(3);
    fc.assert(
      fc.property(fc.uniqueArray(name, { minLength: 1, maxLength: 8 }), (names) => {
        const short = shortNames(names).names;
        expect(short.length).toBe(names.length);
        for (const one of short) expect(terminalWidth(one)).toBeLessThanOrEqual(32);
        expect(new Set(short).size).toBe(short.length);
      }),
      { seed: 32, numRuns: 200 },
    );
  });
});
