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

/**
 * A stretch at whose end `inside` something `holds`, and at whose end `outside` it does not, halved so many times. Neither end is asked
 * itself. @returns the end where it holds and the one where it does not, as they then are.
 */
export const halve = (
  holds: (x: number) => boolean,
  inside: number,
  outside: number,
  times: number,
): [inside: number, outside: number] => halveWhile(holds, inside, outside, (halvings) => halvings < times);

/** As `halve`, until the ends are no further apart than `tolerance`. */
export const halveTo = (
  holds: (x: number) => boolean,
  inside: number,
  outside: number,
  tolerance: number,
): [inside: number, outside: number] =>
  halveWhile(holds, inside, outside, (_halvings, apart) => apart > tolerance);

function halveWhile(
  holds: (x: number) => boolean,
  inside: number,
  outside: number,
  more: (halvings: number, apart: number) => boolean,
): [inside: number, outside: number] {
  let good = inside;
  let bad = outside;
  for (let k = 0; more(k, Math.abs(bad - good)); k++) {
    const middle = (good + bad) / 2;
    if (holds(middle)) good = middle;
    else bad = middle;
  }
  return [good, bad];
}
