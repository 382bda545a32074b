import { halveTo } from "../../numerics/index.ts";

/** Stretches of the sweep where the low end is at least the required torque, their ends sought between the steps. */
export function intervals(
  hardness: readonly number[],
  low: readonly number[],
  required: number,
  lowAt: (hrc: number) => number,
): [number, number][] {
  const found: [number, number][] = [];
  const edge = (inside: number, outside: number): number =>
    halveTo((hrc) => lowAt(hrc) >= required, inside, outside, 0.02)[0];
  for (let k = 0; k < hardness.length; k++) {
    if (!(low[k] >= required)) continue;
    const first = k;
    while (k + 1 < hardness.length && low[k + 1] >= required) k++;
    found.push([
      first === 0 ? hardness[0] : edge(hardness[first], hardness[first - 1]),
      k === hardness.length - 1 ? hardness[k] : edge(hardness[k], hardness[k + 1]),
    ]);
  }
  return found;
}
