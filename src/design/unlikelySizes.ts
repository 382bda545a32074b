import type { Profile, UnitChoice } from "./design.ts";
import { figure } from "./figures.ts";
import type { Gather } from "./gather.ts";
import { formatLength } from "./units.ts";

/** A size of a part over another of its sizes. */
interface Ratio {
  readonly key: string;
  /** Of the size, in words: "face width 406 mm". */
  readonly size: string;
  readonly times: number;
  readonly other: string;
  /** Times from which it is told, and from which it is refused: millimetres written as inches are 25 times too many. */
  readonly told: number;
  readonly refused: number;
  /** What the size does that the result does not show; empty when it only looks odd. */
  readonly because: string;
}

/** Length of a spline beyond about its pitch diameter carries little, shaft and hub twisting along it (common practice, no source). */
const LONG =
  "length beyond about one pitch diameter carries little, as shaft and hub twist along it, and what the part stands counts all of it";

function ratios(profile: Profile, units: UnitChoice): Ratio[] {
  const length = (mm: number) => formatLength(mm, units);
  if (profile.kind === "face tooth") {
    const { baseThickness, meanDiameter } = profile;
    return [
      {
        key: "base thickness",
        size: `base thickness ${length(baseThickness)}`,
        times: baseThickness / meanDiameter,
        other: `the mean diameter, ${length(meanDiameter)}`,
        told: 0.75,
        refused: 2,
        because: "",
      },
    ];
  }
  const { faceWidth, pitchDiameter, rootDiameter, backDiameter, kind } = profile;
  return [
    {
      key: "face width",
      size: `face width ${length(faceWidth)}`,
      times: faceWidth / pitchDiameter,
      other: `the pitch diameter, ${length(pitchDiameter)}`,
      told: 1.5,
      refused: 7,
      because: LONG,
    },
    ...(kind === "internal spline"
      ? [
          {
            key: "rim diameter",
            size: `rim diameter ${length(backDiameter)}`,
            times: backDiameter / rootDiameter,
            other: `the root diameter, ${length(rootDiameter)}`,
            told: 5,
            refused: 25,
            because: "",
          },
        ]
      : []),
  ];
}

const words = ({ size, times, other }: Ratio): string => `${size} is ${figure(times, 2)} times ${other}`;

/** Refuses sizes that only a wrong unit makes so large. */
export function checkSizes(g: Gather, profile: Profile): void {
  for (const one of ratios(profile, g.units))
    if (one.times >= one.refused)
      g.fault(`profile.${one.key}`, words(one), "look at its unit, and at that of the other");
}

/** Sizes that are possible and mostly a slip. */
export function sizeNotices(profile: Profile | null, units: UnitChoice): string[] {
  if (!profile) return [];
  return ratios(profile, units)
    .filter(({ times, told }) => times > told)
    .map((one) => [`${words(one)}: is the unit right?`, one.because].filter(Boolean).join(" If so, "));
}
