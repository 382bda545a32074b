import { DesignError, type FaceToothProfile, type Fault } from "../design/index.ts";
import { arc, type Curve, type Edge, line, reverseCurve } from "../geometry/index.ts";
import { atLeast, atMost, degrees, figure } from "./figures.ts";
import type { ProfileOutline, RootCorner } from "./profileOutline.ts";
import { type LargestFillet, LEAST_BAND, LEFTOVER } from "./splineOutline.ts";

/** Base under the root line, as a share of the tooth's height, below which the plane model means nothing. */
const LEAST_BASE = 0.2;
/** A land left on tip or root is at least this share of the pitch wide. */
const LEAST_LAND = 1e-4;
/** Share of the root that a radius leaves to the other side where that one is to be "full". */
const LEFT_TO_FULL = 0.01;
/** Share of a flank's height that a fillet leaves even where nothing bears on it, so that there is a flank to touch. */
const LEAST_FLANK = 0.02;

type Name = "drive" | "over-run";

/** One flank of the tooth, on the +x side of a tooth centred on x = 0; the other side is mirrored. */
interface Side {
  readonly name: Name;
  /** From the part's axis, rad. */
  readonly angle: number;
  /** x where the flank meets the root line, mm. */
  readonly foot: number;
  /** A fillet of radius ρ touches root line and flank at ρ × this from the corner. */
  readonly setback: number;
  readonly wanted: number | "full";
  readonly loaded: boolean;
}

/** A face tooth with everything settled but its fillets. */
interface Tooth {
  readonly profile: FaceToothProfile;
  readonly drive: Side;
  readonly overrun: Side;
  readonly pitch: number;
  /** Width of the root between the corners of neighbouring teeth, mm. */
  readonly gap: number;
  readonly chamfer: number;
  /** Contact band before the fillet, heights; null where the part file's band is at fault. */
  readonly band: readonly [number, number] | null;
  readonly notes: readonly string[];
}

/**
 * One pitch of a face tooth, unrolled at the mean diameter. The tip land is centred on x = 0, the root line is
 * y = 0, the base line y = −base thickness. The cut falls on the middle of what the two fillets leave of the
 * root land, where they meet when they leave nothing; its two sides are tied by a shift of one pitch.
 *
 * Tip chamfer: equal legs along flank and tip land, 45° on a square corner.
 * @throws DesignError with every fault found.
 */
export function faceToothOutline(profile: FaceToothProfile): ProfileOutline {
  const faults: Fault[] = [];
  const tooth = settleTooth(profile, faults);
  if (!tooth) throw new DesignError(faults);
  const radii = chooseRadii(tooth, faults);
  if (faults.length > 0 || !radii || !tooth.band) throw new DesignError(faults);
  return outlineOf(tooth, tooth.band, radii);
}

/**
 * The largest root radius on one side of the tooth, exactly, the other side's radius taking its part of the root
 * (where that is "full": all but a hundredth of the root, or, when both are, half of it each in equal radii).
 * @throws DesignError where the profile is at fault in something else than its root radii.
 */
export function largestFaceToothFillet(
  profile: FaceToothProfile,
  side: "loaded" | "unloaded",
): LargestFillet {
  const faults: Fault[] = [];
  const tooth = settleTooth(profile, faults);
  if (!tooth || faults.length > 0) throw new DesignError(faults);
  const wanted = tooth.drive.loaded === (side === "loaded") ? tooth.drive : tooth.overrun;
  return largestOf(tooth, wanted);
}

// ---------------------------------------------------------------- checks

