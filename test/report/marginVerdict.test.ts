import { describe, expect, test } from "vitest";
import { marginVerdict, verdictText, wantedWords } from "../../src/report/marginVerdict.ts";

describe("whether a margin is enough", () => {
  const silent = {};
  const wanting = (margin: number) => ({ strength: { margin } });

  test("yes with every figure at its worst, not sure only with better ones, no not even at their best", () => {
    const at = (low: number, high: number, wanted: number) => marginVerdict({ low, high }, wanting(wanted));
    expect(at(2, 5, 2)).toBe("yes");
    expect(at(1.99, 5, 2)).toBe("not sure");
    expect(at(1.2, 2, 2)).toBe("not sure");
    expect(at(1.2, 1.99, 2)).toBe("no");
    expect(at(0.9, Number.POSITIVE_INFINITY, 1)).toBe("not sure");
  });

  test("a margin of 1 is wanted where none is stated, and what all want is told once", () => {
    expect(marginVerdict({ low: 1, high: 1 }, silent)).toBe("yes");
    expect(wantedWords([silent, silent])).toBe("");
    expect(wantedWords([wanting(2), wanting(2)])).toBe(" (margin wanted: 2)");
    expect(wantedWords([wanting(2), silent])).toBeNull();
    expect(verdictText({ low: 1.5, high: 1.8 }, wanting(2), false)).toBe("no (2 wanted)");
    expect(verdictText({ low: 1.5, high: 1.8 }, wanting(1), true)).toBe("yes");
  });
});
