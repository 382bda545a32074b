/**
 * Estimated relative error of the last of a series of values from meshes whose elements shrink by `ratio`
 * from one to the next. Infinite for a single value.
 *
 * With an error C h^q the last of two values is off by their difference × r^q / (1 − r^q). The order q is read
 * from three values where they allow it and kept between 1 and 3: near a fillet the recovered stress converges with
 * order 2 to 4, next to a singular point more slowly. A difference may be small by chance, so the one before
 * it, shrunk as order 2 would have it, is a floor.
 */
export function estimateError(values: readonly number[], ratio: number): number {
  const n = values.length;
  if (n < 2) return Infinity;
  const last = values[n - 1];
  const step = Math.abs(last - values[n - 2]);
  let order = 2;
  let floor = 0;
  if (n > 2) {
    const before = Math.abs(values[n - 2] - values[n - 3]);
    order = Math.min(3, Math.max(1, Math.log(step / before) / Math.log(ratio)));
    floor = before * ratio ** 4;
  }
  const shrink = ratio ** order;
  return (Math.max(step, floor) * shrink) / (1 - shrink) / Math.abs(last);
}