function settleTooth(profile: FaceToothProfile, faults: Fault[]): Tooth | null {
  const fault = (key: string, problem: string, remedy: string) =>
    faults.push({ key: `profile.${key}`, problem, remedy });
  const { teeth, meanDiameter, height, tipLand, tipChamfer, baseThickness, driveAngle, overrunAngle } =
    profile;

  if (!Number.isInteger(teeth) || teeth < 2)
    fault("teeth", `a face coupling of ${teeth} teeth cannot be drawn`, "use a whole number, 2 or more");
  if (!(meanDiameter > 0)) fault("mean diameter", `Ø${meanDiameter} is no circle`, "give a diameter above 0");
  if (!(height > 0)) fault("height", `${height} mm is no height`, "give a height above 0");
  if (!(tipLand > 0)) fault("tip land", `${tipLand} mm is no land`, "give a width above 0");
  for (const [key, angle] of [
    ["drive flank angle", driveAngle],
    ["over-run flank angle", overrunAngle],
  ] as const)
    if (!(angle > -0.5237 && angle < 1.3964))
      fault(key, `${degrees(angle)} from the axis makes no tooth`, "use an angle between -30° and 80°");
  for (const [key, radius] of [
    ["drive root radius", profile.driveRootRadius],
    ["over-run root radius", profile.overrunRootRadius],
  ] as const)
    if (radius !== "full" && !(radius >= 0))
      fault(key, `${radius} is no radius`, "use 0 for sharp, a radius in mm, or full");
  if (!(tipChamfer >= 0))
    fault("tip chamfer", `${tipChamfer} is no length`, "use 0 for none, or a length in mm");
  if (!(profile.contact[0] < profile.contact[1]))
    fault(
      "contact",
      `the band from ${figure(profile.contact[0])} to ${figure(profile.contact[1])} mm has no height`,
      "give two heights above the root line, the smaller first",
    );
  if (height > 0 && !(baseThickness >= LEAST_BASE * height))
    fault(
      "base thickness",
      `${figure(baseThickness)} mm under a tooth ${figure(height)} mm high is too thin to carry the root's stress`,
      `use ${atLeast(LEAST_BASE * height)} mm or more; what stands in the part is best`,
    );
  if (faults.some(({ key }) => key !== "profile.base thickness" && key !== "profile.contact")) return null;

  const pitch = (Math.PI * meanDiameter) / teeth;
  const foot = (angle: number) => tipLand / 2 + height * Math.tan(angle);
  const rootWidth = foot(driveAngle) + foot(overrunAngle);
  const gap = pitch - rootWidth;
  const least = LEAST_LAND * pitch;
  const lean = Math.tan(driveAngle) + Math.tan(overrunAngle);
  let sound = true;
  if (rootWidth < least) {
    sound = false;
    // only back-cuts narrow the root: the flanks meet at the height where land and lean cancel
    fault(
      "height",
      `the back-cut flanks cross ${figure(height + tipLand / lean, 4)} mm above the root line`,
      `use a height of ${atMost((tipLand - least) / -lean)} mm or less, less back-cut, or a wider tip land`,
    );
  }
  if (gap < least) {
    sound = false;
    const land = tipLand + gap - least;
    fault(
      "tip land",
      `tip land and flanks take ${figure(rootWidth)} mm at the root, and the pitch is ${figure(pitch)} mm (π × Ø${figure(meanDiameter)} / ${teeth})`,
      land > 0
        ? `use a tip land of ${atMost(land)} mm or less, steeper flanks, or fewer teeth`
        : "use steeper flanks, less height, or fewer teeth",
    );
  }
  if (pitch - tipLand < least && gap >= least) {
    sound = false;
    fault(
      "tip land",
      `a land of ${figure(tipLand)} mm leaves no space in a pitch of ${figure(pitch)} mm (π × Ø${figure(meanDiameter)} / ${teeth})`,
      `use ${atMost(pitch - least)} mm or less, or fewer teeth`,
    );
  }
  if (!sound) return null;

  const side = (name: Name, angle: number, wanted: number | "full"): Side => ({
    name,
    angle,
    foot: foot(angle),
    setback: Math.tan(Math.PI / 4 - angle / 2),
    wanted,
    loaded: profile.loadedFlank === name,
  });
  const notes: string[] = [];
  const drive = side("drive", driveAngle, profile.driveRootRadius);
  const overrun = side("over-run", overrunAngle, profile.overrunRootRadius);
  const chamfer = checkChamfer(profile, fault);
  const band = settleBand(profile, drive.loaded ? drive : overrun, chamfer, fault);
  if (baseThickness < height)
    notes.push(
      `base thickness ${figure(baseThickness)} mm is less than the tooth is high: where the reaction is taken then shows in the root stress`,
    );
  return { profile, drive, overrun, pitch, gap, chamfer, band, notes };
}

