/** Middle of the values, and how far the least and the greatest stand from it as shares of it. */
export interface Spread {
  readonly median: number;
  readonly least: number;
  readonly greatest: number;
  readonly rounds: number;
}

export function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  const median = sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  return { median, least: sorted[0], greatest: sorted[sorted.length - 1], rounds: sorted.length };
}

/** Exponent p of y = c x^p by least squares on logarithms. */
export function growth(x: readonly number[], y: readonly number[]): number {
  const u = x.map(Math.log);
  const v = y.map(Math.log);
  const mean = (a: readonly number[]) => a.reduce((s, t) => s + t, 0) / a.length;
  const um = mean(u);
  const vm = mean(v);
  let above = 0;
  let below = 0;
  for (const [k, t] of u.entries()) {
    above += (t - um) * (v[k] - vm);
    below += (t - um) ** 2;
  }
  return above / below;
}
