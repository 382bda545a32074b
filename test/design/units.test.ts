import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  formatAngle,
  formatForce,
  formatLength,
  formatModulus,
  formatPercent,
  formatStress,
  formatTorque,
  lengthUnit,
  significant,
  stressUnit,
  torqueUnit,
} from "../../src/design/index.ts";

describe("printed quantities", () => {
  // 1 ksi = 6.894757 MPa, 1 lbf ft = 1.355818 N m, 1 in = 25.4 mm, 1 lbf = 4.448222 N (NIST SP 811)
  test("carry three significant figures in both units", () => {
    expect(formatStress(812.3, "both")).toBe("812 MPa (118 ksi)");
    expect(formatTorque(1_242_000, "both")).toBe("1240 N·m (916 lbf·ft)");
    expect(formatTorque(1_240_000, "both")).toBe("1240 N·m (915 lbf·ft)");
    expect(formatLength(0.8, "both")).toBe("0.800 mm (0.0315 in)");
    expect(formatForce(8580, "both")).toBe("8580 N (1930 lbf)");
    expect(formatModulus(205_000, "both")).toBe("205 GPa (29700 ksi)");
    expect(formatAngle(Math.PI / 6)).toBe("30.0°");
  });

  test("or in one", () => {
    expect(formatStress(812.3, "metric")).toBe("812 MPa");
    expect(formatStress(812.3, "inch")).toBe("118 ksi");
    expect(formatLength(25.4, "inch")).toBe("1.00 in");
  });

  test("agree with the factors for axes and tables", () => {
    expect(6.894757 * stressUnit("inch").perMPa).toBeCloseTo(1, 6);
    expect(25.4 * lengthUnit("inch").perMm).toBeCloseTo(1, 12);
    expect(1355.818 * torqueUnit("inch").perNmm).toBeCloseTo(1, 6);
    expect(stressUnit("both")).toEqual({ name: "MPa", perMPa: 1 });
  });

  test.each([
    [999.6, "1000"],
    [99.96, "100"],
    [9.996, "10.0"],
    [0.09996, "0.100"],
    [123_456, "123000"],
    [-0.0123456, "-0.0123"],
    [0, "0"],
    [1e-9, "0"],
    [Number.POSITIVE_INFINITY, "unbounded"],
    [Number.NaN, "unknown"],
  ])("%d is %s", (value, text) => {
    expect(significant(value)).toBe(text);
  });

  test("stay within half a unit of the third figure, without powers of ten", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-5, max: 1e7, noNaN: true }), (value) => {
        const text = significant(value);
        expect(text).toMatch(/^\d+(\.\d+)?$/);
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.00501 * value);
      }),
      { seed: 3, numRuns: 300 },
    );
  });

  test("percentages drop zeros that say nothing", () => {
    expect(formatPercent(0.5)).toBe("50 %");
    expect(formatPercent(0.01)).toBe("1 %");
    expect(formatPercent(0.0085)).toBe("0.850 %");
    expect(formatPercent(0.123)).toBe("12.3 %");
  });
});