type Report = (key: string, problem: string, remedy: string) => void;

/** The chamfer's leg, mm, or 0 where it is at fault. */
function checkChamfer(profile: FaceToothProfile, fault: Report): number {
  const { tipChamfer, tipLand, height, driveAngle, overrunAngle } = profile;
  if (!(tipChamfer > 0)) return 0;
  const land = 0.499 * tipLand;
  const flank = (0.9 * height) / Math.max(Math.cos(driveAngle), Math.cos(overrunAngle));
  if (tipChamfer <= Math.min(land, flank)) return tipChamfer;
  fault(
    "tip chamfer",
    land < flank
      ? `${figure(tipChamfer)} mm on both sides leaves no tip land of the ${figure(tipLand)} mm`
      : `${figure(tipChamfer)} mm takes nearly the whole flank`,
    `use ${atMost(Math.min(land, flank))} mm or less, or 0 for none`,
  );
  return 0;
}

function settleBand(
  profile: FaceToothProfile,
  loaded: Side,
  chamfer: number,
  fault: Report,
): [number, number] | null {
  const [low, high] = profile.contact;
  const { height } = profile;
  if (!(low < high)) return null;
  const end = height - chamfer * Math.cos(loaded.angle);
  const slack = 1e-9 * height;
  const text = `${figure(low)} to ${figure(high)} mm`;
  if (profile.contactGiven) {
    if (low < -slack || high > height + slack) {
      fault(
        "contact",
        `the band ${text} runs outside the flank, which spans 0 to ${figure(height)} mm above the root line`,
        `keep the band within 0 and ${atMost(height, 5)} mm`,
      );
      return null;
    }
    if (high > end + slack) {
      fault(
        "tip chamfer",
        `${figure(profile.tipChamfer)} mm cuts into the contact band ${text}: the flank ends at ${figure(end)} mm`,
        `use ${atMost((height - high) / Math.cos(loaded.angle))} mm or less, or end the band at ${atMost(end, 5)} mm`,
      );
      return null;
    }
    return [Math.max(0, low), Math.min(end, high)];
  }
  const from = Math.max(0, low);
  const to = Math.min(end, high);
  if (!(to - from >= LEAST_BAND * (high - low))) {
    fault(
      "contact",
      `less than a fifth of the usual band ${text} lies on the flank, which spans 0 to ${figure(end)} mm`,
      "give the contact band as two heights on the flank, or a smaller tip chamfer",
    );
    return null;
  }
  return [from, to];
}

// ---------------------------------------------------------------- fillets

/** Largest radius of one side by its contact band alone; null for a flank that bears nothing. */
function flankLimit({ profile, band, chamfer }: Tooth, side: Side): LargestFillet {
  // the fillet touches the flank at the setback from the corner, measured along it
  const radiusAt = (height: number) => height / (side.setback * Math.cos(side.angle));
  const tip = profile.height - chamfer * Math.cos(side.angle);
  if (!side.loaded || !band) return { radius: radiusAt((1 - LEAST_FLANK) * tip), limitedBy: "tip" };
  if (profile.contactGiven) return { radius: radiusAt(band[0]), limitedBy: "contact band" };
  const left = LEAST_BAND * (profile.contact[1] - profile.contact[0]);
  return { radius: radiusAt(band[1] - left), limitedBy: "contact band" };
}

function other(tooth: Tooth, side: Side): Side {
  return side === tooth.drive ? tooth.overrun : tooth.drive;
}

