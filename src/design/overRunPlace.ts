import type { OverRunChoice, Profile, SplineProfile, UnitChoice } from "./design.ts";
import { faceToothRadii } from "./faceToothDefaults.ts";
import type { Gather } from "./gather.ts";
import { lengthWords } from "./lengthWords.ts";
import { formatLength } from "./units.ts";

/** A pitch radius over the tip radius of a spline, at most. */
const BEYOND_TIPS = 1.2;
/** Sizes closer than this share are one and the same. */
const SAME = 0.01;
/** Ramps on a flange stand at so many rim radii at most; the rim's own diameter is twice it. */
const WIDEST_FLANGE = 1.5;

/** Drag and lift hang on these radii alone: a diameter in place of one makes a ring that holds itself look free. */
const HALF = "a radius is asked, half the diameter";
const FREER = "if a diameter was written, the ring is told to let go more easily than it does";

/** Diameters of a spline's teeth, ascending. */
const teethOf = ({ tipDiameter, rootDiameter }: SplineProfile): readonly [number, number] => [
  Math.min(tipDiameter, rootDiameter),
  Math.max(tipDiameter, rootDiameter),
];

/** Refuses a pitch radius of the sliding spline that is a diameter of the part's own spline, or lies in the metal of face teeth. */
export function checkSplineRadius(g: Gather, profile: Profile, radius: number): void {
  const shown = formatLength(radius, g.units);
  if (profile.kind === "face tooth") {
    const [inside, outside] = faceToothRadii(profile);
    // teeth cut down to the bore spline end at its tips, a little inside its pitch radius
    if (radius > BEYOND_TIPS * inside && radius < outside)
      g.fault(
        "over-run.spline radius",
        `${shown} lies in the teeth, which are ${lengthWords(g.units).range(inside, outside)} from the axis; ${HALF}`,
        "give the pitch radius of the spline on which the ring slides",
      );
    return;
  }
  const { pitchDiameter } = profile;
  const own = [pitchDiameter, ...teethOf(profile)];
  if (!own.some((diameter) => Math.abs(radius - diameter) < SAME * diameter)) return;
  g.fault(
    "over-run.spline radius",
    `${shown} is a diameter of this part's own spline, whose pitch radius is ${formatLength(pitchDiameter / 2, g.units)}; ${HALF}`,
    "leave it out, and the ring slides on the part's own spline",
  );
}

/** Refuses a mean radius of the ramps that lies in the bore of a ring, or is one of its diameters. */
export function checkRampRadius(g: Gather, profile: SplineProfile, radius: number): void {
  if (profile.kind !== "internal spline") return;
  const [bore] = teethOf(profile);
  const rim = profile.backDiameter;
  const shown = formatLength(radius, g.units);
  const fault = (problem: string): void =>
    g.fault(
      "over-run.mean radius",
      `${shown} ${problem}; ${HALF}`,
      "give the radius of the middle of the ramps",
    );
  if (radius < bore / 2) fault(`lies in the bore, whose radius is ${formatLength(bore / 2, g.units)}`);
  else if (radius > (WIDEST_FLANGE * rim) / 2 && radius >= bore && radius <= rim)
    fault(`lies far outside the rim, whose radius is ${formatLength(rim / 2, g.units)}`);
}

/** Radii that may be right and mostly are not. */
export function overRunNotices(
  overRun: OverRunChoice | undefined,
  profile: Profile | null,
  units: UnitChoice,
): string[] {
  if (!overRun || !profile) return [];
  const { spline, meanRadius } = overRun;
  const length = (mm: number) => formatLength(mm, units);
  if (profile.kind === "face tooth") {
    const [, outside] = faceToothRadii(profile);
    return spline && spline.radius >= outside
      ? [
          `the ring is told to slide on a spline outside its teeth, at a radius of ${length(spline.radius)} beyond ${length(outside)}: in a drum that may be; ${FREER}`,
        ]
      : [];
  }
  const own = profile.pitchDiameter / 2;
  const beyond = profile.kind === "internal spline" && meanRadius > profile.backDiameter / 2;
  return [
    ...(spline && Math.abs(spline.radius - own) > 0.02 * own
      ? [
          `the ring is told to slide on another spline than this part's own, at a radius of ${length(spline.radius)} in place of ${length(own)}: ${FREER}`,
        ]
      : []),
    ...(beyond
      ? [
          `the ramps stand outside the rim, at a radius of ${length(meanRadius)} beyond ${length(profile.backDiameter / 2)}: on a flange that may be; mean radius is half the diameter`,
        ]
      : []),
  ];
}
