/** Suggested friction band for oiled hardened steel, over which a verdict must hold (common practice, no source). */
export const OILED_BAND: readonly [number, number] = [0.05, 0.2];

/** A ramp that leans more from the axis, degrees, is none that a part file takes. */
export const MOST_RAMP = 75;

/** Shear strength over tensile strength: 0.67 (public course code after Shigley), 0.6 for high-strength steel (from memory), to 0.75 (common practice). */
export const SHEAR_RATIO = { low: 0.6, high: 0.75 } as const;
