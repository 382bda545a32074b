/** A range's ends as tenths within it; an end that is a tenth but for its last bits is that tenth. */
export const inwardTenths = ([low, high]: readonly [number, number]): [number, number] => [
  Math.ceil(10 * low - 1e-9) / 10,
  Math.floor(10 * high + 1e-9) / 10,
];

/** "26.5 to 35.7": such a range, told. */
export function tenths([low, high]: readonly [number, number]): string {
  const [from, to] = inwardTenths([low, high]);
  if (from === to) return from.toFixed(1);
  return from > to ? `${low.toFixed(2)} to ${high.toFixed(2)}` : `${from.toFixed(1)} to ${to.toFixed(1)}`;
}

/** "1.3": how many times as much at least, always a little more than it takes. */
export const tenthUp = (times: number): string => (Math.ceil(10 * times + 1e-3) / 10).toFixed(1);
