/** Peak over static of a linear, undamped body with one way to move (energy balance; Roark, Shigley). */

/** Dropped from height h on to a spring that the weight alone would deflect by d: 1 + √(1 + 2h/d); 2 when only let go. */
export function impactFactor(heightOverDeflection: number): number {
  if (!(heightOverDeflection >= 0)) throw new Error(`impactFactor: h/d = ${heightOverDeflection}`);
  return 1 + Math.sqrt(1 + 2 * heightOverDeflection);
}

/** Load that rises evenly in a time tr and stays: 1 + |sin(π tr/Tn)| / (π tr/Tn), Tn the natural period. */
export function riseFactor(riseOverPeriod: number): number {
  const a = Math.PI * riseOverPeriod;
  return a === 0 ? 2 : 1 + Math.abs(Math.sin(a)) / a;
}

/** Inertia J (kg·m²) that takes up its lash at ω (rad/s) against a shaft of stiffness k (N·m/rad): torque ω√(kJ), N·m, and twist, rad. */
export function lashTorque(
  inertia: number,
  stiffness: number,
  speed: number,
): { torque: number; twist: number } {
  return { torque: speed * Math.sqrt(stiffness * inertia), twist: speed * Math.sqrt(inertia / stiffness) };
}
