import {
  AS_TOLD,
  degrees,
  type Fault,
  LEAST_BACK,
  type LengthWords,
  lengthWords,
  type SplineProfile,
  type UnitChoice,
} from "../design/index.ts";
import { curveLength } from "../geometry/index.ts";
import { bisect } from "../numerics/index.ts";
import { chamferRemedy } from "./chamferRemedy.ts";
import { LEAST_BAND } from "./filletLimits.ts";
import { type SplineFlank, splineFlank } from "./splineFlank.ts";

/** A land left on tip or root is at least this share of the module wide; less counts as a point. */
const LEAST_LAND = 1e-3;

/** A spline tooth with everything settled but its fillet. Places are those of `SplineFlank`. */
export interface SplineTooth {
  readonly profile: SplineProfile;
  readonly flank: SplineFlank;
  /** +1 where places grow towards the tip (external), −1 where they fall (internal). */
  readonly tipward: 1 | -1;
  /** Half the pitch angle. */
  readonly half: number;
  readonly rootPlace: number;
  readonly tipPlace: number;
  /** Tip end of the flank: the tip, or where the chamfer starts. */
  readonly flankEnd: number;
  readonly chamfer: number;
  /** Contact band, root end and tip end, before the fillet; null where the part file's band is at fault. */
  readonly band: { readonly root: number; readonly tip: number } | null;
  /** How its faults tell lengths. */
  readonly say: LengthWords;
}

/** Checks all but the root radius; null where the faults leave no flank to speak of. */
export function settleSplineTooth(
  profile: SplineProfile,
  faults: Fault[],
  units: UnitChoice,
): SplineTooth | null {
  const say = lengthWords(units);
  const fault = (key: string, problem: string, remedy: string) =>
    faults.push({ key: `profile.${key}`, problem, remedy });
  const { teeth, pitchDiameter, toothThickness, tipDiameter, rootDiameter, tipChamfer } = profile;
  const external = profile.kind === "external spline";

  checkSizes(profile, say, fault);
  const usable =
    Number.isInteger(teeth) &&
    teeth >= 3 &&
    pitchDiameter > 0 &&
    tipChamfer >= 0 &&
    toothThickness > 0 &&
    toothThickness < (Math.PI * pitchDiameter) / teeth &&
    (external
      ? tipDiameter > rootDiameter && rootDiameter > 0
      : rootDiameter > tipDiameter && tipDiameter > 0) &&
    flankAngleFits(profile);
  if (!usable) return null;

  const flank = splineFlank(profile);
  const half = Math.PI / teeth;
  const rootPlace = flank.placeAt(rootDiameter / 2);
  const tipPlace = flank.placeAt(tipDiameter / 2);
  if (!checkReach(profile, flank, rootPlace, tipPlace, say, fault)) return null;
  if (!checkLands(profile, flank, say, fault)) return null;

  const tipward = external ? 1 : -1;
  const chamfer = checkChamfer(profile, flank, rootPlace, tipPlace, say, fault);
  // outward along the flank is negative: from an internal tip the flank runs outward
  const flankEnd = chamfer > 0 ? flank.inward(tipPlace, tipward * chamfer) : tipPlace;
  const band = settleBand(profile, flank, { rootPlace, tipPlace, flankEnd }, say, fault);
  return { profile, flank, tipward, half, rootPlace, tipPlace, flankEnd, chamfer, band, say };
}

type Report = (key: string, problem: string, remedy: string) => void;