/** Radius that, equal on both sides, closes the root. */
function equalShare({ gap, drive, overrun }: Tooth): number {
  return gap / (drive.setback + overrun.setback);
}

function middleLimit(tooth: Tooth, side: Side): number {
  const { wanted, setback } = other(tooth, side);
  if (wanted === "full")
    return side.wanted === "full" ? equalShare(tooth) : ((1 - LEFT_TO_FULL) * tooth.gap) / side.setback;
  return Math.max(0, tooth.gap - wanted * setback) / side.setback;
}

function largestOf(tooth: Tooth, side: Side): LargestFillet {
  const middle = middleLimit(tooth, side);
  const flank = flankLimit(tooth, side);
  return middle <= flank.radius ? { radius: middle, limitedBy: "middle of the root" } : flank;
}

interface Radii {
  readonly drive: number;
  readonly overrun: number;
  /** True where the two fillets meet and no land is left. */
  readonly full: boolean;
  readonly notes: readonly string[];
}

function chooseRadii(tooth: Tooth, faults: Fault[]): Radii | null {
  const { drive, overrun, gap } = tooth;
  const before = faults.length;
  const sides = [drive, overrun];
  const chosen = new Map<Side, number>();
  for (const side of sides) {
    const flank = flankLimit(tooth, side);
    const key = `profile.${side.name} root radius`;
    if (side.wanted === "full") {
      const needed = middleLimit(tooth, side);
      chosen.set(side, needed);
      if (needed > flank.radius * (1 + 1e-9))
        faults.push({
          key,
          problem: `full does not fit: closing the root needs ${figure(needed, 4)} mm, and ${flankReason(tooth, flank)}`,
          remedy: remedy(tooth, flank.radius),
        });
      continue;
    }
    chosen.set(side, side.wanted);
    // two numbers that only together are too much are judged below
    const limit = other(tooth, side).wanted === "full" ? largestOf(tooth, side) : flank;
    if (side.wanted > limit.radius * (1 + 1e-9))
      faults.push({
        key,
        problem:
          limit === flank || limit.limitedBy !== "middle of the root"
            ? `${figure(side.wanted)} mm does not fit: ${flankReason(tooth, limit)}`
            : overlap(tooth, side),
        remedy: remedy(tooth, Math.min(limit.radius, largestOf(tooth, side).radius)),
      });
  }
  let driveRadius = chosen.get(drive)!;
  let overrunRadius = chosen.get(overrun)!;
  const land = gap - driveRadius * drive.setback - overrunRadius * overrun.setback;
  // "full" took exactly what the other side left; numbers may ask for more than there is
  const bothNumbers = drive.wanted !== "full" && overrun.wanted !== "full";
  if (faults.length === before && bothNumbers && land < -1e-9 * gap) faults.push(...overlapFaults(tooth));
  if (faults.length > before) return null;

  const notes: string[] = [];
  let full = !bothNumbers;
  const larger = driveRadius >= overrunRadius ? drive : overrun;
  if (bothNumbers && driveRadius + overrunRadius > 0 && land < LEFTOVER.land * chosen.get(larger)!) {
    const radius = chosen.get(larger)! + land / larger.setback;
    if (radius <= flankLimit(tooth, larger).radius) {
      full = true;
      if (Math.abs(land) > 1e-9 * gap)
        notes.push(
          `${larger.name} root radius taken as ${figure(radius, 6)} mm instead of ${figure(chosen.get(larger)!, 6)} mm: the land left would be ${figure(land, 2)} mm wide`,
        );
      if (larger === drive) driveRadius = radius;
      else overrunRadius = radius;
    }
  }
  return { drive: driveRadius, overrun: overrunRadius, full, notes };
}

