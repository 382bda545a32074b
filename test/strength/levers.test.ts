import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type Design, readPart } from "../../src/design/index.ts";
import { designWindow, leversOf, type RootField } from "../../src/strength/index.ts";

const only = (profile: string, load = "torque: 690 N m, shock factor: 1.8"): Design =>
  readPart(
    `part: Ring
profile: { ${profile} }
load: { ${load} }
steel: { grade: 4340, hardness: 38..42 HRC }
strength: { margin: 6 }
answer: { accuracy: 2 % }
`,
    "ring.yaml",
  ).designs[0]!;
const SPLINE =
  "kind: internal spline, teeth: 17, module: 2 mm, pressure angle: 30 deg, rim diameter: 56 mm, face width: 16 mm, root radius: ";
const FACE =
  "kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, back-cut: 2 deg, ramp angle: 31 deg, tip chamfer: 0.3 mm, root radius: ";
const told = (design: Design) =>
  leversOf(design)
    .filter(({ solves }) => solves)
    .map(({ words, at }) => `${words}, ${at}`);
const field = (design: Design): RootField => answerDesign(design).result.rootField!;

describe("levers of a root", () => {
  test("are a radius half-way to the largest that fits, and a wall half as thick again", () => {
    expect(told(only(`${SPLINE}0.4 mm`))).toEqual([
      "a larger root radius, R0.81 mm",
      "a thicker wall behind the teeth, rim 65.5 mm",
    ]);
    expect(told(only(`${FACE}0`))[0]).toMatch(/^a radius in place of the sharp drive root, R1\.\d+ mm/);
    expect(told(only(`${FACE}1 mm, base thickness: 6 mm`))[1]).toBe("a thicker base under the teeth, 9 mm");
    // where the torque turned round loads the other root, that counts too: both at once where they are alike
    const back = (radii: string) =>
      told({
        ...only(`${FACE}1 mm${radii}`),
        strength: { ...only(`${FACE}1 mm`).strength!, torqueRatio: -1 },
      });
    expect(back("")[0]).toMatch(/^a larger root radius, R/);
    expect(back(", over-run root radius: 0.2 mm").map((text) => text.split(",")[0])).toEqual([
      "a larger drive root radius",
      "a larger over-run root radius",
      "a thicker base under the teeth",
    ]);
    // as large as it can be; and a back held fast
    expect(told(only(`${SPLINE}full`))).toEqual(["a thicker wall behind the teeth, rim 65.5 mm"]);
    expect(told(only(`${SPLINE}full`, "torque: 690 N m, reaction: held"))).toEqual([]);
  });

  test("and a better surface where shocks come again and again: what solves nothing anew", () => {
    const surface = (strength: Partial<NonNullable<Design["strength"]>>) => {
      const design = only(`${SPLINE}0.4 mm`);
      const all = leversOf({ ...design, strength: { ...design.strength!, ...strength } });
      return all.filter(({ solves }) => !solves).map(({ words }) => words);
    };
    expect(surface({ finish: "as forged", flawDepth: 0.1 })).toEqual([
      "a root free of tool marks and cracks: finish it and inspect it",
      "machined roots",
      "shot-peened roots",
    ]);
    expect(surface({})).toEqual(["ground roots", "shot-peened roots"]);
    expect(surface({ finish: "ground", peened: true })).toEqual([]);
    expect(surface({ finish: "as forged", shocks: 1 })).toEqual([]);
  });

  // few teeth side by side make a thin ring oval: there the wall decides, at the sharp foot of a tall tooth the radius
  test.each([
    [`${SPLINE}0.1 mm`, "which teeth: worst", /^a thicker wall/],
    [`${FACE}0.1 mm, base thickness: 9 mm`, "which teeth: evenly", /^a larger drive root radius/],
  ])("are told by what they bring: %s, %s", (profile, load, first) => {
    const design = only(profile, `torque: 690 N m, shock factor: 1.8, ${load}`);
    const root = field(design);
    const found = designWindow(root, design, field) as Extract<
      ReturnType<typeof designWindow>,
      { window: unknown }
    >;
    const { none, best } = found.window;
    expect(none!.change).toMatch(first);
    // each gain is that of the part so changed, which anyone can run
    const gains = [...none!.change.matchAll(/[:(] ?(\d+) % more/g)].map(([, percent]) => Number(percent));
    expect(gains.length).toBeGreaterThan(0);
    const gainOf = (changed: Design): number => {
      const own = designWindow(field(changed), changed) as typeof found;
      return Math.round(100 * (own.window.best.torque / best.torque - 1));
    };
    const levers = leversOf(design);
    const most = levers.map(({ make }) => gainOf(make(design)));
    expect(gains).toEqual(most.filter((one) => one >= 1).sort((a, b) => b - a));
    // and what some bring together that of the part with those
    const joint = /, ?(?:(.*) and (.*) )?together (\d+) % more, else/.exec(
      none!.change.replace(/^.*?% more\)(?=, )/, ""),
    );
    expect(joint).not.toBeNull();
    const made = levers.filter(({ words }, k) =>
      joint![1] === undefined ? most[k]! >= 1 : joint![0].includes(words),
    );
    expect(Number(joint![3])).toBe(gainOf(made.reduce((so, { make }) => make(so), design)));
  });
});
