import { describe, expect, test } from "vitest";
import { answerDesign, NumericalError } from "../../src/answer/index.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { refuseUnsound, soundness } from "../../src/answer/soundness.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { demoSpline } from "../profile/soundness.ts";
import { designOf } from "./designs.ts";

const design = designOf({ ...demoSpline("internal spline"), rootRadius: 0.4 });
const pass = solvePass(design, buildProfile(design.profile), 1, 400_000);
const checks = soundness(pass);
const balance = { imbalance: 1e-15 };

describe("the figures that tell whether a result holds together", () => {
  test("are within their bounds for the demo spline", () => {
    expect(() => refuseUnsound(checks, balance, pass.quality)).not.toThrow();
    expect(checks.residual).toBeLessThan(1e-12);
    expect(checks.energyGap).toBeLessThan(1e-10);
  });

  test("supports carry nothing under uniform shear, and are not asked where the rim is held", () => {
    expect(checks.supportForce).toBeLessThan(1e-9);
    const held = answerDesign({ ...design, load: { ...design.load, reaction: "held" } }).result;
    expect(held.checks.supportForce).toBeNull();
    expect(held.notes.join()).toContain("held fast");
    expect(answerDesign(design).result.notes.join()).not.toContain("held fast");
  });

  test("the jump between elements at the root falls as they shrink", () => {
    const fine = solvePass(design, buildProfile(design.profile), 0.4, 400_000);
    expect(soundness(fine).stressJump).toBeLessThan(checks.stressJump / 2);
  });

  test.each([
    { what: "residual", bad: { ...checks, residual: 1e-6 } },
    { what: "strain energy", bad: { ...checks, energyGap: 1e-3 } },
    { what: "supports", bad: { ...checks, supportForce: 0.01 } },
    { what: "jump", bad: { ...checks, stressJump: 2 } },
    { what: "residual", bad: { ...checks, residual: Number.NaN } },
  ])("a $what out of bounds is refused, with the figure and the bound", ({ what, bad }) => {
    expect(() => refuseUnsound(bad, balance, pass.quality)).toThrow(NumericalError);
    expect(() => refuseUnsound(bad, balance, pass.quality)).toThrow(new RegExp(`${what}.*over the bound of`));
  });

  test.each([
    { what: "angle of 1.0°", quality: { ...pass.quality, minAngle: 1 } },
    { what: "Jacobian falls to 0.010", quality: { ...pass.quality, minJacobian: 0.01 } },
    { what: "area against the outline's is 1.0e-2", quality: { ...pass.quality, areaError: -0.01 } },
  ])("a mesh with an $what is refused", ({ what, quality }) => {
    expect(() => refuseUnsound(checks, balance, quality)).toThrow(what);
  });

  test("a torque out of balance is refused", () => {
    expect(() => refuseUnsound(checks, { imbalance: 1e-6 }, pass.quality)).toThrow("torque imbalance");
  });
});
