/** What is known of a number: it lies between these two. */
export interface Band {
  readonly low: number;
  readonly high: number;
}

export const band = (low: number, high: number): Band => ({ low, high });

/** The band that holds all of them; null for none. */
export function envelope(bands: readonly Band[]): Band | null {
  if (bands.length === 0) return null;
  return { low: Math.min(...bands.map((b) => b.low)), high: Math.max(...bands.map((b) => b.high)) };
}

/** What the weaker of two lets through, at either end. */
export const leastBand = (a: Band, b: Band): Band => ({
  low: Math.min(a.low, b.low),
  high: Math.min(a.high, b.high),
});

/** Middle of a band of positive numbers, on a ratio scale. */
export const middle = ({ low, high }: Band): number =>
  low > 0 && Number.isFinite(high) ? Math.sqrt(low * high) : low;
