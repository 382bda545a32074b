import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { convertHardness, hrcToHb, hrcToHv } from "../../src/design/index.ts";

const { cases } = JSON.parse(
  readFileSync(new URL("../../fixtures/reference/hardness-strength.json", import.meta.url), "utf8"),
) as {
  cases: readonly {
    id: string;
    section: string;
    inputs: Record<string, number>;
    expected: Record<string, number>;
  }[];
};
// ASTM E140 table 1 / ASTM A370 table 3 / SAE J417 numbers
const us = cases.filter(({ section }) => section === "hrc-us");
// DIN 50150 / ISO 18265 table A.1, printed rows
const european = cases.filter(
  ({ section, expected }) => section === "hv-iso" && expected["HRC"] !== undefined,
);

describe("hardness scales", () => {
  test.each(us)(
    "$id converts to its printed Vickers and Brinell numbers and back, exactly",
    ({ inputs, expected }) => {
      const hrc = inputs["HRC"]!;
      expect(hrcToHv(hrc)).toBe(expected["HV"]);
      expect(convertHardness(expected["HV"]!, "HV", "HRC")).toBe(hrc);
      expect(hrcToHb(hrc)).toBe(expected["HB"] ?? null);
      if (expected["HB"] !== undefined) expect(convertHardness(expected["HB"], "HB", "HRC")).toBe(hrc);
    },
  );

  test.each(european)(
    "$id agrees with the European table within the 1 HRC both claim",
    ({ inputs, expected }) => {
      expect(Math.abs(convertHardness(inputs["HV"]!, "HV", "HRC")! - expected["HRC"]!)).toBeLessThan(1);
    },
  );

  test("there and back is the same hardness anywhere in the table", () => {
    fc.assert(
      fc.property(fc.double({ min: 20, max: 68, noNaN: true }), (hrc) => {
        expect(convertHardness(hrcToHv(hrc)!, "HV", "HRC")!).toBeCloseTo(hrc, 9);
      }),
      { seed: 140, numRuns: 200 },
    );
  });

  test("nothing outside the printed rows", () => {
    for (const [value, from, to] of [
      [19.9, "HRC", "HV"],
      [68.1, "HRC", "HV"],
      [58.5, "HRC", "HB"],
      [237, "HV", "HRC"],
      [616, "HB", "HRC"],
      [-5, "HV", "HRC"],
    ] as const)
      expect(convertHardness(value, from, to)).toBeNull();
  });
});