function checkSizes(profile: SplineProfile, say: LengthWords, fault: Report): void {
  const { teeth, pitchDiameter, toothThickness, tipDiameter, rootDiameter, backDiameter } = profile;
  const external = profile.kind === "external spline";
  if (!Number.isInteger(teeth) || teeth < 3)
    fault("teeth", `a spline of ${teeth} teeth cannot be drawn`, "use a whole number, 3 or more");
  if (!(pitchDiameter > 0))
    fault("pitch diameter", `${say.diameter(pitchDiameter)} is no circle`, "give a diameter above 0");
  const circularPitch = (Math.PI * pitchDiameter) / teeth;
  if (!(toothThickness > 0 && toothThickness < circularPitch))
    fault(
      "tooth thickness",
      `${say.length(toothThickness)} leaves no ${toothThickness > 0 ? "space" : "tooth"} in a circular pitch of ${say.length(circularPitch)}`,
      `use a thickness between 0 and ${say.atMost(circularPitch)}; half the pitch is ${say.length(circularPitch / 2)}`,
    );
  if (!flankAngleFits(profile)) {
    if (profile.flank.form === "involute")
      fault(
        "pressure angle",
        `${degrees(profile.flank.pressureAngle)} makes no usable involute`,
        "use 5° to 60°; the standards have 30°, 37.5° and 45°",
      );
    else
      fault(
        "flank angle",
        `${degrees(profile.flank.angle)} makes no tooth`,
        "use an angle between -60° and 60°",
      );
  }
  const height = Math.abs(tipDiameter - rootDiameter) / 2;
  if (external) {
    if (!(tipDiameter > rootDiameter))
      fault(
        "tip diameter",
        `the tip ${say.diameter(tipDiameter)} of an external spline is not outside its root ${say.diameter(rootDiameter)}`,
        `use a tip diameter above ${say.length(rootDiameter)}`,
      );
    const largest = rootDiameter - 2 * LEAST_BACK * height;
    if (!(backDiameter > 0))
      fault(
        "bore diameter",
        "a solid shaft has no circle to carry the reaction",
        `give a bore diameter; ${say.length(rootDiameter / 4, 2)}, a quarter of the root diameter, is far enough from the teeth (common practice, no source)`,
      );
    else if (tipDiameter > rootDiameter && !(AS_TOLD * backDiameter <= largest))
      fault(
        "bore diameter",
        backDiameter >= rootDiameter
          ? `the bore ${say.diameter(backDiameter)} lies outside the root ${say.diameter(rootDiameter)}`
          : `the bore ${say.diameter(backDiameter)} leaves less than ${LEAST_BACK} of the tooth's height under the root ${say.diameter(rootDiameter)}`,
        `use a bore of ${say.atMost(largest, 5)} or less`,
      );
  } else {
    if (!(tipDiameter < rootDiameter && tipDiameter > 0))
      fault(
        "tip diameter",
        `the tip ${say.diameter(tipDiameter)} of an internal spline is not inside its root ${say.diameter(rootDiameter)}`,
        `use a tip diameter below ${say.length(rootDiameter)}`,
      );
    const smallest = rootDiameter + 2 * LEAST_BACK * height;
    if (!(backDiameter >= AS_TOLD * smallest))
      fault(
        "rim diameter",
        backDiameter > rootDiameter
          ? `the rim ${say.diameter(backDiameter)} leaves less than ${LEAST_BACK} of the tooth's height outside the root ${say.diameter(rootDiameter)}`
          : `the root ${say.diameter(rootDiameter)} lies beyond the rim ${say.diameter(backDiameter)}`,
        `use a rim of ${say.atLeast(smallest, 5)} or more`,
      );
  }
  const { rootRadius, tipChamfer, contact } = profile;
  if (rootRadius !== "full" && !(rootRadius >= 0))
    fault("root radius", `${say.length(rootRadius)} is no radius`, "use 0 for sharp, a radius, or full");
  if (!(tipChamfer >= 0))
    fault("tip chamfer", `${say.length(tipChamfer)} is no length`, "use 0 for none, or a length");
  if (!(contact[0] < contact[1]))
    fault(
      "contact",
      `the band ${say.diameter(contact[0])} to ${say.diameter(contact[1])} has no height`,
      "give two diameters, the smaller first",
    );
}

function flankAngleFits({ flank }: SplineProfile): boolean {
  const degree = Math.PI / 180;
  return flank.form === "involute"
    ? flank.pressureAngle > 4.999 * degree && flank.pressureAngle < 60.001 * degree
    : Math.abs(flank.angle) < 60.001 * degree;
}

/** Do the flanks reach from root circle to tip circle at all? */
function checkReach(
  profile: SplineProfile,
  flank: SplineFlank,
  rootPlace: number,
  tipPlace: number,
  say: LengthWords,
  fault: Report,
): boolean {
  if (rootPlace >= -1 && tipPlace >= -1) return true;
  if (profile.flank.form === "involute") {
    // only an internal tip can lie where there is no involute
    fault(
      "tip diameter",
      `the involute does not exist below its base circle ${say.diameter(2 * flank.baseRadius)}, and the tip ${say.diameter(profile.tipDiameter)} lies inside it`,
      `use a tip diameter of ${say.atLeast(2 * flank.baseRadius, 5)} or more`,
    );
    return false;
  }
  const which = rootPlace >= -1 ? "tip" : "root";
  const least =
    2 *
    Math.abs(
      (profile.pitchDiameter / 2) *
        Math.sin(profile.toothThickness / profile.pitchDiameter - flank.direction(0)),
    );
  fault(
    "flank angle",
    `the straight flanks pass the axis at ${say.length(least / 2)} and never reach the ${which} circle`,
    `use a ${which} diameter of ${say.atLeast(least, 5)} or more, or a smaller angle`,
  );
  return false;
}

