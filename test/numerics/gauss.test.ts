import { expect, test } from "vitest";
import { GAUSS_POINTS, GAUSS_WEIGHTS } from "../../src/numerics/index.ts";

test("the four points and weights are those of the closed form", () => {
  // Gauss–Legendre on −1 … 1: ±√(3/7 ∓ (2/7) √(6/5)), weights (18 ± √30)/36
  const inner = Math.sqrt(3 / 7 - (2 / 7) * Math.sqrt(6 / 5)) / 2;
  const outer = Math.sqrt(3 / 7 + (2 / 7) * Math.sqrt(6 / 5)) / 2;
  const points = [0.5 - outer, 0.5 - inner, 0.5 + inner, 0.5 + outer];
  const light = (18 - Math.sqrt(30)) / 72;
  const heavy = (18 + Math.sqrt(30)) / 72;
  for (const [k, weight] of [light, heavy, heavy, light].entries()) {
    expect(GAUSS_POINTS[k]).toBeCloseTo(points[k]!, 15);
    expect(GAUSS_WEIGHTS[k]).toBeCloseTo(weight, 15);
  }
});

test("integrate powers up to the seventh exactly, the eighth not", () => {
  const miss = (power: number) =>
    Math.abs(GAUSS_POINTS.reduce((sum, x, k) => sum + GAUSS_WEIGHTS[k]! * x ** power, 0) - 1 / (power + 1));
  for (let power = 0; power <= 7; power++) expect(miss(power)).toBeLessThan(1e-15);
  expect(miss(8)).toBeGreaterThan(1e-6);
});
