/** Pins that hold a coupling out or together, in shear; no bending of the pin, snug holes. mm, MPa, N·mm. */
export interface PinSet {
  readonly count: number;
  /** Planes each pin is cut in: 1 or 2. */
  readonly planes: number;
  readonly diameter: number;
  /** Radius of the pin circle. */
  readonly radius: number;
}

/** Torque at a mean shear stress τ on all planes: n s (π d²/4) τ R (any strength-of-materials text). */
export function pinTorque({ count, planes, diameter, radius }: PinSet, shearStress: number): number {
  for (const [name, value] of Object.entries({ count, planes, diameter, radius })) {
    if (!(value > 0)) throw new Error(`pins: ${name} ${value} must be positive`);
  }
  return count * planes * ((Math.PI * diameter * diameter) / 4) * shearStress * radius;
}