/** Tip land, root land and the width of tooth and space in between. */
function checkLands(profile: SplineProfile, flank: SplineFlank, say: LengthWords, fault: Report): boolean {
  const half = Math.PI / profile.teeth;
  const least = leastLand(profile.module);
  const pitch = profile.pitchDiameter / 2;
  const tip = profile.tipDiameter / 2;
  const root = profile.rootDiameter / 2;
  const toothAt = (r: number) => flank.halfAngle(flank.placeAt(r)) * r;
  const spaceAt = (r: number) => (half - flank.halfAngle(flank.placeAt(r))) * r;
  // where a width that is positive at the pitch circle has shrunk to `width`
  const radiusOf = (at: (r: number) => number, width: number, towards: number) =>
    bisect((r) => width - at(r), pitch, towards);
  let sound = true;
  const narrow = (end: "tip" | "root", what: "tooth" | "space", at: (r: number) => number) => {
    const r = end === "tip" ? tip : root;
    if (at(r) >= AS_TOLD * least) return;
    sound = false;
    const works = movesPitch(profile) ? 2 * movedEnd(profile, end, what) : 2 * radiusOf(at, least, r);
    // where none works the tooth itself must change
    const some = Math.abs(works - (end === "tip" ? 2 * root : 2 * tip)) > 1e-6 * works;
    const bound = r > pitch ? `${say.atMost(works, 5)} or less` : `${say.atLeast(works, 5)} or more`;
    const [happens, instead] =
      what === "tooth" ? ["the tooth comes to a point", "thicker"] : ["neighbouring teeth meet", "thinner"];
    fault(
      `${end} diameter`,
      at(r) > 0
        ? `${happens} at the ${end} ${say.diameter(2 * r)}, but for ${say.length(2 * at(r), 2)}`
        : `${happens} at ${say.diameter(2 * radiusOf(at, 0, r))}, before the ${end} ${say.diameter(2 * r)}`,
      some ? `use a ${end} diameter of ${bound}, or a ${instead} tooth` : `use a ${instead} tooth`,
    );
  };
  // involute teeth thin out towards the tip and spaces towards the root; straight ones may do either
  narrow("tip", "tooth", toothAt);
  narrow("root", "space", spaceAt);
  if (profile.flank.form === "straight") {
    narrow("root", "tooth", toothAt);
    narrow("tip", "space", spaceAt);
  }
  return sound;
}

/** Half the narrowest land, or space, mm. */
const leastLand = (module: number): number => (LEAST_LAND * module) / 2;

/** Whether the pitch circle moves with tip and root: that of straight flanks is halfway where nobody gives one. */
const movesPitch = ({ flank, pitchDiameter, tipDiameter, rootDiameter }: SplineProfile): boolean =>
  flank.form === "straight" &&
  Math.abs(tipDiameter + rootDiameter - 2 * pitchDiameter) < 1e-9 * pitchDiameter;

/** Radius to which an end may go, nearest to where it is, for a tooth or space of the least width there, the pitch circle going along. */
function movedEnd(profile: SplineProfile, end: "tip" | "root", what: "tooth" | "space"): number {
  const { tipDiameter, rootDiameter, teeth, toothThickness, pitchDiameter } = profile;
  const [own, other] = end === "tip" ? [tipDiameter, rootDiameter] : [rootDiameter, tipDiameter];
  const chord = pitchDiameter * Math.sin(toothThickness / pitchDiameter);
  const missing = (r: number): number => {
    const pitch = r + other / 2;
    // whichever the part file gave stays: the arc, or the width straight across
    const widths = [toothThickness, pitch * Math.asin(Math.min(1, chord / pitch))].map((thickness) => {
      const flank = splineFlank({
        ...profile,
        [end === "tip" ? "tipDiameter" : "rootDiameter"]: 2 * r,
        pitchDiameter: pitch,
        toothThickness: thickness,
      });
      const tooth = flank.halfAngle(flank.placeAt(r));
      return (what === "tooth" ? tooth : Math.PI / teeth - tooth) * r;
    });
    return leastLand(pitch / teeth) - Math.min(...widths);
  };
  return bisect(missing, other / 2, own / 2);
}

/** The chamfer's leg, mm, or 0 where it is at fault. */
function checkChamfer(
  profile: SplineProfile,
  flank: SplineFlank,
  rootPlace: number,
  tipPlace: number,
  say: LengthWords,
  fault: Report,
): number {
  const { tipChamfer, tipDiameter, module } = profile;
  if (!(tipChamfer > 0)) return 0;
  const land = (flank.halfAngle(tipPlace) * tipDiameter) / 2 - leastLand(module);
  const height = lengthBetween(flank, rootPlace, tipPlace);
  const largest = Math.min(land, 0.9 * height);
  if (AS_TOLD * tipChamfer <= largest) return tipChamfer;
  fault(
    "tip chamfer",
    land < 0.9 * height
      ? `${say.length(tipChamfer)} leaves no tip land`
      : `${say.length(tipChamfer)} takes nearly the whole flank`,
    `use ${say.atMost(largest)} or less, or 0 for none`,
  );
  return 0;
}

