import { DesignError, type Fault, type SplineProfile } from "../design/index.ts";
import {
  arc,
  type Curve,
  curveLength,
  curvePoint,
  type Edge,
  line,
  mirrorCurve,
  reverseCurve,
} from "../geometry/index.ts";
import { bisect, bisectUp } from "./bisect.ts";
import { atLeast, atMost, degrees, figure } from "./figures.ts";
import type { ProfileOutline, RootCorner } from "./profileOutline.ts";
import { type FlankFillet, type SplineFlank, splineFlank } from "./splineFlank.ts";

/** What stops a fillet from growing. */
export type FilletLimit = "middle of the root" | "contact band" | "tip";

export interface LargestFillet {
  /** mm; 0 where none fits. */
  readonly radius: number;
  readonly limitedBy: FilletLimit;
}

/** A land left on tip or root is at least this share of the module wide; less counts as a point. */
const LEAST_LAND = 1e-3;
/** Material behind the teeth, as a share of the tooth's height, below which the plane model means nothing. */
const LEAST_BACK = 0.1;
/** Share of a defaulted contact band that must be left once fillet and chamfer have taken theirs. */
export const LEAST_BAND = 0.2;
/**
 * Leftovers shorter than this share of the fillet (root land) or of the band (flank beside it) are closed up, with a
 * note: an edge a thousand times shorter than its neighbours costs elements and says nothing.
 */
export const LEFTOVER = { land: 5e-4, flank: 1e-3 } as const;

/** A spline tooth with everything settled but its fillet. Places are those of `SplineFlank`. */
interface Tooth {
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
}

/**
 * One sector of a spline as an outline. The tooth is centred on the +x axis; the sector is cut at ± π/N.
 *
 * Root: fillets tangent to flank and root circle, or sharp corners, and the land between. Where an external
 * root lies below the base circle the flank runs on as a radial line (common practice, no source). Tip
 * chamfer: a straight cut with equal legs along flank and tip circle, 45° on a square corner.
 * @throws DesignError with every fault found.
 */
export function splineOutline(profile: SplineProfile): ProfileOutline {
  const faults: Fault[] = [];
  const tooth = settleTooth(profile, faults);
  if (!tooth) throw new DesignError(faults);
  const largest = largestOf(tooth);
  const radius = chooseRadius(tooth, largest, faults);
  if (faults.length > 0 || radius === null || !tooth.band) throw new DesignError(faults);
  return outlineOf(tooth, tooth.band, radius, largest);
}

/**
 * The largest root radius of a spline, to rounding. One cutter cuts both sides of a space, so both sides have
 * the limit of the loaded one.
 * @throws DesignError where the profile is at fault in something else than its root radius.
 */
export function largestSplineFillet(profile: SplineProfile): LargestFillet {
  const faults: Fault[] = [];
  const tooth = settleTooth(profile, faults);
  if (!tooth || faults.length > 0) throw new DesignError(faults);
  return largestOf(tooth);
}

// ---------------------------------------------------------------- checks

/** Checks all but the root radius; null where the faults leave no flank to speak of. */
function settleTooth(profile: SplineProfile, faults: Fault[]): Tooth | null {
  const fault = (key: string, problem: string, remedy: string) =>
    faults.push({ key: `profile.${key}`, problem, remedy });
  const { teeth, pitchDiameter, toothThickness, tipDiameter, rootDiameter, tipChamfer } = profile;
  const external = profile.kind === "external spline";

  checkSizes(profile, fault);
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
  if (!checkReach(profile, flank, rootPlace, tipPlace, fault)) return null;
  if (!checkLands(profile, flank, fault)) return null;

  const tipward = external ? 1 : -1;
  const chamfer = checkChamfer(profile, flank, rootPlace, tipPlace, fault);
  // outward along the flank is negative: from an internal tip the flank runs outward
  const flankEnd = chamfer > 0 ? flank.inward(tipPlace, tipward * chamfer) : tipPlace;
  const band = settleBand(profile, flank, { rootPlace, tipPlace, flankEnd }, fault);
  return { profile, flank, tipward, half, rootPlace, tipPlace, flankEnd, chamfer, band };
}

type Report = (key: string, problem: string, remedy: string) => void;

