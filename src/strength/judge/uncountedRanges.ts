import { intervals } from "../arithmetic/intervals.ts";
import type { Uncounted } from "../modes/uncounted.ts";
import type { Capacity } from "./capacity.ts";
import type { CapacityAt } from "./whatLacks.ts";

export interface UncountedRange {
  readonly of: Uncounted;
  /** HRC. */
  readonly ranges: readonly (readonly [number, number])[];
  readonly why: string;
}

/** Why each is not counted. */
const WHY: Readonly<Record<Uncounted, string>> = {
  root: "no fracture toughness is known for this steel",
  "root fatigue": "no fatigue limit or no threshold is known for this steel",
  core: "fracture of the core behind a cracked case is not counted, the case’s depth or the core’s toughness not being told",
  twist:
    "cracks in the shaft from twist are not counted, and the published allowable twist for that many shocks is under the required torque with its margin",
};

/** Where each thing that is not counted is not, over the sweep. */
export function uncountedRanges(
  hardness: readonly number[],
  capacities: readonly Capacity[],
  at: CapacityAt,
): UncountedRange[] {
  return (Object.keys(WHY) as Uncounted[])
    .map((of) => {
      const missing = ({ uncounted }: Capacity) => (uncounted.includes(of) ? 1 : 0);
      const ranges = intervals(hardness, capacities.map(missing), 1, (hrc) => {
        const one = at(hrc);
        return one ? missing(one) : 0;
      });
      return { of, ranges, why: WHY[of] };
    })
    .filter(({ ranges }) => ranges.length > 0);
}

/** Why no hardness at all can be vouched for: what holds at every hardness, and what else at some. */
export function whyUnknown(uncounted: readonly UncountedRange[], hardness: readonly number[]): string {
  return uncounted
    .map(({ ranges, why }) => {
      const [[from, to] = []] = ranges;
      const whole = from === hardness[0] && to === hardness.at(-1);
      return `at ${whole ? "any" : "some"} hardness ${why}`;
    })
    .join("; ");
}
