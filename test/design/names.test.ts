import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fileStem, nearest, quote, variantNameProblem } from "../../src/design/index.ts";

describe("variantNameProblem", () => {
  test.each([
    "V0",
    "sharp, as drawn",
    "R 0.4 & hardness",
    "Ø56 ring",
    "β = 31°",
    "x".repeat(80),
    "😀".repeat(80),
    "日本",
  ])("%s may stand", (name) => {
    expect(variantNameProblem(name)).toBeNull();
  });
  test.each([
    "",
    "  ",
    "a/b",
    "a\\b",
    ".",
    "..",
    "<b>",
    "a\nb",
    "a\u2028b",
    "a\u0000b",
    "a\u200bb",
    "x".repeat(81),
  ])("%j may not", (name) => {
    expect(variantNameProblem(name)).not.toBeNull();
  });
});

describe("fileStem", () => {
  test.each([
    ["V1 fillet", "v1-fillet"],
    ["root radius 0.4 mm, torque 690 N m", "root-radius-0p4-mm-torque-690-n-m"],
    ["Größe", "gro-e"],
    ["../../etc/passwd", "etc-passwd"],
    ["日本", "variant"],
    ["con", "variant-con"],
    ["", "variant"],
  ])("of %j is %j", (name, stem) => {
    expect(fileStem(name)).toBe(stem);
  });
  test("is always a short plain name", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 300 }), (name) => {
        expect(fileStem(name)).toMatch(/^[a-z0-9]([a-z0-9-]{0,62}[a-z0-9])?$/);
      }),
      { seed: 8, numRuns: 300 },
    );
  });
});

describe("nearest", () => {
  const keys = ["root radius", "root form", "root diameter", "rim diameter", "teeth", "tip land"];
  test.each([
    ["rot radius", "root radius"],
    ["root_radius", "root radius"],
    ["RootRadius", "root radius"],
    ["rootradius", "root radius"],
    ["root raduis", "root radius"],
    ["tooth", "teeth"],
    ["teht", "teeth"],
  ])("%s is taken for %s", (word, meant) => {
    expect(nearest(word, keys)).toBe(meant);
  });
  test.each(["xyzzy", "", "speed of light", "q"])("%j is taken for nothing", (word) => {
    expect(nearest(word, keys)).toBeNull();
  });
  test("finds every known key itself", () => {
    for (const key of keys) expect(nearest(key, keys)).toBe(key);
  });
});

describe("quote", () => {
  test("keeps a message on one line and short, whatever the file held", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 500 }), (text) => {
        expect(quote(text)).not.toMatch(/[\p{Cc}\u2028\u2029\u202e]/u);
        expect(quote(text).length).toBeLessThan(62 * 6);
      }),
      { seed: 9, numRuns: 300 },
    );
  });
});
