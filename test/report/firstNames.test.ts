import { describe, expect, test } from "vitest";
import { firstNames, someNames } from "../../src/report/firstNames.ts";

describe("the first of some names", () => {
  test("stand before the count of the others, or before one more that takes no more room", () => {
    const names = ["a", "b", "c", "d"];
    expect(firstNames(names, 4)).toBe("a, b, c, d");
    expect(firstNames(names, 3)).toBe("a, b, c and 1 more");
    expect(firstNames(names, 2, ", ")).toBe("a, b, 2 more");
    expect(someNames(names, 3)).toBe("a, b, c, d");
    expect(someNames(names, 2)).toBe("a, b and 2 more");
  });
});
