import { DesignError, type Fault, type SplineProfile, type UnitChoice } from "../design/index.ts";
import {
  arc,
  type Curve,
  curvePoint,
  type Edge,
  line,
  mirrorCurve,
  reverseCurve,
} from "../geometry/index.ts";
import { type LargestFillet, LEFTOVER, MATE_CLEARS } from "./filletLimits.ts";
import type { ProfileOutline, RootCorner } from "./profileOutline.ts";
import { chooseRootRadius, largestRootRadius, type RootRadius } from "./splineFillet.ts";
import type { FlankFillet, SplineFlank } from "./splineFlank.ts";
import { lengthBetween, type SplineTooth, settleSplineTooth } from "./splineTooth.ts";

/**
 * One sector of a spline as an outline. The tooth is centred on the +x axis; the sector is cut at ± π/N.
 *
 * Root: fillets tangent to flank and root circle, or sharp corners, and the land between. Where an external
 * root lies below the base circle the flank runs on as a radial line (common practice, no source). Tip
 * chamfer: a straight cut with equal legs along flank and tip circle, 45° on a square corner.
 * @throws DesignError with every fault found.
 */
export function splineOutline(profile: SplineProfile, units: UnitChoice): ProfileOutline {
  const faults: Fault[] = [];
  const tooth = settleSplineTooth(profile, faults, units);
  if (!tooth) throw new DesignError(faults);
  const largest = largestRootRadius(tooth);
  const radius = chooseRootRadius(tooth, largest, faults);
  if (faults.length > 0 || radius === null || !tooth.band) throw new DesignError(faults);
  return outlineOf(tooth, tooth.band, radius, largest);
}

/**
 * The largest root radius of a spline, to rounding. One cutter cuts both sides of a space, so both sides have
 * the limit of the loaded one.
 * @throws DesignError where the profile is at fault in something else than its root radius.
 */
export function largestSplineFillet(profile: SplineProfile, units: UnitChoice): LargestFillet {
  const faults: Fault[] = [];
  const tooth = settleSplineTooth(profile, faults, units);
  if (!tooth || faults.length > 0) throw new DesignError(faults);
  return largestRootRadius(tooth);
}

/** Involutes may be shifted; the pitch circle of straight flanks, where their thickness is measured, is one that the teeth cross. */
function oddPitchCircle({ profile, say }: SplineTooth): string[] {
  const { flank, pitchDiameter, tipDiameter, rootDiameter } = profile;
  const [inner, outer] = [Math.min(tipDiameter, rootDiameter), Math.max(tipDiameter, rootDiameter)];
  if (flank.form !== "straight" || (pitchDiameter > 0.99 * inner && pitchDiameter < 1.01 * outer)) return [];
  return [
    `the pitch circle ${say.diameter(pitchDiameter)}, on which the thickness of straight-sided teeth is measured, is not between ${say.diameter(inner)} and ${say.diameter(outer)} where they are: leave module and pitch diameter out to have it halfway`,
  ];
}

function outlineOf(
  tooth: SplineTooth,
  settled: { readonly root: number; readonly tip: number },
  chosen: RootRadius,
  largest: LargestFillet,
): ProfileOutline {
  const { profile, flank, tipward, half, flankEnd, rootPlace, tipPlace, chamfer, say } = tooth;
  const { external } = flank;
  const rootRadius = profile.rootDiameter / 2;
  const tipRadius = profile.tipDiameter / 2;
  const backRadius = profile.backDiameter / 2;
  const { radius } = chosen;
  const fillet: FlankFillet =
    radius > 0
      ? flank.fillet(radius)
      : { centreRadius: rootRadius, centreAngle: flank.halfAngle(rootPlace), touch: rootPlace };
  const notes = [...chosen.notes, ...oddPitchCircle(tooth)];
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
      const end = curvePoint(flankCurves[flankCurves.length - 1]!.curve, 1, new Float64Array(2));
      const bx = tipRadius * Math.cos(tipHalfAngle);
      const by = tipRadius * Math.sin(tipHalfAngle);
      put(`tip chamfer ${name} side`, "tip", line(end[0]!, end[1]!, bx, by));
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
      `the involute ends at the base circle ${say.diameter(2 * flank.baseRadius)}; from there to the root the flank is a radial line (common practice, no source)`,
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
  { flank, tipward, flankEnd, profile, say }: SplineTooth,
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
      `contact band trimmed from ${say.diameter(low)} to ${say.diameter(high)} to the flank that is left, ${say.diameter(now[0])} to ${say.diameter(now[1])}${root === settled.root ? "" : MATE_CLEARS}`,
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

function corner(
  { flank, rootPlace, profile, tipward }: SplineTooth,
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