/** Two radii that together are wider than the root: the larger gives way, or both where that is not enough. */
function overlapFaults(tooth: Tooth): Fault[] {
  const { drive, overrun } = tooth;
  const share = Math.min(
    equalShare(tooth),
    flankLimit(tooth, drive).radius,
    flankLimit(tooth, overrun).radius,
  );
  const first = size(drive) >= size(overrun) ? drive : overrun;
  const largest = largestOf(tooth, first).radius;
  if (largest > 0.5 * share)
    return [
      {
        key: `profile.${first.name} root radius`,
        problem: overlap(tooth, first),
        remedy: remedy(tooth, largest),
      },
    ];
  return [drive, overrun].map((side) => ({
    key: `profile.${side.name} root radius`,
    problem: overlap(tooth, side),
    remedy: `use ${atMost(share)} mm or less on both sides, or 0 for sharp`,
  }));
}

function size({ wanted }: Side): number {
  return wanted === "full" ? 0 : wanted;
}

function overlap(tooth: Tooth, side: Side): string {
  return `${figure(size(side))} mm does not fit: with the ${other(tooth, side).name} side's ${otherRadius(tooth, side)} the fillets meet before the middle of the root, which is ${figure(tooth.gap)} mm wide`;
}

function otherRadius(tooth: Tooth, side: Side): string {
  const { wanted } = other(tooth, side);
  return wanted === "full" ? "full radius" : `${figure(wanted)} mm`;
}

function flankReason({ profile, band }: Tooth, { limitedBy }: LargestFillet): string {
  const text = `${figure(profile.contact[0])} to ${figure(profile.contact[1])} mm`;
  if (limitedBy === "tip") return "the fillet would take the whole flank";
  return profile.contactGiven && band
    ? `the fillet would run into the contact band, which starts ${figure(band[0])} mm above the root line`
    : `the fillet would leave less than a fifth of the usual contact band ${text}`;
}

function remedy(tooth: Tooth, largest: number): string {
  return largest > 1e-6 * tooth.pitch
    ? `use ${atMost(largest)} mm or less, or 0 for sharp`
    : "use 0 for sharp";
}

// ---------------------------------------------------------------- outline

function outlineOf(tooth: Tooth, settled: readonly [number, number], radii: Radii): ProfileOutline {
  const { profile, drive, overrun, pitch, gap, chamfer } = tooth;
  const { height, baseThickness, tipLand } = profile;
  const notes = [...tooth.notes, ...radii.notes];
  const loaded = drive.loaded ? drive : overrun;
  const radiusOf = (side: Side) => (side === drive ? radii.drive : radii.overrun);
  const band = closeBand(tooth, loaded, settled, radiusOf(loaded), notes);

  const driveEnd = drive.foot + radii.drive * drive.setback;
  const overrunEnd = overrun.foot + radii.overrun * overrun.setback;
  const land = radii.full ? 0 : gap - radii.drive * drive.setback - radii.overrun * overrun.setback;
  const right = driveEnd + land / 2;
  const left = right - pitch;

  // one side of the tooth from the cut up to the tip land, on the +x side
  const sideEdges = (side: Side): Edge[] => {
    const edges: Edge[] = [];
    const put = (edge: string, zone: string, curve: Curve) => edges.push({ name: edge, zone, curve });
    const radius = radiusOf(side);
    const end = side === drive ? driveEnd : overrunEnd;
    const cut = side === drive ? right : -left;
    const flankX = (y: number) => side.foot - y * Math.tan(side.angle);
    if (land > 0) put(`root land ${side.name} side`, "root", line(cut, 0, end, 0));
    // from straight below its centre the fillet turns, clockwise, until it runs up the flank
    if (radius > 0)
      put(
        `root fillet ${side.name} side`,
        "root",
        arc(land > 0 ? end : cut, radius, radius, 1.5 * Math.PI, Math.PI + side.angle),
      );
    const start = radius * side.setback * Math.cos(side.angle);
    const stop = height - chamfer * Math.cos(side.angle);
    const stretch = (edge: string, from: number, to: number) => {
      if (from !== to) put(edge, "flank", line(flankX(from), from, flankX(to), to));
    };
    if (side.loaded) {
      stretch(`${side.name} flank below band`, start, band[0]);
      stretch(`${side.name} flank contact`, band[0], band[1]);
      stretch(`${side.name} flank above band`, band[1], stop);
    } else stretch(`${side.name} flank`, start, stop);
    if (chamfer > 0)
      put(`tip chamfer ${side.name} side`, "tip", line(flankX(stop), stop, tipLand / 2 - chamfer, height));
    return edges;
  };
  const driveEdges = sideEdges(drive);
  const overrunEdges = sideEdges(overrun)
    .map((edge) => ({ ...edge, curve: reverseCurve(flip(edge.curve)) }))
    .reverse();
  const tip = tipLand / 2 - chamfer;
  const plain = (name: string, zone: string, x0: number, y0: number, x1: number, y1: number): Edge => ({
    name,
    zone,
    curve: line(x0, y0, x1, y1),
  });
  const loop = [
    plain("base line", "rim", left, -baseThickness, right, -baseThickness),
    plain("cut drive side", "cut", right, -baseThickness, right, 0),
    ...driveEdges,
    plain("tip land", "tip", tip, height, -tip, height),
    ...overrunEdges,
    plain("cut over-run side", "cut", left, 0, left, -baseThickness),
  ];
  return {
    outline: {
      loops: [loop],
      ties: [
        {
          leader: ["cut over-run side"],
          follower: ["cut drive side"],
          motion: { angle: 0, dx: pitch, dy: 0 },
        },
      ],
    },
    contactEdges: [`${loaded.name} flank contact`],
    reactionEdges: ["base line"],
    corners: [corner(tooth, loaded, radii), corner(tooth, other(tooth, loaded), radii)],
    contact: band,
    rootThickness: drive.foot + overrun.foot,
    rootRadiusPosition: 0,
    bandMiddle: (band[0] + band[1]) / 2,
    sectors: profile.teeth,
    notes,
  };
}

