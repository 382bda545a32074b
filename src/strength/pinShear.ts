import { SHEAR_RATIO } from "../design/index.ts";
import type { Band } from "./band.ts";

/** Pins that hold a coupling out or together, in shear; no bending of the pin, snug holes. mm, MPa, N·mm. */
export interface PinSet {
  readonly count: number;
  /** Planes each pin is cut in: 1 or 2. */
  readonly planes: number;
  readonly diameter: number;
  /** Radius of the pin circle. */
  readonly radius: number;
}

export { SHEAR_RATIO };

/** Torque at a mean shear stress τ on all planes: n s (π d²/4) τ R (any strength-of-materials text). */
export function pinTorque({ count, planes, diameter, radius }: PinSet, shearStress: number): number {
  for (const [name, value] of Object.entries({ count, planes, diameter, radius })) {
    if (!(value > 0)) throw new Error(`pins: ${name} ${value} must be positive`);
  }
  return count * planes * ((Math.PI * diameter * diameter) / 4) * shearStress * radius;
}

/** Torque at which the pins yield and at which they part. */
export function pinLimits(
  pins: PinSet,
  yieldStrength: number,
  tensile: number,
): { yield: number; ultimate: number } {
  return {
    yield: pinTorque(pins, yieldStrength / Math.sqrt(3)),
    ultimate: pinTorque(pins, SHEAR_RATIO.typical * tensile),
  };
}

/** Torque at which the pins part, as a band: of the tensile strength and of the ratio. */
export function pinUltimate(pins: PinSet, tensile: Band): Band {
  return {
    low: pinTorque(pins, SHEAR_RATIO.low * tensile.low),
    high: pinTorque(pins, SHEAR_RATIO.high * tensile.high),
  };
}
