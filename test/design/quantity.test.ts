import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Dimension, readQuantity } from "../../src/design/quantity.ts";

function value(text: string, dimension: Dimension): number {
  const read = readQuantity(text, dimension, "such");
  if (!read.ok) throw new Error(read.problem);
  return read.value.value;
}

const LBF = 0.45359237 * 9.80665; // N, by definition of the pound and of standard gravity
const KSI = (1000 * LBF) / 25.4 ** 2; // MPa

describe("readQuantity", () => {
  test.each<readonly [string, Dimension, number]>([
    ["0.8 mm", "length", 0.8],
    ["0.8mm", "length", 0.8],
    [".8 mm", "length", 0.8],
    ["0.030 in", "length", 0.762],
    ['0.030"', "length", 0.762],
    ["3/8 in", "length", 9.525],
    ["1 1/2 in", "length", 38.1],
    ["30 thou", "length", 0.762],
    ["30 mil", "length", 0.762],
    ["2 inches", "length", 50.8],
    ["5 cm", "length", 50],
    ["50 µm", "length", 0.05],
    ["50 um", "length", 0.05],
    ["690 N m", "torque", 690_000],
    ["690 N·m", "torque", 690_000],
    ["690 N*m", "torque", 690_000],
    ["690 Nm", "torque", 690_000],
    ["690000 N mm", "torque", 690_000],
    ["0.69 kN m", "torque", 690_000],
    ["915 lbf ft", "torque", 915 * LBF * 304.8],
    ["915 ft-lbf", "torque", 915 * LBF * 304.8],
    ["915 lbf·ft", "torque", 915 * LBF * 304.8],
    ["100 lbf in", "torque", 100 * LBF * 25.4],
    ["205 GPa", "stress", 205_000],
    ["205 kN/mm²", "stress", 205_000],
    ["181 ksi", "stress", 181 * KSI],
    ["181000 psi", "stress", 181 * KSI],
    ["30 deg", "angle", Math.PI / 6],
    ["30°", "angle", Math.PI / 6],
    ["30 deg 15 min", "angle", (30.25 * Math.PI) / 180],
    ["-2 deg 30 min", "angle", (-2.5 * Math.PI) / 180],
    ["0.5 rad", "angle", 0.5],
    ["12 /in", "pitch", 12],
    ["12 1/in", "pitch", 12],
    ["12 per in", "pitch", 12],
    ["0.5 /mm", "pitch", 12.7],
    ["16/32", "pitch", 16], // designation of ANSI B92.1: pitch / stub pitch, twice the pitch (from memory)
    ["2.5 / 5", "pitch", 2.5],
    ["-1e-3 m", "length", -1],
  ])("%s is %s", (text, dimension, expected) => {
    expect(value(text, dimension)).toBeCloseTo(expected, 6);
  });

  test.each<readonly [string, Dimension, string]>([
    ["16 N", "length", "a force"],
    ["16 mm", "torque", "a length"],
    ["16 N m", "length", "a torque"],
    ["16 N m", "stress", "a torque"],
    ["16 kg", "length", "a mass"],
    ["16 deg", "length", "an angle"],
    ["16 mm^2", "length", "an area"],
    ["16 MPa", "torque", "a stress"],
    ["10 ft lb", "torque", "a mass times a length"],
  ])("%s for %s is called %s", (text, dimension, kind) => {
    expect(readQuantity(text, dimension, "such")).toMatchObject({
      ok: false,
      problem: expect.stringContaining(`is ${kind}`),
    });
  });

  test.each([
    "",
    "mm",
    "16",
    "16 x",
    "16 mm mm mm x",
    "1 to 2 mm",
    "16 mm".padEnd(70, "m"),
    "constructor",
    "1 __proto__",
  ])("%j is refused with a remedy", (text) => {
    expect(readQuantity(text, "length", "0.8 mm")).toMatchObject({
      ok: false,
      remedy: expect.stringContaining("0.8 mm"),
    });
  });

  // obeying "write it with a point" made a thousand of one
  test.each([
    ["1,5 mm", 'write decimals with a point: "1.5 mm"'],
    ["1,000 mm", 'write "1000 mm" if it parts thousands, "1.000 mm" if it is a decimal mark'],
    ["1.240,5 mm", 'write decimals with a point: "1240.5 mm"'],
    ["12,500.5 mm", 'write thousands without one: "12500.5 mm"'],
    ["1,000,000 mm", 'write thousands without one: "1000000 mm"'],
  ])("of the comma in %s both readings are told where there are two", (text, remedy) => {
    expect(readQuantity(text, "length", "0.8 mm")).toMatchObject({ ok: false, remedy });
  });

  test("spaces that do not break lines part number and unit, and units, like any other", () => {
    for (const text of ["600\u00a0lbf\u00a0ft", "600 lbf\u202fft", "600\u2009lbf ft"])
      expect(readQuantity(text, "torque", "690 N m")).toEqual(
        readQuantity("600 lbf ft", "torque", "690 N m"),
      );
  });

  test("a pitch whose second number is not twice the first is refused", () => {
    expect(readQuantity("16/30", "pitch", "12 /in")).toMatchObject({
      ok: false,
      problem: expect.stringContaining("twice the pitch"),
    });
  });

  test("an inch is 25.4 mm and a degree π/180 for any number", () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (x) => {
        expect(value(`${x} in`, "length")).toBeCloseTo(25.4 * x, 6);
        expect(value(`${x} deg`, "angle")).toBeCloseTo((Math.PI / 180) * x, 9);
      }),
      { seed: 254, numRuns: 200 },
    );
  });

  test("knows which workshop a unit comes from", () => {
    const system = (text: string, dimension: Dimension) => {
      const read = readQuantity(text, dimension, "such");
      return read.ok && read.value.system;
    };
    expect(system("1 in", "length")).toBe("inch");
    expect(system("1 lbf ft", "torque")).toBe("inch");
    expect(system("1 ksi", "stress")).toBe("inch");
    expect(system("1 mm", "length")).toBe("metric");
    expect(system("1 N m", "torque")).toBe("metric");
    expect(system("1 deg", "angle")).toBe("neither");
  });
});
