/**
 * The x between `inside`, where `f` ≤ 0, and `outside`, where it is positive or NaN, at which f turns
 * positive: the last x found on the inside. Bisection until the two ends are neighbours, so the answer is exact
 * to rounding and always on the side that works; f is called about 60 times.
 */
export function bisect(f: (x: number) => number, inside: number, outside: number): number {
  let good = inside;
  let bad = outside;
  for (let k = 0; k < 200; k++) {
    const middle = good + (bad - good) / 2;
    if (middle === good || middle === bad) break;
    if (f(middle) <= 0) good = middle;
    else bad = middle;
  }
  return good;
}

/** As `bisect` from 0 upwards, doubling from `scale` until `f` is positive or NaN. */
export function bisectUp(f: (x: number) => number, scale: number): number {
  if (!(f(0) <= 0)) return 0;
  let high = scale;
  for (let k = 0; k < 60 && f(high) <= 0; k++) high *= 2;
  return bisect(f, 0, high);
}
