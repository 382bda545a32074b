import { describe, expect, test } from "vitest";
import type { Design } from "../../src/design/index.ts";
import { marginVerdict, verdictText, wantedWords } from "../../src/report/marginVerdict.ts";
import { syntheticDesign } from "./synthetic.ts";

describe("whether a margin is enough", () => {
  const design = syntheticDesign();
  const wanting = (margin: number): Design => ({
    ...design,
    strength: {
      requiredTorque: 1242e3,
      margin,
      shocks: 1e4,
      torqueRatio: 0,
      finish: "machined",
      peened: false,
      flawDepth: 0,
      tolerance: 2,
      distributionFactor: 1,
    },
  });

  test("yes with every figure at its worst, not sure only with better ones, no not even at their best", () => {
    const at = (low: number, high: number, wanted: number) => marginVerdict({ low, high }, wanting(wanted));
    expect(at(2, 5, 2)).toBe("yes");
    expect(at(1.99, 5, 2)).toBe("not sure");
    expect(at(1.2, 2, 2)).toBe("not sure");
    expect(at(1.2, 1.99, 2)).toBe("no");
    expect(at(0.9, Number.POSITIVE_INFINITY, 1)).toBe("not sure");
  });

  test("a margin of 1 is wanted where none is stated, and what all want is told once", () => {
    const { strength: _, ...silent } = design;
    expect(marginVerdict({ low: 1, high: 1 }, silent)).toBe("yes");
    expect(wantedWords([silent, silent])).toBe("");
    expect(wantedWords([wanting(2), wanting(2)])).toBe(" (margin wanted: 2)");
    expect(wantedWords([wanting(2), silent])).toBeNull();
    expect(verdictText({ low: 1.5, high: 1.8 }, wanting(2), false)).toBe("no (2 wanted)");
    expect(verdictText({ low: 1.5, high: 1.8 }, wanting(1), true)).toBe("yes");
  });
});
