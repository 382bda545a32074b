import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type Design, readPart } from "../../src/design/index.ts";

const RING = `part: Ring
profile: { kind: internal spline, teeth: 6, module: 4 mm, pressure angle: 30 deg, rim diameter: 42 mm, root radius: 0.8 mm, face width: 10 mm }
load: { torque: 200 N m, teeth sharing: 50 %, which teeth: worst }
answer: { accuracy: 2 % }
`;
const DOGS = `part: Dogs
profile: { kind: face tooth, teeth: 5, mean diameter: 50 mm, face width: 9 mm, height: 3 mm, root radius: 0.4 mm, base thickness: 2 mm }
load: { torque: 200 N m, teeth sharing: 40 %, which teeth: worst }
answer: { accuracy: 2 % }
`;

const only = (text: string): Design => readPart(text, "part.yaml").designs[0]!;
const sharesOf = ({ load: { sharing } }: Design): readonly number[] => {
  if (sharing.mode !== "teeth") throw new Error("no teeth were named");
  return sharing.weights;
};
/** All ways to take so many of the teeth. */
function choices(teeth: number, many: number): number[][] {
  const all: number[][] = [];
  for (let set = 0; set < 1 << teeth; set++) {
    const taken = Array.from({ length: teeth }, (_, k) => (set >> k) & 1);
    if (taken.reduce((a, b) => a + b, 0) === many) all.push(taken.map((one) => one / many));
  }
  return all;
}

describe("the worst choice of teeth", () => {
  // every choice solved by itself
  test.each([
    ["a thin ring", RING, 3],
    ["dogs on a thin base", DOGS, 2],
  ])("of %s opens a root as far as the worst of all choices, tried one by one", (_, text, many) => {
    const asked = only(text);
    const { design, root } = answerDesign(asked).result;
    const opened = choices(asked.profile.teeth, many).map((weights) => {
      const named = { ...asked, load: { ...asked.load, sharing: { mode: "teeth" as const, weights } } };
      return answerDesign(named).result.root.average.opening;
    });
    expect(root.average.opening / Math.max(...opened)).toBeGreaterThan(0.98);
    expect(root.average.opening / Math.max(...opened)).toBeLessThan(1.02);
    // and it is worth asking for
    expect(Math.max(...opened) / Math.min(...opened)).toBeGreaterThan(1.1);
    const shares = sharesOf(design);
    expect(shares.filter((share) => share > 0)).toHaveLength(many);
    expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
  });

  test("under a torque that reverses stands no more than any choice, tried one by one", () => {
    const asked = only(`part: Shaft
profile: { kind: external spline, teeth: 6, module: 3 mm, root form: flat, root radius: 0.6 mm, bore diameter: 10.5 mm, face width: 15 mm }
load: { torque: 100 N m, teeth sharing: 50 %, which teeth: worst }
steel: { grade: 4340, hardness: 38..42 HRC }
strength: { torque ratio: -1 }
answer: { accuracy: 2 % }
`);
    const stands = (design: Design) => answerDesign(design).result.capacity!.stands;
    const named = choices(6, 3).map((weights) =>
      stands({ ...asked, load: { ...asked.load, sharing: { mode: "teeth", weights } } }),
    );
    const { low, high } = stands(asked);
    // other teeth may bear when the torque has turned round, so that it may stand less than under any one choice
    for (const end of ["low", "high"] as const) {
      const least = Math.min(...named.map((one) => one[end]));
      expect({ low, high }[end] / least).toBeGreaterThan(0.75);
      expect({ low, high }[end] / least).toBeLessThan(1.01);
    }
  });

  test("leaves a broken tooth its part, no tooth more than its share, and says which were taken", () => {
    const { result } = answerDesign(only(RING.replace("50 %", "40 %")));
    const shares = [...sharesOf(result.design)].sort((a, b) => b - a);
    expect(shares[0]).toBeCloseTo(1 / 2.4, 12);
    expect(shares[1]).toBeCloseTo(1 / 2.4, 12);
    expect(shares[2]).toBeCloseTo(0.4 / 2.4, 12);
    expect(shares[3]).toBe(0);
    expect(result.notes.join()).toMatch(
      /no tooth carries more than 41\.7 % .* each on teeth \d and \d, and 16\.7 % on tooth \d/,
    );
    expect(result.model).toBe("whole ring");
  });

  test("where all teeth carry is the sector that repeats", () => {
    expect(only(RING.replace("50 %", "100 %")).load.sharing).toEqual({ mode: "share", fraction: 1 });
  });
});
