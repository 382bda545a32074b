import { describe, expect, test } from "vitest";
import { LETS_GO, STAYS_TOGETHER, verdictTurn, verdictTurnText } from "../../src/report/index.ts";

const changes = ["ramp angle", "friction", "pins"].map((id) => ({ id, title: id }));
/** The sentence where the ring lets go by the sets of changes that `frees` names. */
const text = (frees: (made: ReadonlySet<string>) => boolean, of = changes) =>
  verdictTurnText(
    LETS_GO,
    "A",
    "B",
    verdictTurn(of, (made) => (frees(made) ? "lets go" : "self-holding")),
  );

describe("what turned the verdict", () => {
  test("one change, whatever the others", () => {
    expect(text((made) => made.has("ramp angle"))).toBe(
      "Does the ring let go? A: self-holding; B: lets go. Ramp angle did it: enough alone, and without it the others are not.",
    );
    expect(text((made) => made.has("pins"), [changes[2]!])).toMatch(/lets go\. Pins did it\.$/);
  });

  test("either of two, or both together", () => {
    expect(text((made) => made.has("ramp angle") || made.has("friction"))).toMatch(
      /Ramp angle or friction alone is enough for it\.$/,
    );
    expect(text((made) => made.has("ramp angle") && made.has("friction"))).toMatch(
      /It takes ramp angle and friction together\.$/,
    );
  });

  test("one with any of the others", () => {
    const frees = (made: ReadonlySet<string>) => made.has("ramp angle") && made.size > 1;
    expect(text(frees)).toMatch(/It takes ramp angle, and one more of the changes\.$/);
    expect(text((made) => made.size > 1)).toMatch(
      /No single change is needed for it, and none is enough alone\.$/,
    );
  });

  // the springs put right what the ramp does, so that ramp alone goes further the same way
  test("a change that does more harm than all together is what did it", () => {
    const verdict = (made: ReadonlySet<string>) =>
      made.has("ramp") ? (made.has("springs") ? "depends on μ" : "not at its torque") : "lets go";
    const two = ["ramp", "springs"].map((id) => ({ id, title: id }));
    expect(verdictTurnText(LETS_GO, "A", "B", verdictTurn(two, verdict))).toBe(
      "Does the ring let go? A: lets go; B: depends on μ. Ramp did it: enough alone, and without it the others are not.",
    );
  });

  test("verdicts stand in order, worst first", () => {
    const order = (["self-holding", "not at its torque", "depends on μ", "lets go"] as const).map(
      (verdict) => LETS_GO.rank[verdict],
    );
    expect([...order].sort((a, b) => a - b)).toEqual(order);
    expect(LETS_GO.rank["pins first"]).toBe(LETS_GO.rank["self-holding"]);
    expect(LETS_GO.rank["root first at high μ"]).toBe(LETS_GO.rank["depends on μ"]);
    const holds = ["they part", "nothing told holds them", "at high friction only", "they do"] as const;
    expect(holds.map((verdict) => STAYS_TOGETHER.rank[verdict])).toEqual([0, 1, 2, 3]);
  });

  test("none, where both are alike", () => {
    expect(text(() => true)).toBe("Does the ring let go? A and B alike: lets go.");
  });
});
