import type { Profile, UnitChoice } from "./design.ts";
import { figure } from "./figures.ts";
import type { Gather } from "./gather.ts";
import { formatLength } from "./units.ts";

/** A size of a part over another of its sizes, and the times from which it is told and refused: millimetres written as inches are 25 times too many. */
interface Ratio {
  readonly key: string;
  readonly size: number;
  /** What the size is called where it only follows from the key. */
  readonly called?: string;
  /** The other, and what it is called. */
  readonly over: number;
  readonly named: string;
  readonly told: number;
  readonly refused: number;
  /** What the size does that the result does not show. */
  readonly because?: string;
}

/** Length of a spline beyond about its pitch diameter carries little, shaft and hub twisting along it (common practice, no source). */
const LONG =
  "length beyond about one pitch diameter carries little, as shaft and hub twist along it, and what the part stands counts all of it";

function ratios(profile: Profile): Ratio[] {
  if (profile.kind === "face tooth") {
    const { baseThickness, meanDiameter, teeth, height } = profile;
    return [
      {
        key: "base thickness",
        size: baseThickness,
        over: meanDiameter,
        named: "the mean diameter",
        told: 0.75,
        refused: 2,
      },
      {
        key: "mean diameter",
        size: (Math.PI * meanDiameter) / teeth,
        called: "the pitch of the teeth at the mean diameter,",
        over: height,
        named: "their height",
        told: 25,
        refused: 80,
      },
    ];
  }
  const { faceWidth, pitchDiameter, rootDiameter, backDiameter } = profile;
  const width: Ratio = {
    key: "face width",
    size: faceWidth,
    over: pitchDiameter,
    named: "the pitch diameter",
    told: 1.5,
    refused: 7,
    because: LONG,
  };
  if (profile.kind === "external spline") return [width];
  const rim = { key: "rim diameter", size: backDiameter, over: rootDiameter, named: "the root diameter" };
  return [width, { ...rim, told: 5, refused: 25 }];
}

const timesOf = ({ size, over }: Ratio): number => size / over;

function words(one: Ratio, units: UnitChoice): string {
  const { key, size, called = key, over, named } = one;
  return `${called} ${formatLength(size, units)} is ${figure(timesOf(one), 2)} times ${named}, ${formatLength(over, units)}`;
}

/** Refuses sizes that only a wrong unit makes so large. */
export function checkSizes(g: Gather, profile: Profile): void {
  for (const one of ratios(profile))
    if (timesOf(one) >= one.refused)
      g.fault(`profile.${one.key}`, words(one, g.units), "look at its unit, and at that of the other");
}

/** Sizes that are possible and mostly a slip. */
export function sizeNotices(profile: Profile | null, units: UnitChoice): string[] {
  if (!profile) return [];
  return ratios(profile)
    .filter((one) => timesOf(one) > one.told)
    .map((one) => `${words(one, units)}: is the unit right?${one.because ? ` If so, ${one.because}` : ""}`);
}
