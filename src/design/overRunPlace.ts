import type { OverRunChoice, Profile, SplineProfile, UnitChoice } from "./design.ts";
import { faceToothRadii } from "./faceToothDefaults.ts";
import type { FaultSink } from "./gather.ts";
import { lengthWords } from "./lengthWords.ts";
import { OILED_BAND } from "./overRunDefaults.ts";
import { edgeOf, FAR_OUT } from "./partEdge.ts";
import { formatAngle, formatLength } from "./units.ts";

/** A pitch radius over the tip radius of a spline, at most: teeth cut down to it end that much inside, or outside. */
const BEYOND_TIPS = 1.2;
/** The same of all but stub teeth. */
const BEYOND_MOST_TIPS = 1.12;
/** Sizes closer than this share are one and the same. */
const SAME = 0.01;
/** Ramps about a rim or a shaft's teeth stand at so many of its radii at most, unless their diameter is told: one in place of the radius is twice it. */
const WIDEST = { "internal spline": 1.5, "external spline": 3 };

/** Drag and lift hang on these radii alone: a diameter in place of one makes a ring that holds itself look free. */
const HALF = "a radius is asked, half the diameter";
const FREER = "if a diameter was written, the ring is told to let go more easily than it does";

/** Diameters of a spline's teeth, ascending. */
const teethOf = ({ tipDiameter, rootDiameter }: SplineProfile): readonly [number, number] => [
  Math.min(tipDiameter, rootDiameter),
  Math.max(tipDiameter, rootDiameter),
];

/** Refuses a pitch radius of the sliding spline that is a diameter of the part's own spline, or lies in the metal of face teeth. */
export function checkSplineRadius(g: FaultSink, profile: Profile, radius: number): void {
  const shown = formatLength(radius, g.units);
  const surely = `write spline diameter: ${formatLength(2 * radius, g.units)}`;
  if (profile.kind === "face tooth") {
    const [inside, outside] = faceToothRadii(profile);
    // teeth cut down to the spline end at its tips
    if (radius > BEYOND_TIPS * inside && radius < outside / BEYOND_MOST_TIPS)
      g.fault(
        "over-run.spline radius",
        `${shown} lies in the teeth, which are ${lengthWords(g.units).range(inside, outside)} from the axis; ${HALF}`,
        `give the pitch radius of the spline on which the ring slides; if that is it, beside the teeth, ${surely}`,
      );
    return;
  }
  const { pitchDiameter } = profile;
  const own = [pitchDiameter, ...teethOf(profile)];
  if (!own.some((diameter) => Math.abs(radius - diameter) < SAME * diameter)) return;
  g.fault(
    "over-run.spline radius",
    `${shown} is a diameter of this part's own spline, whose pitch radius is ${formatLength(pitchDiameter / 2, g.units)}; ${HALF}`,
    `give ${formatLength(pitchDiameter / 2, g.units)}, on which the ring slides by itself; if another spline of that radius is meant, ${surely}`,
  );
}

/** What ramps stand about, mm: the rim of a ring with internal teeth, the tips of a shaft, and the bore that either has. */
const aroundOf = (profile: SplineProfile) =>
  profile.kind === "internal spline"
    ? { named: "the rim", outer: edgeOf(profile), bore: teethOf(profile)[0] / 2 }
    : { named: "the teeth", outer: edgeOf(profile), bore: profile.backDiameter / 2 };

/**
 * Refuses a mean radius of the ramps that lies in the bore, or so far out that it is a diameter or in a wrong unit. Where the part file tells
 * their mean diameter, which `key` says, the radius that follows is no diameter.
 */
export function checkRampRadius(
  g: FaultSink,
  profile: SplineProfile,
  radius: number,
  key: "mean radius" | "mean diameter",
): void {
  const { named, outer, bore } = aroundOf(profile);
  const asRadius = key === "mean radius";
  const length = (mm: number) => formatLength(mm, g.units);
  const fault = (where: string, of: number, remedy: string): void =>
    g.fault(
      `over-run.${key}`,
      `${asRadius ? "" : "a radius of "}${length(radius)} lies ${where}, whose radius is ${length(of)}${asRadius ? `; ${HALF}` : ""}`,
      remedy,
    );
  const middle = `give the ${asRadius ? "radius" : "diameter"} of the middle of the ramps`;
  if (radius < bore) fault("in the bore", bore, middle);
  else if (radius > FAR_OUT * outer)
    fault(`far outside ${named}`, outer, "look at its unit, and at that of the other");
  else if (radius > WIDEST[profile.kind] * outer && asRadius)
    fault(
      `far outside ${named}`,
      outer,
      `${middle}; on a flange that wide write mean diameter: ${length(2 * radius)}`,
    );
}

