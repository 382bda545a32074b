import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { pinTorque } from "../../src/strength/overRun/pinShear.ts";
import {
  clickOverTorque,
  frictionAngle,
  leastRamp,
  OILED_BAND,
  rampForces,
  releaseVerdict,
} from "../../src/strength/overRun/rampRelease.ts";
import { off, reference } from "./reference.ts";

const rad = (degrees: number) => (degrees * Math.PI) / 180;
const deg = (radians: number) => (radians * 180) / Math.PI;
const n = (value: number | string | undefined) => Number(value);

describe("ramp teeth", () => {
  // statics of an inclined plane
  test.each(reference("ramp-and-pins", "ramp-release"))(
    "$id parts or holds as statics has it",
    ({ inputs, expected }) => {
      const mu = n(inputs["mu"]);
      const found = rampForces(n(inputs["T_Nmm"]), n(inputs["rm"]), rad(n(inputs["betaDeg"])), mu);
      expect(off(deg(frictionAngle(mu)), expected["phiDeg"]!)).toBeLessThan(1e-3);
      expect(off(found.tangential, expected["Ft"]!)).toBeLessThan(1e-3);
      if (expected["Fa"] === 0) expect(Math.abs(found.axial)).toBeLessThan(1e-3 * found.tangential);
      else expect(off(found.axial, expected["Fa"]!)).toBeLessThan(1e-3);
      expect(found.selfHolding).toBe(expected["selfHolding"]);
    },
  );

  // an over-run slope γ from the plane of rotation is a ramp at 90° − γ from the axis
  test.each(reference("ramp-and-pins", "overrun"))("$id: torque up, jam", ({ inputs, expected }) => {
    const [fs, rm, slope, mu] = [
      n(inputs["Fs"]),
      n(inputs["rm"]),
      rad(n(inputs["gammaDeg"])),
      n(inputs["mu"]),
    ];
    const climb = (gamma: number) =>
      clickOverTorque({ meanRadius: rm, ramp: Math.PI / 2 - gamma, spline: null }, fs, mu);
    expect(off(climb(slope), expected["T_climb_Nmm"]!)).toBeLessThan(1e-3);
    const jams = Math.PI / 2 - leastRamp({ meanRadius: rm, spline: null }, mu);
    expect(off(deg(jams), expected["jamsAtGammaDeg"]!)).toBeLessThan(1e-3);
    expect(climb(jams + 0.01)).toBe(Number.POSITIVE_INFINITY);
  });

  test.each(reference("ramp-and-pins", "wedge"))("$id: widest wedge that stays", ({ inputs, expected }) => {
    const phi = deg(frictionAngle(n(inputs["mu"])));
    expect(off(2 * phi, expected["maxWedgeDegTwoFaces"]!)).toBeLessThan(1e-4);
    expect(off(phi, expected["maxRampDegOneFace"]!)).toBeLessThan(1e-4);
  });

  // worked by hand from the two conditions tan β > μ and tan(β − φ) > μ R/(r cos α), R 27.5, r 17 mm, α 30°
  test.each([
    [0.08, 4.6, 13.1],
    [0.1, 5.7, 16.3],
    [0.12, 6.8, 19.5],
    [0.15, 8.5, 24.2],
    [0.16, 9.1, 25.7],
    [0.2, 11.3, 31.8],
    [0.25, 14.0, 39.1],
  ])("with μ %f the ramp alone needs %f°, with the sliding spline %f°", (mu, alone, both) => {
    const spline = { radius: 17, pressureAngle: rad(30) };
    expect(deg(leastRamp({ meanRadius: 27.5, spline: null }, mu))).toBeCloseTo(alone, 0);
    expect(Math.abs(deg(leastRamp({ meanRadius: 27.5, spline: null }, mu)) - alone)).toBeLessThan(0.06);
    expect(Math.abs(deg(leastRamp({ meanRadius: 27.5, spline }, mu)) - both)).toBeLessThan(0.06);
  });

  test("click-over torque meets T = Fs/[tan(β − φ)/R − μ/(r cos α)] worked by hand", () => {
    // β 35°, μ 0.12: tan(28.1572°) = 0.53524; /27.5 = 0.0194634; 0.12/(17 · 0.866025) = 0.0081508; Fs 300 N
    const coupling = { meanRadius: 27.5, ramp: rad(35), spline: { radius: 17, pressureAngle: rad(30) } };
    expect(off(clickOverTorque(coupling, 300, 0.12), 300 / (0.0194634 - 0.0081508))).toBeLessThan(1e-4);
  });

  test("lets go just above the least ramp and never at it or below, whatever the spring", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.03, max: 0.3, noNaN: true }),
        fc.double({ min: 10, max: 60, noNaN: true }),
        fc.double({ min: 8, max: 40, noNaN: true }),
        fc.double({ min: 1, max: 5000, noNaN: true }),
        (mu, meanRadius, radius, force) => {
          const spline = { radius, pressureAngle: rad(30) };
          const least = leastRamp({ meanRadius, spline }, mu);
          fc.pre(least < rad(80));
          const at = (ramp: number) => clickOverTorque({ meanRadius, spline, ramp }, force, mu);
          expect(at(least - 1e-6)).toBe(Number.POSITIVE_INFINITY);
          expect(Number.isFinite(at(least + 1e-3))).toBe(true);
          expect(at(least + 0.02)).toBeLessThan(at(least + 0.01));
        },
      ),
      { seed: 17, numRuns: 200 },
    );
  });

  test("a verdict must hold over the whole band of friction", () => {
    const make = (degrees: number) =>
      releaseVerdict(
        { meanRadius: 27.5, ramp: rad(degrees), spline: { radius: 17, pressureAngle: rad(30) } },
        300,
        OILED_BAND,
      );
    expect(make(33).verdict).toBe("lets go");
    expect(make(20).verdict).toBe("depends on friction");
    expect(make(6).verdict).toBe("self-holding");
    expect(make(31.8).holdsAbove).toBeCloseTo(0.2, 2);
  });

  test("a negative friction or an angle beyond 90° is refused", () => {
    expect(() => rampForces(1, 1, 0.3, -0.1)).toThrow(/friction of -0.1/);
    expect(() => rampForces(1, 1, 2, 0.1)).toThrow(/not between -90 and 90/);
  });
});