/** The band on the flank that the fillet leaves; slivers of flank beside it are closed up. */
function closeBand(
  { profile, chamfer }: Tooth,
  side: Side,
  settled: readonly [number, number],
  radius: number,
  notes: string[],
): [number, number] {
  let [low, high] = settled;
  const sliver = LEFTOVER.flank * (high - low);
  const start = radius * side.setback * Math.cos(side.angle);
  const stop = profile.height - chamfer * Math.cos(side.angle);
  if (low - start < sliver) low = start;
  if (stop - high < sliver) high = stop;
  const slack = 1e-9 * profile.height;
  const [from, to] = profile.contact;
  if (Math.abs(low - from) > slack || Math.abs(high - to) > slack)
    notes.push(
      `contact band trimmed from ${figure(from)} to ${figure(to)} mm to the flank that is left, ${figure(low)} to ${figure(high)} mm above the root line`,
    );
  return [low, high];
}

/** Mirror image in the y axis, still travelled from the image of the start to that of the end. */
function flip(curve: Curve): Curve {
  if (curve.kind === "line") return line(-curve.x0, curve.y0, -curve.x1, curve.y1);
  return { ...curve, cx: -curve.cx, start: Math.PI - curve.start, end: Math.PI - curve.end };
}

function corner(tooth: Tooth, side: Side, radii: Radii): RootCorner {
  const way = side === tooth.drive ? 1 : -1;
  const radius = side === tooth.drive ? radii.drive : radii.overrun;
  // half of the space's angle between root line and flank, which is a quarter turn plus the flank's angle
  const halfSpace = Math.PI / 4 + side.angle / 2;
  return {
    side: side.loaded ? "loaded" : "unloaded",
    x: way * side.foot,
    y: 0,
    bisectorX: -way * Math.cos(halfSpace),
    bisectorY: -Math.sin(halfSpace),
    materialAngle: 2 * Math.PI - 2 * halfSpace,
    radius,
    largestRadius: largestOf(tooth, side).radius,
    edges: radius > 0 ? [`root fillet ${side.name} side`] : [],
  };
}