/** A ramp that leans more lies nearly flat, and lifts under hardly any torque (common practice, no source). */
const FLAT = Math.PI / 3;

/** Which of the places of over-running the part file tells as diameters. */
export interface ToldAcross {
  readonly spline: boolean;
  readonly ramps: boolean;
}

/** Figures that may be right and mostly are not. */
export function overRunNotices(
  overRun: OverRunChoice | undefined,
  profile: Profile | null,
  units: UnitChoice,
  across: ToldAcross,
): string[] {
  if (!overRun || !profile) return [];
  return [...placeNotices(overRun, profile, units, across), ...easyNotices(overRun)];
}

/** What makes a ring let go more easily than steel does. */
function easyNotices({ friction: [low, high], rampAngle }: OverRunChoice): string[] {
  const band = low === high ? `${high}` : `${low} to ${high}`;
  return [
    ...(high < OILED_BAND[0]
      ? [
          `friction of ${band} is less than oiled hardened steel has (${OILED_BAND[0].toFixed(2)} to ${OILED_BAND[1].toFixed(2)}, common practice, no source): the ring is told to let go more easily than it may`,
        ]
      : []),
    ...(rampAngle > FLAT
      ? [
          `the ramps lean ${formatAngle(rampAngle)} from the part's axis, which lays them nearly flat: an angle measured from the face is ${formatAngle(Math.PI / 2 - rampAngle)} here`,
        ]
      : []),
  ];
}

/** Radii that may be right and mostly are not. */
function placeNotices(
  overRun: OverRunChoice,
  profile: Profile,
  units: UnitChoice,
  across: ToldAcross,
): string[] {
  const { spline, meanRadius } = overRun;
  const length = (mm: number) => formatLength(mm, units);
  const freer = (mark: ";" | ":") => (across.spline ? "" : `${mark} ${FREER}`);
  if (profile.kind === "face tooth") {
    if (!spline) return [];
    const [inside, outside] = faceToothRadii(profile);
    const where =
      spline.radius >= outside / BEYOND_MOST_TIPS
        ? `${spline.radius < outside ? "near the outside of" : "outside"} its teeth, at a radius of ${length(spline.radius)} beside ${length(outside)}: in a drum that may be`
        : spline.radius > BEYOND_MOST_TIPS * inside
          ? `in its teeth, at a radius of ${length(spline.radius)} where they begin at ${length(inside)}: if they are cut down to the spline that may be`
          : "";
    return where ? [`the ring is told to slide on a spline ${where}${freer(";")}`] : [];
  }
  const own = profile.pitchDiameter / 2;
  const { named, outer } = aroundOf(profile);
  const internal = profile.kind === "internal spline";
  const beyond = meanRadius > (internal ? 1 : WIDEST["external spline"] / 2) * outer;
  const within = !internal && meanRadius < outer;
  return [
    ...(spline && Math.abs(spline.radius - own) > 0.02 * own
      ? [
          `the ring is told to slide on another spline than this part's own, at a radius of ${length(spline.radius)} in place of ${length(own)}${spline.radius > own ? freer(":") : ""}`,
        ]
      : []),
    ...(beyond
      ? [
          `the ramps stand ${internal ? "outside" : "far outside"} ${named}, at a radius of ${length(meanRadius)} beyond ${length(outer)}: on a flange that may be${across.ramps ? "" : "; mean radius is half the diameter"}`,
        ]
      : []),
    ...(within
      ? [
          `the ramps stand inside the tips of the teeth, at a radius of ${length(meanRadius)} under ${length(outer)}: on the end of the shaft that may be; is the unit right?`,
        ]
      : []),
  ];
}