describe("pins", () => {
  // statics; 0.67 of tensile after Shigley; von Mises yield
  test.each(reference("ramp-and-pins", "pins"))(
    "$id shear at the torque of statics",
    ({ inputs, expected }) => {
      const pins = {
        count: n(inputs["n"]),
        planes: n(inputs["planes"]),
        diameter: n(inputs["d"]),
        radius: n(inputs["R"]),
      };
      expect(
        off(pinTorque(pins, n(inputs["Sy"]) / Math.sqrt(3)) / 1000, expected["T_yield_Nm"]!),
      ).toBeLessThan(1e-3);
      expect(off(pinTorque(pins, 0.67 * n(inputs["UTS"])) / 1000, expected["T_ultimate_Nm"]!)).toBeLessThan(
        1e-3,
      );
    },
  );

  // ASME B18.8.2 (2000) dowel loads: 130 ksi over the area
  test.each([
    [3.175, 1600],
    [4.7625, 3600],
    [6.35, 6400],
  ])("a %f mm dowel at 130 ksi carries its published %d lbf in single shear", (diameter, lbf) => {
    const force = pinTorque({ count: 1, planes: 1, diameter, radius: 1 }, 130 * 6.894757);
    expect(off(force / 4.4482216, lbf)).toBeLessThan(0.01);
  });

  test("pins without a diameter are refused", () => {
    expect(() => pinTorque({ count: 2, planes: 1, diameter: 0, radius: 10 }, 500)).toThrow(/diameter 0/);
  });
});
