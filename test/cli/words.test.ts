import { describe, expect, test } from "vitest";
import { printable } from "../../src/cli/printable.ts";
import { wantsColour } from "../../src/cli/say.ts";
import { wrapWords } from "../../src/cli/wrapWords.ts";

describe("printable", () => {
  test("shows control characters and direction marks instead of obeying them", () => {
    expect(printable("a\nb\u001b[31mc\u202ed")).toBe("a\\u{a}b\\u{1b}[31mc\\u{202e}d");
  });
  test("leaves the trade's own signs alone and cuts what is too long", () => {
    expect(printable("Ø34 β 31° ± 0.1 µm")).toBe("Ø34 β 31° ± 0.1 µm");
    expect(printable("x".repeat(300), 10)).toBe(`${"x".repeat(9)}…`);
  });
});

describe("wantsColour", () => {
  test("is true on a terminal only, and never where NO_COLOR is set (no-color.org)", () => {
    expect(wantsColour({ isTTY: true }, {})).toBe(true);
    expect(wantsColour({ isTTY: true }, { NO_COLOR: "1" })).toBe(false);
    // the convention: an empty value does not count
    expect(wantsColour({ isTTY: true }, { NO_COLOR: "" })).toBe(true);
    expect(wantsColour({ isTTY: true }, { TERM: "dumb" })).toBe(false);
    expect(wantsColour({}, {})).toBe(false);
  });
});

describe("wrapWords", () => {
  test("keeps lines within the width where words allow, the later ones under the first", () => {
    expect(wrapWords("  - ", "ask the heat treater first", 16)).toEqual([
      "  - ask the heat",
      "    treater",
      "    first",
    ]);
    expect(wrapWords("", "unbreakable", 4)).toEqual(["unbreakable"]);
  });
});
