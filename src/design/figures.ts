/** Numbers as faults and notes print them. A limit is rounded to the side on which it still works. */

/**
 * A limit is told as the round number it is but for its last bits, so that what is asked to be at least (at most) a limit is taken from this
 * share of it (up to it over this share) on.
 */
export const AS_TOLD = 1 - 1e-9;

/** Up to `digits` significant digits, rounded to nearest, no trailing zeros. */
export function figure(value: number, digits = 5): string {
  return String(Number(value.toPrecision(digits)));
}

/** `value` ≥ 0 rounded down to `digits` significant digits. */
export function atMost(value: number, digits = 4): string {
  return rounded(value, digits, Math.floor);
}

/** `value` ≥ 0 rounded up to `digits` significant digits. */
export function atLeast(value: number, digits = 4): string {
  return rounded(value, digits, Math.ceil);
}

export function degrees(angle: number): string {
  return `${figure((angle * 180) / Math.PI, 4)}°`;
}

function rounded(value: number, digits: number, round: (x: number) => number): string {
  if (!(value > 0)) return "0";
  const decimals = digits - 1 - Math.floor(Math.log10(value));
  const nearest = Number(value.toPrecision(digits));
  // a value that is the round number but for its last bits is that round number
  if (Math.abs(nearest - value) <= 1e-12 * value) return String(nearest);
  const factor = 10 ** Math.abs(decimals);
  const result = decimals >= 0 ? round(value * factor) / factor : round(value / factor) * factor;
  return String(Number(result.toPrecision(digits)));
}
