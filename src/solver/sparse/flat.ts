/**
 * Words of the dialect that the ordering and the symbolic phase are written in: TypeScript that AssemblyScript reads
 * too, so that one text serves both. There this file's place is taken by `assembly/flat.ts`. The rules: whole numbers
 * are `int` (32 bits), `number` is a double, arrays are `Ints` and `Floats`, no objects but classes, no closures.
 */

/** A 32-bit whole number. Divide with shifts, and keep sums within 2³¹. */
export type int = number;
/** An array of them. */
export type Ints = Int32Array;
/** An array of doubles. */
export type Floats = Float64Array;

/** Zeros. */
export function ints(length: int): Ints {
  return new Int32Array(length);
}

/** Zeros. */
export function floats(length: int): Floats {
  return new Float64Array(length);
}

export function least(a: int, b: int): int {
  return Math.min(a, b);
}

export function most(a: int, b: int): int {
  return Math.max(a, b);
}
