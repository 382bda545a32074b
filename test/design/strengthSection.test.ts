import { describe, expect, test } from "vitest";
import { readPart, STEEL_GRADES } from "../../src/design/index.ts";
import { BUILT_IN, steelStrength } from "../../src/strength/index.ts";
import { FILE, faultLines, partText } from "./helpers.ts";

const STEEL = "steel: { grade: 4340, hardness: 38..42 HRC }\n";
const only = (add: string) => readPart(partText({ add }), FILE).designs[0]!;

describe("the strength section", () => {
  test("is filled with defaults that are echoed with their sources", () => {
    const design = only(STEEL);
    expect(design.strength).toEqual({
      requiredTorque: 690_000,
      margin: 1,
      shocks: 10_000,
      torqueRatio: 0,
      finish: "machined",
      peened: false,
      flawDepth: 0,
      tolerance: 2,
      distributionFactor: 1,
    });
    const echoed = design.defaults.filter(({ key }) => key.startsWith("strength."));
    expect(echoed).toHaveLength(9);
    for (const { source } of echoed) expect(source).not.toBe("");
  });

  test("is read in the units of the file, and a variant may change it", () => {
    const { designs } = readPart(
      partText({
        add: `${STEEL}strength: { required torque: 915 lbf ft, flaw depth: 0.002 in, peened: true, shocks: 1e6 }\nvariants:\n  - name: A\n  - name: B\n    strength: { peened: no, finish: ground }\n`,
      }),
      FILE,
    );
    // 1 lbf·ft = 4.4482216152605 N × 304.8 mm, exact
    expect(designs[0]!.strength!.requiredTorque).toBeCloseTo(915 * 4.4482216152605 * 304.8, 6);
    expect(designs[0]!.strength).toMatchObject({ flawDepth: 0.0508, peened: true, shocks: 1e6 });
    expect(designs[1]!.strength).toMatchObject({ peened: false, finish: "ground" });
  });

  test("says nothing without a steel", () => {
    const design = only("strength: { shocks: 100 }\n");
    expect(design.strength).toBeUndefined();
    expect(design.defaults.filter(({ key }) => key.startsWith("strength."))).toEqual([]);
  });

  test.each([
    ["flaw depth: -0.1 mm", /strength\.flaw depth: -0\.1 mm is out of range; use 0 to/],
    ["torque ratio: 1", /strength\.torque ratio: 1 is out of range; use -1 to 0\.9/],
    ["shocks: 0", /strength\.shocks: 0 is out of range/],
    ["finish: mirror", /strength\.finish: "mirror" is no choice here; use one of: polished/],
    ["peened: perhaps", /strength\.peened: "perhaps" is no choice here/],
    ["tolerance: -1", /strength\.tolerance: -1 is out of range/],
    ["distribution factor: 0.5", /strength\.distribution factor: 0\.5 is out of range/],
  ])("refuses %s", (line, fault) => {
    expect(faultLines(partText({ add: `${STEEL}strength: { ${line} }\n` }))).toEqual([
      expect.stringMatching(fault),
    ]);
  });
});

describe("case depth", () => {
  test("becomes numbers in mm, in whatever unit it is written", () => {
    const depth = (text: string) =>
      only(
        `steel: { grade: 8620 case, hardness: 58..61 HRC, core hardness: 30..38 HRC, case depth: ${text} }\n`,
      ).steel!.core!;
    expect(depth("0.4..0.6 mm")).toMatchObject({ caseDepth: [0.4, 0.6], caseDepthText: "0.4..0.6 mm" });
    expect(depth("0.5 mm").caseDepth).toEqual([0.5, 0.5]);
    expect(depth("0.020 to 0.030 in").caseDepth![1]).toBeCloseTo(0.762, 12);
  });
});

describe("the steels a part file may name", () => {
  test("are those there are strength data for, over the same hardness and with the same other names", () => {
    const known = BUILT_IN.steels.map(({ name, also, hrc, condition }) => ({
      name,
      also: [...(also ?? [])],
      softest: hrc[0],
      hardest: hrc[1],
      condition: condition === "case" ? "case hardened" : "through hardened",
    }));
    const byName = (a: { name: string }, b: { name: string }) => (a.name < b.name ? -1 : 1);
    expect([...STEEL_GRADES].sort(byName)).toEqual(known.sort(byName));
  });

  test.each(STEEL_GRADES.filter(({ condition }) => condition === "through hardened"))(
    "$name has a strength band at both ends of its range",
    ({ name, softest, hardest }) => {
      for (const hrc of [softest, hardest]) {
        const found = steelStrength({
          grade: name,
          hardnessLow: hrc,
          hardnessHigh: hrc,
          hardnessText: `${hrc} HRC`,
        });
        expect(found.yieldLow).toBeGreaterThan(300);
        expect(found.yieldHigh).toBeGreaterThanOrEqual(found.yieldLow);
        expect(found.tensileLow).toBeGreaterThanOrEqual(found.yieldLow);
      }
    },
  );
});
