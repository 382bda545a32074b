import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { FILE, faultLines, partText } from "./helpers.ts";

const notices = (text: string) => readPart(text, FILE).designs[0]!.notices;
const width = (told: string) => partText({ replace: ["face width: 16 mm", `face width: ${told}`] });
const rim = (told: string) => partText({ replace: ["face width", `rim diameter: ${told}\n  face width`] });
const FACE = `part: Dog
profile: { kind: face tooth, teeth: 6, outside diameter: 90 mm, inside diameter: 60 mm, height: 8 mm, ramp angle: 0 deg, root radius: 0.5 mm }
load: { torque: 100 N m }
`;
const base = (told: string) => FACE.replace("root radius", `base thickness: ${told}, root radius`);

describe("millimetres written as inches", () => {
  test.each([
    [
      "face width",
      width("16 in"),
      /face width: face width 406 mm \(16\.0 in\) is 12 times the pitch diameter, 34\.0 mm \(1\.34 in\); look at its unit/,
    ],
    [
      "rim diameter",
      rim("56 in"),
      /rim diameter: rim diameter 1420 mm \(56\.0 in\) is 38 times the root diameter, 37\.0 mm/,
    ],
    [
      "base thickness",
      base("16 in"),
      /base thickness: base thickness 406 mm \(16\.0 in\) is 5\.4 times the mean diameter, 75\.0 mm/,
    ],
    [
      "mean diameter",
      base("16 mm").replace(
        "outside diameter: 90 mm, inside diameter: 60 mm",
        "mean diameter: 75 in, face width: 15 mm",
      ),
      /mean diameter: the pitch of the teeth at the mean diameter, 997 mm \(39\.3 in\) is 120 times their height, 8\.00 mm/,
    ],
  ])("are refused where nothing else makes a %s so large", (_key, text, fault) => {
    expect(faultLines(text)).toEqual([expect.stringMatching(fault)]);
  });

  test("are asked about where they may be meant, with what a long spline does not do", () => {
    expect(notices(width("60 mm"))).toEqual([
      "face width 60.0 mm is 1.8 times the pitch diameter, 34.0 mm: is the unit right? If so, length beyond about one pitch diameter carries " +
        "little, as shaft and hub twist along it, and what the part stands counts all of it",
    ]);
    expect(notices(rim("240 mm"))).toEqual([
      "rim diameter 240 mm is 6.5 times the root diameter, 37.0 mm: is the unit right?",
    ]);
    expect(notices(base("120 mm"))).toEqual([
      "base thickness 120 mm is 1.6 times the mean diameter, 75.0 mm: is the unit right?",
    ]);
  });

  test("and usual sizes raise no question", () => {
    for (const text of [width("34 mm"), rim("120 mm"), base("40 mm")]) expect(notices(text)).toBeUndefined();
  });
});
