import { describe, expect, test } from "vitest";
import { sharedNotices } from "../../src/cli/sharedNotices.ts";
import { readPart } from "../../src/design/index.ts";

const { designs } = readPart(
  `part: Hub
profile: { kind: internal spline, teeth: 17, module: 2 mm, face width: 60 mm, root radius: 0.4 mm }
load: { torque: 690 N m }
steel: { grade: 4340, hardness: 38..42 HRC }
variants:
  - name: tough
  - name: hard
    steel: { hardness: 54..56 HRC }
`,
  "hub.yaml",
);

describe("what is odd in a part file", () => {
  test("is told once of all variants, and by name where it is not all of them", () => {
    const [wide, hard, ...more] = sharedNotices(designs);
    expect(wide).toMatch(/^Face width 60\.0 mm is 1\.8 times the pitch diameter/);
    expect(hard).toMatch(/^"hard": 54\.\.56 HRC is taken as its hardness right through/);
    expect(more).toEqual([]);
  });

  test("of one variant needs no name", () => {
    for (const notice of sharedNotices([designs[1]!])) expect(notice).toMatch(/^(Face width|54\.\.56 HRC)/);
  });
});
