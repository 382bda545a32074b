import { describe, expect, test } from "vitest";
import { verdictTurn, verdictTurnText } from "../../src/report/index.ts";

const changes = ["ramp angle", "friction", "pins"].map((id) => ({ id, title: id }));
/** The sentence where the ring lets go by the sets of changes that `frees` names. */
const text = (frees: (made: ReadonlySet<string>) => boolean, of = changes) =>
  verdictTurnText(
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

  test("none, where both are alike", () => {
    expect(text(() => true)).toBe("Does the ring let go? A and B alike: lets go.");
  });
});
