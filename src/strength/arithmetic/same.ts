/** Numbers closer than this share are one figure worked out in two ways. */
const ROUNDING = 1e-12;

/** Same plain data; what a user wrote ("54..56 HRC") counts for less than what it means, but is part of it. */
export function same(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a === "number" && typeof b === "number") return Math.abs(a - b) <= ROUNDING * Math.abs(b);
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  const at = (of: object, key: string) => (of as Readonly<Record<string, unknown>>)[key];
  return [...keys].every((key) => same(at(a, key), at(b, key)));
}
