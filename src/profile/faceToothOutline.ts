import { DesignError, type FaceToothProfile, type Fault, type UnitChoice } from "../design/index.ts";
import { arc, type Curve, type Edge, line, reverseCurve } from "../geometry/index.ts";
import { type FaceTooth, otherSide, settleFaceTooth, type ToothSide } from "./faceTooth.ts";
import { chooseSideRadii, largestSideRadius, type SideRadii } from "./faceToothFillets.ts";
import { type LargestFillet, LEFTOVER, MATE_CLEARS } from "./filletLimits.ts";
import type { ProfileOutline, RootCorner } from "./profileOutline.ts";

/**
 * One pitch of a face tooth, unrolled at the mean diameter. The tip land is centred on x = 0, the root line is
 * y = 0, the base line y = −base thickness. The cut falls on the middle of what the two fillets leave of the
 * root land, where they meet when they leave nothing; its two sides are tied by a shift of one pitch. Where a fillet takes the whole
 * root up to a sharp corner, the cut goes through the fillet, clear of the corner, whose field is read round it.
 *
 * Tip chamfer: equal legs along flank and tip land, 45° on a square corner.
 * @throws DesignError with every fault found.
 */
export function faceToothOutline(profile: FaceToothProfile, units: UnitChoice): ProfileOutline {
  const faults: Fault[] = [];
  const tooth = settleFaceTooth(profile, faults, units);
  if (!tooth) throw new DesignError(faults);
  const radii = chooseSideRadii(tooth, faults);
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
  units: UnitChoice,
): LargestFillet {
  const faults: Fault[] = [];
  const tooth = settleFaceTooth(profile, faults, units);
  if (!tooth || faults.length > 0) throw new DesignError(faults);
  const wanted = tooth.drive.loaded === (side === "loaded") ? tooth.drive : tooth.overrun;
  return largestSideRadius(tooth, wanted);
}

function outlineOf(tooth: FaceTooth, settled: readonly [number, number], radii: SideRadii): ProfileOutline {
  const { profile, drive, overrun, pitch, gap, chamfer } = tooth;
  const { height, baseThickness, tipLand } = profile;
  const notes = [...tooth.notes, ...radii.notes];
  const loaded = drive.loaded ? drive : overrun;
  const radiusOf = (side: ToothSide) => (side === drive ? radii.drive : radii.overrun);
  const band = closeBand(tooth, loaded, settled, radiusOf(loaded), notes);

  const driveEnd = drive.foot + radii.drive * drive.setback;
  const overrunEnd = overrun.foot + radii.overrun * overrun.setback;
  const land = radii.full ? 0 : gap - radii.drive * drive.setback - radii.overrun * overrun.setback;
  // how far the cut is moved off a sharp corner into the other side's fillet, in the direction of +x
  const into =
    !radii.full || radii.drive * radii.overrun > 0
      ? 0
      : CUT_INTO * (radii.overrun * overrun.setback - radii.drive * drive.setback);
  const right = driveEnd + land / 2 + into;
  const left = right - pitch;
  const radius = Math.max(radii.drive, radii.overrun);
  const turn = Math.asin(Math.abs(into) / radius || 0);
  const cutHeight = radius * (1 - Math.cos(turn));

  // one side of the tooth from the cut up to the tip land, on the +x side
  const sideEdges = (side: ToothSide): Edge[] => {
    const edges: Edge[] = [];
    const put = (edge: string, zone: string, curve: Curve) => edges.push({ name: edge, zone, curve });
    const own = radiusOf(side);
    const end = side === drive ? driveEnd : overrunEnd;
    const cut = side === drive ? right : -left;
    const flankX = (y: number) => side.foot - y * Math.tan(side.angle);
    if (land > 0) put(`root land ${side.name} side`, "root", line(cut, 0, end, 0));
    // of the next tooth's fillet, which runs into this side's sharp corner
    if (into !== 0 && own === 0)
      put(besideCorner(side), "root", arc(end, radius, radius, 1.5 * Math.PI + turn, 1.5 * Math.PI));
    // from straight below its centre (or from the cut) the fillet turns, clockwise, until it runs up the flank
    if (own > 0)
      put(
        `root fillet ${side.name} side`,
        "root",
        arc(land > 0 || into !== 0 ? end : cut, own, own, 1.5 * Math.PI - turn, Math.PI + side.angle),
      );
    const start = own * side.setback * Math.cos(side.angle);
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
    plain("cut drive side", "cut", right, -baseThickness, right, cutHeight),
    ...driveEdges,
    plain("tip land", "tip", tip, height, -tip, height),
    ...overrunEdges,
    plain("cut over-run side", "cut", left, cutHeight, left, -baseThickness),
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
    corners: [corner(tooth, loaded, radii), corner(tooth, otherSide(tooth, loaded), radii)],
    contact: band,
    rootThickness: drive.foot + overrun.foot,
    rootRadiusPosition: 0,
    bandMiddle: (band[0] + band[1]) / 2,
    sectors: profile.teeth,
    notes,
  };
}

/** Share of a fillet, along the root line, that the cut leaves beside a sharp corner in which it ends. */
const CUT_INTO = 0.25;

const besideCorner = (side: ToothSide) => `root fillet beside ${side.name} corner`;

/** The band on the flank that the fillet leaves; slivers of flank beside it are closed up. */
function closeBand(
  { profile, chamfer, say }: FaceTooth,
  side: ToothSide,
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
  // a leftover taken in beyond the band is nothing taken from it
  if (low > from + slack || high < to - slack)
    notes.push(
      `contact band trimmed from ${say.range(from, to)} to the flank that is left, ${say.range(low, high)} above the root line${low > from ? MATE_CLEARS : ""}`,
    );
  return [low, high];
}

/** Mirror image in the y axis, still travelled from the image of the start to that of the end. */
function flip(curve: Curve): Curve {
  if (curve.kind === "line") return line(-curve.x0, curve.y0, -curve.x1, curve.y1);
  return { ...curve, cx: -curve.cx, start: Math.PI - curve.start, end: Math.PI - curve.end };
}

function corner(tooth: FaceTooth, side: ToothSide, radii: SideRadii): RootCorner {
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
    largestRadius: largestSideRadius(tooth, side).radius,
    edges:
      radius > 0
        ? [
            `root fillet ${side.name} side`,
            // named by the sharp corner it ends in, where it does
            ...(radii.full && radii.drive * radii.overrun === 0
              ? [besideCorner(otherSide(tooth, side))]
              : []),
          ]
        : [],
  };
}
