import { describe, expect, test } from "vitest";
import { bisect, bisectUp, halve, halveTo } from "../../src/numerics/index.ts";

describe("bisect", () => {
  test("ends on the last number that works, whichever way it looks", () => {
    const root = bisect((x) => x * x - 2, 0, 2);
    expect(root * root - 2).toBeLessThanOrEqual(0);
    const next = root + 2 ** -52;
    expect(next * next - 2).toBeGreaterThan(0);
    expect(bisect((x) => 2 - x * x, 2, 0)).toBe(next);
  });

  test("takes what is no number for outside", () => {
    expect(bisect((x) => (x > 0.75 ? Number.NaN : -1), 0, 1)).toBe(0.75);
  });

  test("finds its own upper end, and stays at 0 where nothing works", () => {
    expect(bisectUp((x) => x - 1000, 1)).toBeCloseTo(1000, 9);
    expect(bisectUp(() => 1, 1)).toBe(0);
  });
});

describe("halving", () => {
  test("leaves a stretch of 2^-n of its length round the change", () => {
    const [inside, outside] = halve((x) => x < 0.3, 0, 1, 10);
    expect(outside - inside).toBe(2 ** -10);
    expect(inside).toBeLessThan(0.3);
    expect(outside).toBeGreaterThanOrEqual(0.3);
  });

  test("runs downwards as well as upwards", () => {
    expect(halve((x) => x > 0.3, 1, 0, 10)).toEqual(halve((x) => !(x > 0.3), 0, 1, 10).reverse());
  });

  test("stops as soon as the ends are within the tolerance", () => {
    let asked = 0;
    const [inside, outside] = halveTo((x) => ++asked > 0 && x >= 30, 40, 20, 0.02);
    expect(inside - outside).toBeLessThanOrEqual(0.02);
    expect(asked).toBe(10);
    expect(inside).toBeGreaterThanOrEqual(30);
    expect(outside).toBeLessThan(30);
  });
});