function checkSizes(profile: SplineProfile, fault: Report): void {
  const { teeth, pitchDiameter, toothThickness, tipDiameter, rootDiameter, backDiameter } = profile;
  const external = profile.kind === "external spline";
  if (!Number.isInteger(teeth) || teeth < 3)
    fault("teeth", `a spline of ${teeth} teeth cannot be drawn`, "use a whole number, 3 or more");
  if (!(pitchDiameter > 0))
    fault("pitch diameter", `Ø${pitchDiameter} is no circle`, "give a diameter above 0");
  const circularPitch = (Math.PI * pitchDiameter) / teeth;
  if (!(toothThickness > 0 && toothThickness < circularPitch))
    fault(
      "tooth thickness",
      `${figure(toothThickness)} mm leaves no ${toothThickness > 0 ? "space" : "tooth"} in a circular pitch of ${figure(circularPitch)} mm`,
      `use a thickness between 0 and ${atMost(circularPitch)} mm; half the pitch is ${figure(circularPitch / 2)} mm`,
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
        `the tip Ø${figure(tipDiameter)} of an external spline is not outside its root Ø${figure(rootDiameter)}`,
        `use a tip diameter above ${figure(rootDiameter)} mm`,
      );
    const largest = rootDiameter - 2 * LEAST_BACK * height;
    if (!(backDiameter > 0))
      fault(
        "bore diameter",
        "a solid shaft has no circle to carry the reaction",
        `give a bore diameter; ${figure(rootDiameter / 4, 2)} mm, a quarter of the root diameter, is far enough from the teeth (common practice, no source)`,
      );
    else if (tipDiameter > rootDiameter && !(backDiameter <= largest))
      fault(
        "bore diameter",
        backDiameter >= rootDiameter
          ? `the bore Ø${figure(backDiameter)} lies outside the root Ø${figure(rootDiameter)}`
          : `the bore Ø${figure(backDiameter)} leaves less than ${LEAST_BACK} of the tooth's height under the root Ø${figure(rootDiameter)}`,
        `use a bore of ${atMost(largest, 5)} mm or less`,
      );
  } else {
    if (!(tipDiameter < rootDiameter && tipDiameter > 0))
      fault(
        "tip diameter",
        `the tip Ø${figure(tipDiameter)} of an internal spline is not inside its root Ø${figure(rootDiameter)}`,
        `use a tip diameter below ${figure(rootDiameter)} mm`,
      );
    const smallest = rootDiameter + 2 * LEAST_BACK * height;
    if (!(backDiameter >= smallest))
      fault(
        "rim diameter",
        backDiameter > rootDiameter
          ? `the rim Ø${figure(backDiameter)} leaves less than ${LEAST_BACK} of the tooth's height outside the root Ø${figure(rootDiameter)}`
          : `the root Ø${figure(rootDiameter)} lies beyond the rim Ø${figure(backDiameter)}`,
        `use a rim of ${atLeast(smallest, 5)} mm or more`,
      );
  }
  const { rootRadius, tipChamfer, contact } = profile;
  if (rootRadius !== "full" && !(rootRadius >= 0))
    fault("root radius", `${rootRadius} is no radius`, "use 0 for sharp, a radius in mm, or full");
  if (!(tipChamfer >= 0))
    fault("tip chamfer", `${tipChamfer} is no length`, "use 0 for none, or a length in mm");
  if (!(contact[0] < contact[1]))
    fault(
      "contact",
      `the band Ø${figure(contact[0])} to Ø${figure(contact[1])} has no height`,
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
  fault: Report,
): boolean {
  if (rootPlace >= -1 && tipPlace >= -1) return true;
  if (profile.flank.form === "involute") {
    // only an internal tip can lie where there is no involute
    fault(
      "tip diameter",
      `the involute does not exist below its base circle Ø${figure(2 * flank.baseRadius)}, and the tip Ø${figure(profile.tipDiameter)} lies inside it`,
      `use a tip diameter of ${atLeast(2 * flank.baseRadius, 5)} mm or more`,
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
    `the straight flanks pass the axis at ${figure(least / 2)} mm and never reach the ${which} circle`,
    `use a ${which} diameter of ${atLeast(least, 5)} mm or more, or a smaller angle`,
  );
  return false;
}

/** Tip land, root land and the width of tooth and space in between. */
function checkLands(profile: SplineProfile, flank: SplineFlank, fault: Report): boolean {
  const half = Math.PI / profile.teeth;
  const least = (LEAST_LAND * profile.module) / 2;
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
    if (at(r) >= least) return;
    sound = false;
    const works = 2 * radiusOf(at, least, r);
    const bound = r > pitch ? `${atMost(works, 5)} mm or less` : `${atLeast(works, 5)} mm or more`;
    const [happens, instead] =
      what === "tooth" ? ["the tooth comes to a point", "thicker"] : ["neighbouring teeth meet", "thinner"];
    fault(
      `${end} diameter`,
      at(r) > 0
        ? `${happens} at the ${end} Ø${figure(2 * r)}, but for ${figure(2 * at(r), 2)} mm`
        : `${happens} at Ø${figure(2 * radiusOf(at, 0, r))}, before the ${end} Ø${figure(2 * r)}`,
      `use a ${end} diameter of ${bound}, or a ${instead} tooth`,
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

/** The chamfer's leg, mm, or 0 where it is at fault. */
function checkChamfer(
  profile: SplineProfile,
  flank: SplineFlank,
  rootPlace: number,
  tipPlace: number,
  fault: Report,
): number {
  const { tipChamfer, tipDiameter, module } = profile;
  if (!(tipChamfer > 0)) return 0;
  const land = (flank.halfAngle(tipPlace) * tipDiameter) / 2 - (LEAST_LAND * module) / 2;
  const height = lengthBetween(flank, rootPlace, tipPlace);
  const largest = Math.min(land, 0.9 * height);
  if (tipChamfer <= largest) return tipChamfer;
  fault(
    "tip chamfer",
    land < 0.9 * height
      ? `${figure(tipChamfer)} mm leaves no tip land`
      : `${figure(tipChamfer)} mm takes nearly the whole flank`,
    `use ${atMost(largest)} mm or less, or 0 for none`,
  );
  return 0;
}

/** The contact band as places: checked where the part file gave it, trimmed to the flank where it did not. */
function settleBand(
  profile: SplineProfile,
  flank: SplineFlank,
  ends: { readonly rootPlace: number; readonly tipPlace: number; readonly flankEnd: number },
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
  const text = `Ø${figure(low)} to Ø${figure(high)}`;
  if (profile.contactGiven) {
    if (low < smallest - slack || high > largest + slack) {
      const belowBase = external && rootEnd > profile.rootDiameter && low < rootEnd - slack;
      fault(
        "contact",
        belowBase && high <= largest + slack
          ? `the band ${text} starts below the base circle Ø${figure(rootEnd)}, where there is no involute`
          : `the band ${text} runs outside the flank, which spans Ø${figure(smallest)} to Ø${figure(largest)}`,
        `keep the band within ${atLeast(smallest, 5)} and ${atMost(largest, 5)} mm`,
      );
      return null;
    }
    const meets = external ? high > chamferEnd + slack : low < chamferEnd - slack;
    if (meets) {
      const fits = lengthBetween(flank, ends.tipPlace, placeOn(flank, external ? high : low));
      fault(
        "tip chamfer",
        `${figure(profile.tipChamfer)} mm cuts into the contact band ${text}: the flank ends at Ø${figure(chamferEnd)}`,
        `use ${atMost(fits)} mm or less, or ${external ? `end the band at Ø${atMost(chamferEnd, 5)}` : `start the band at Ø${atLeast(chamferEnd, 5)}`}`,
      );
      return null;
    }
    return band(Math.max(low, smallest), Math.min(high, largest));
  }
  const from = Math.max(low, external ? smallest : chamferEnd);
  const to = Math.min(high, external ? chamferEnd : largest);
  if (!(to - from >= LEAST_BAND * (high - low))) {
    fault(
      "contact",
      `less than a fifth of the usual band ${text} lies on the flank, which spans Ø${figure(Math.min(rootEnd, chamferEnd))} to Ø${figure(Math.max(rootEnd, chamferEnd))}`,
      "give the contact band as two diameters on the flank, or change tip and root",
    );
    return null;
  }
  return band(from, to);
}

/** Place at a diameter that may be a rounding below the base circle. */
function placeOn(flank: SplineFlank, diameter: number): number {
  return flank.placeAt(Math.max(diameter / 2, flank.baseRadius));
}

// ---------------------------------------------------------------- fillet

function largestOf(tooth: Tooth): LargestFillet {
  const middle = middleFillet(tooth);
  const { place, limitedBy } = touchLimit(tooth);
  // how far the touch has passed the limit, in places towards the tip
  const past = (radius: number) => tooth.tipward * (tooth.flank.fillet(radius).touch - place);
  if (past(middle) <= 0) return { radius: middle, limitedBy: "middle of the root" };
  return { radius: bisectUp(past, tooth.profile.module), limitedBy };
}

/** Radius at which the fillets of both sides meet at the middle of the root. */
function middleFillet({ flank, half, profile }: Tooth): number {
  return bisectUp((radius) => flank.fillet(radius).centreAngle - half, profile.module);
}

/** The last place on the flank where a fillet may end. */
function touchLimit({ flank, band, profile, flankEnd, tipward }: Tooth): {
  place: number;
  limitedBy: FilletLimit;
} {
  if (!band) return { place: flankEnd, limitedBy: "tip" };
  if (profile.contactGiven) return { place: band.root, limitedBy: "contact band" };
  const left = (LEAST_BAND * (profile.contact[1] - profile.contact[0])) / 2;
  return {
    place: placeOn(flank, 2 * (flank.radiusAt(band.tip) - tipward * left)),
    limitedBy: "contact band",
  };
}

interface Radius {
  readonly radius: number;
  /** True where the two fillets meet at the middle of the root. */
  readonly full: boolean;
  readonly notes: readonly string[];
}

function chooseRadius(tooth: Tooth, largest: LargestFillet, faults: Fault[]): Radius | null {
  const { profile, flank, half } = tooth;
  const wanted = profile.rootRadius;
  const key = "profile.root radius";
  const smaller =
    largest.radius > 1e-6 * profile.module
      ? `use ${atMost(largest.radius)} mm or less, or 0 for sharp`
      : "use 0 for sharp";
  const remedy = (radius: number) => {
    // the other way out, where the band was given and the root itself has room
    const touch = flank.fillet(radius).touch;
    if (!profile.contactGiven || largest.limitedBy !== "contact band" || radius > middleFillet(tooth))
      return smaller;
    if (!(tooth.band && tooth.tipward * (tooth.band.tip - touch) > 0)) return smaller;
    const diameter = 2 * flank.radiusAt(touch);
    return `${smaller}, or ${flank.external ? `start the contact band at Ø${atLeast(diameter, 5)}` : `end the contact band at Ø${atMost(diameter, 5)}`}`;
  };
  if (wanted === "full") {
    if (largest.limitedBy === "middle of the root") return { radius: largest.radius, full: true, notes: [] };
    faults.push({
      key,
      problem: `full does not fit: one arc across the root needs ${figure(middleFillet(tooth), 4)} mm, and ${reason(tooth, largest)}`,
      remedy: remedy(middleFillet(tooth)),
    });
    return null;
  }
  if (!(wanted >= 0)) return null;
  if (wanted > largest.radius * (1 + 1e-9)) {
    faults.push({
      key,
      problem: `${figure(wanted)} mm does not fit: ${reason(tooth, largest)}`,
      remedy: remedy(wanted),
    });
    return null;
  }
  if (wanted === 0) return { radius: 0, full: false, notes: [] };
  const land = ((half - flank.fillet(wanted).centreAngle) * profile.rootDiameter) / 2;
  if (largest.limitedBy === "middle of the root" && land < LEFTOVER.land * wanted) {
    const moved = Math.abs(largest.radius - wanted) > 1e-9 * wanted;
    return {
      radius: largest.radius,
      full: true,
      notes: moved
        ? [
            `root radius taken as ${figure(largest.radius, 6)} mm, the full radius, instead of ${figure(wanted, 6)} mm: the land left would be ${figure(2 * land, 2)} mm wide`,
          ]
        : [],
    };
  }
  // a fillet that ends a hair below the base circle is made to end on it: no sliver of radial line is left
  const { touch } = flank.fillet(wanted);
  const rootRadius = profile.rootDiameter / 2;
  const onBase = ((flank.baseRadius - rootRadius) * (flank.baseRadius + rootRadius)) / (2 * rootRadius);
  if (touch < 0 && -touch * flank.baseRadius < LEFTOVER.land * wanted && onBase <= largest.radius) {
    const moved = onBase - wanted > 1e-9 * wanted;
    return {
      radius: onBase,
      full: false,
      notes: moved
        ? [
            `root radius taken as ${figure(onBase, 6)} mm instead of ${figure(wanted, 6)} mm, so that it ends on the base circle`,
          ]
        : [],
    };
  }
  return { radius: wanted, full: false, notes: [] };
}

function reason({ profile, flank, band }: Tooth, { limitedBy }: LargestFillet): string {
  switch (limitedBy) {
    case "middle of the root":
      return "the fillets of both sides meet at the middle of the root";
    case "tip":
      return "the fillet would take the whole flank";
    case "contact band":
      return profile.contactGiven && band
        ? `the fillet would run into the contact band, whose root end is at Ø${figure(2 * flank.radiusAt(band.root))}`
        : `the fillet would leave less than a fifth of the usual contact band Ø${figure(profile.contact[0])} to Ø${figure(profile.contact[1])}`;
  }
}

// ---------------------------------------------------------------- outline

function outlineOf(
  tooth: Tooth,
  settled: { readonly root: number; readonly tip: number },
  chosen: Radius,
  largest: LargestFillet,
): ProfileOutline {
  const { profile, flank, tipward, half, flankEnd, rootPlace, tipPlace, chamfer } = tooth;
  const { external } = flank;
  const rootRadius = profile.rootDiameter / 2;
  const tipRadius = profile.tipDiameter / 2;
  const backRadius = profile.backDiameter / 2;
  const { radius } = chosen;
  const fillet: FlankFillet =
    radius > 0
      ? flank.fillet(radius)
      : { centreRadius: rootRadius, centreAngle: flank.halfAngle(rootPlace), touch: rootPlace };
  const notes = [...chosen.notes];
  const band = closeBand(tooth, settled, fillet.touch, notes);

  const landEnd = chosen.full ? half : fillet.centreAngle;
  const tipHalfAngle = flank.halfAngle(tipPlace) - chamfer / tipRadius;

  // one side of the tooth from root to tip, on the counter-clockwise side
  const side = (name: "loaded" | "unloaded"): Edge[] => {
    const edges: Edge[] = [];
    const put = (edge: string, zone: string, curve: Curve) => edges.push({ name: edge, zone, curve });
    if (landEnd < half) put(`root land ${name} side`, "root", arc(0, 0, rootRadius, half, landEnd));
    if (radius > 0) put(`root fillet ${name} side`, "root", filletArc(flank, fillet, landEnd, radius));
    const stretch = (edge: string, from: number, to: number) => {
      if (from === to) return;
      for (const { curve, radial } of flank.curves(from, to))
        put(radial ? `${name} flank radial` : edge, "flank", curve);
    };
    if (name === "loaded") {
      stretch("loaded flank below band", fillet.touch, band.root);
      stretch("loaded flank contact", band.root, band.tip);
      stretch("loaded flank above band", band.tip, flankEnd);
    } else stretch("unloaded flank", fillet.touch, flankEnd);
    if (chamfer > 0) {
      const flankCurves = flank.curves(fillet.touch, flankEnd);
      const [ax, ay] = curvePoint(flankCurves[flankCurves.length - 1]!.curve, 1, [0, 0]);
      const bx = tipRadius * Math.cos(tipHalfAngle);
      const by = tipRadius * Math.sin(tipHalfAngle);
      put(`tip chamfer ${name} side`, "tip", line(ax, ay, bx, by));
    }
    return edges;
  };
  const loaded = side("loaded").map((edge) => ({ ...edge, curve: mirrorCurve(edge.curve) }));
  const unloaded = side("unloaded");
  const back = (edges: readonly Edge[]) =>
    edges.map((edge) => ({ ...edge, curve: reverseCurve(edge.curve) })).reverse();

  const cut = (name: string, angle: number, from: number, to: number): Edge => ({
    name,
    zone: "cut",
    curve: line(from * Math.cos(angle), from * Math.sin(angle), to * Math.cos(angle), to * Math.sin(angle)),
  });
  const tipLand: Edge = {
    name: "tip land",
    zone: "tip",
    curve: arc(0, 0, tipRadius, -tipward * tipHalfAngle, tipward * tipHalfAngle),
  };
  const rim: Edge = {
    name: external ? "bore" : "rim",
    zone: "rim",
    curve: arc(0, 0, backRadius, tipward * half, -tipward * half),
  };
  const clockwise = "cut clockwise side";
  const counter = "cut counter-clockwise side";
  // material on the left: an external sector runs out along its clockwise cut, an internal one in along the other
  const loop = external
    ? [
        cut(clockwise, -half, backRadius, rootRadius),
        ...loaded,
        tipLand,
        ...back(unloaded),
        cut(counter, half, rootRadius, backRadius),
        rim,
      ]
    : [
        rim,
        cut(counter, half, backRadius, rootRadius),
        ...unloaded,
        tipLand,
        ...back(loaded),
        cut(clockwise, -half, rootRadius, backRadius),
      ];

  if (flank.baseRadius > 0 && external && fillet.touch < 0)
    notes.push(
      `the involute ends at the base circle Ø${figure(2 * flank.baseRadius)}; from there to the root the flank is a radial line (common practice, no source)`,
    );
  const ends = [2 * flank.radiusAt(band.root), 2 * flank.radiusAt(band.tip)];
  const contact: [number, number] = [Math.min(...ends), Math.max(...ends)];
  return {
    outline: {
      loops: [loop],
      ties: [{ leader: [clockwise], follower: [counter], motion: { angle: 2 * half, dx: 0, dy: 0 } }],
    },
    contactEdges: ["loaded flank contact"],
    reactionEdges: [rim.name],
    corners: [corner(tooth, "loaded", radius, largest), corner(tooth, "unloaded", radius, largest)],
    contact,
    rootThickness: profile.rootDiameter * Math.sin(flank.halfAngle(rootPlace)),
    rootRadiusPosition: rootRadius,
    bandMiddle: (contact[0] + contact[1]) / 4,
    sectors: profile.teeth,
    notes,
  };
}

/** The band on the flank that fillet and chamfer leave; slivers of flank beside it are closed up. */
function closeBand(
  { flank, tipward, flankEnd, profile }: Tooth,
  settled: { readonly root: number; readonly tip: number },
  touch: number,
  notes: string[],
): { root: number; tip: number } {
  const sliver = LEFTOVER.flank * lengthBetween(flank, settled.root, settled.tip);
  let { root, tip } = settled;
  // a defaulted band gives way to the fillet; one that was given may only meet it
  if (tipward * (touch - root) > 0 || (touch >= 0 && lengthBetween(flank, touch, root) < sliver))
    root = touch;
  if (lengthBetween(flank, tip, flankEnd) < sliver) tip = flankEnd;
  const [low, high] = profile.contact;
  const ends = [2 * flank.radiusAt(root), 2 * flank.radiusAt(tip)];
  const now = [Math.min(...ends), Math.max(...ends)] as const;
  const slack = 1e-9 * profile.tipDiameter;
  if (Math.abs(now[0] - low) > slack || Math.abs(now[1] - high) > slack)
    notes.push(
      `contact band trimmed from Ø${figure(low)} to Ø${figure(high)} to the flank that is left, Ø${figure(now[0])} to Ø${figure(now[1])}`,
    );
  return { root, tip };
}

/** The fillet travelled from the root circle to the flank: it turns from one tangent to the other. */
function filletArc(flank: SplineFlank, fillet: FlankFillet, landEnd: number, radius: number): Curve {
  const direction = flank.direction(fillet.touch);
  const cx = fillet.centreRadius * Math.cos(landEnd);
  const cy = fillet.centreRadius * Math.sin(landEnd);
  // seen from the centre the flank lies on the right of its outward direction
  return flank.external
    ? arc(cx, cy, radius, landEnd + Math.PI, direction + 1.5 * Math.PI)
    : arc(cx, cy, radius, landEnd, direction - Math.PI / 2);
}

function lengthBetween(flank: SplineFlank, from: number, to: number): number {
  if (from === to) return 0;
  let length = 0;
  for (const { curve } of flank.curves(from, to)) length += curveLength(curve);
  return length;
}

function corner(
  { flank, rootPlace, profile, tipward }: Tooth,
  side: "loaded" | "unloaded",
  radius: number,
  largest: LargestFillet,
): RootCorner {
  const mirror = side === "loaded" ? -1 : 1;
  const rootRadius = profile.rootDiameter / 2;
  const at = flank.halfAngle(rootPlace);
  const direction = flank.direction(rootPlace);
  // along the flank towards the tip, and along the root circle into the space
  const fx = tipward * Math.cos(direction);
  const fy = tipward * Math.sin(direction);
  const wx = -Math.sin(at);
  const wy = Math.cos(at);
  const length = Math.hypot(fx + wx, fy + wy);
  const space = Math.atan2(Math.abs(fx * wy - fy * wx), fx * wx + fy * wy);
  return {
    side,
    x: rootRadius * Math.cos(at),
    y: mirror * rootRadius * Math.sin(at),
    bisectorX: -(fx + wx) / length,
    bisectorY: (-mirror * (fy + wy)) / length,
    materialAngle: 2 * Math.PI - space,
    radius,
    largestRadius: largest.radius,
    edges: radius > 0 ? [`root fillet ${side} side`] : [],
  };
}