/** The contact band as places: checked where the part file gave it, trimmed to the flank where it did not. */
function settleBand(
  profile: SplineProfile,
  flank: SplineFlank,
  ends: { readonly rootPlace: number; readonly tipPlace: number; readonly flankEnd: number },
  say: LengthWords,
  fault: Report,
): { root: number; tip: number } | null {
  const [low, high] = profile.contact;
  if (!(low < high)) return null;
  const { external } = flank;
  // diameters in the order root, tip; the band lives on the involute, not on its radial continuation
  const rootEnd = external ? Math.max(profile.rootDiameter, 2 * flank.baseRadius) : profile.rootDiameter;
  const chamferEnd = 2 * flank.radiusAt(ends.flankEnd);
  const [smallest, largest] = external ? [rootEnd, profile.tipDiameter] : [profile.tipDiameter, rootEnd];
  const band = (from: number, to: number) =>
    external
      ? { root: placeOn(flank, from), tip: placeOn(flank, to) }
      : { root: placeOn(flank, to), tip: placeOn(flank, from) };
  const slack = 1e-9 * profile.tipDiameter;
  const text = `${say.diameter(low)} to ${say.diameter(high)}`;
  if (profile.contactGiven) {
    if (low < smallest - slack || high > largest + slack) {
      const belowBase = external && rootEnd > profile.rootDiameter && low < rootEnd - slack;
      fault(
        "contact",
        belowBase && high <= largest + slack
          ? `the band ${text} starts below the base circle ${say.diameter(rootEnd)}, where there is no involute`
          : `the band ${text} runs outside the flank, which spans ${say.diameter(smallest)} to ${say.diameter(largest)}`,
        `keep the band within ${say.limits(smallest, largest)}`,
      );
      return null;
    }
    const meets = external ? high > chamferEnd + slack : low < chamferEnd - slack;
    if (meets) {
      const fits = lengthBetween(flank, ends.tipPlace, placeOn(flank, external ? high : low));
      fault(
        "tip chamfer",
        `${say.length(profile.tipChamfer)} cuts into the contact band ${text}: the flank ends at ${say.diameter(chamferEnd)}`,
        chamferRemedy(
          say,
          fits,
          external
            ? `${chamferEnd > low + slack ? "end the band at" : "keep the band below"} ${say.diameterAtMost(chamferEnd, 5)}`
            : `${chamferEnd < high - slack ? "start the band at" : "keep the band above"} ${say.diameterAtLeast(chamferEnd, 5)}`,
        ),
      );
      return null;
    }
    return band(Math.max(low, smallest), Math.min(high, largest));
  }
  const from = Math.max(low, external ? smallest : chamferEnd);
  const to = Math.min(high, external ? chamferEnd : largest);
  const least = LEAST_BAND * (high - low);
  const unchamfered = external ? profile.tipDiameter - from : to - profile.tipDiameter;
  if (!(to - from >= least) && profile.tipChamfer > 0 && unchamfered > least) {
    const room = lengthBetween(flank, ends.tipPlace, placeOn(flank, external ? from + least : to - least));
    fault(
      "tip chamfer",
      `${say.length(profile.tipChamfer)} leaves less than a fifth of the usual contact band ${text}`,
      `use ${say.atMost(room)} or less, or give the contact band`,
    );
    return null;
  }
  if (!(to - from >= least)) {
    fault(
      "contact",
      `less than a fifth of the usual band ${text} lies on the flank, which spans ${say.diameter(Math.min(rootEnd, chamferEnd))} to ${say.diameter(Math.max(rootEnd, chamferEnd))}`,
      "give the contact band as two diameters on the flank, or change tip and root",
    );
    return null;
  }
  return band(from, to);
}

/** Place at a diameter that may be a rounding below the base circle. */
export function placeOn(flank: SplineFlank, diameter: number): number {
  return flank.placeAt(Math.max(diameter / 2, flank.baseRadius));
}

/** Length along the flank between two places, mm. */
export function lengthBetween(flank: SplineFlank, from: number, to: number): number {
  if (from === to) return 0;
  let length = 0;
  for (const { curve } of flank.curves(from, to)) length += curveLength(curve);
  return length;
}
