import type { Design } from "../design/index.ts";
import { type Curve, curvePoint, curveTangent, outlineEdges } from "../geometry/index.ts";
import { halve } from "../numerics/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** A point in the tooth's own axes, mm: `s` across the tooth, positive on the loaded side; `y` along it, from the root line to the tip. */
export interface ToothPoint {
  readonly s: number;
  readonly y: number;
}

/**
 * The most loaded tooth as a hand formula sees it: its outline in its own axes, and the load as one force that acts at the
 * middle of the contact band. A spline's root circle meets the tooth's middle at y = 0; a face tooth's root line is y = 0.
 */
export interface LoadedTooth {
  /** The loaded side's fillet from flank (u = 0) to root (u = 1); null where the root is sharp. */
  readonly fillet: ((u: number) => ToothPoint & FilletAngle) | null;
  /** Where flank and root line would meet without a fillet, on the loaded side and on the other. */
  readonly corner: ToothPoint;
  readonly otherCorner: ToothPoint;
  /** Fillet radius, mm; 0 = sharp. */
  readonly radius: number;
  /** Angle of the loaded flank at its root end from the tooth's middle line, rad; positive where the tooth grows towards its root. */
  readonly flankAngle: number;
  /** Material on the other side of the middle line at height y, mm; null above or below the outline. */
  otherSide(y: number): number | null;
  /** Middle of the contact band on the flank, and its end nearer to the root. */
  readonly at: ToothPoint;
  readonly bandFoot: ToothPoint;
  /** Force across the tooth, N, and along it towards the root (negative: away from it). */
  readonly across: number;
  readonly rootward: number;
  /** Angle of the load from square across the tooth, rad: atan(rootward / across). */
  readonly angle: number;
  /** Height at which the load's line passes `s`, mm. */
  lineHeight(s: number): number;
}

interface FilletAngle {
  /** Angle of the surface from the tooth's middle line, rad: the flank's at one end, about 90° at the other. */
  readonly tilt: number;
}

/**
 * Reads the tooth off the outline. The force is that of a pressure (with friction, if any) at the middle of the contact band,
 * sized so that it gives the tooth its torque; the engine spreads the same torque over the whole band.
 * @param perTooth torque of the tooth, N·mm.
 */
export function loadedTooth({ profile, load }: Design, built: ProfileOutline, perTooth: number): LoadedTooth {
  const R = built.rootRadiusPosition;
  const face = profile.kind === "face tooth";
  const mirror = face && profile.loadedFlank === "over-run" ? -1 : 1;
  // rows of the map from the model's axes: s = sx x + sy y, height = hx x + hy y + h0
  const [sx, sy, hx, hy, h0] = face
    ? [mirror, 0, 0, 1, 0]
    : profile.kind === "external spline"
      ? [0, -1, 1, 0, -R]
      : [0, -1, -1, 0, R];
  const place = (x: number, y: number): ToothPoint => ({ s: sx * x + sy * y, y: hx * x + hy * y + h0 });
  const turn = (x: number, y: number): ToothPoint => ({ s: sx * x + sy * y, y: hx * x + hy * y });
  const pair: [number, number] = [0, 0];
  const pointOf = (curve: Curve, u: number) => {
    const [x, y] = curvePoint(curve, u, pair);
    return place(x, y);
  };
  const tangentOf = (curve: Curve, u: number) => {
    const [x, y] = curveTangent(curve, u, pair);
    return turn(x, y);
  };

  const edges = outlineEdges(built.outline);
  const loaded = built.corners.find(({ side }) => side === "loaded")!;
  const filletEdge = edges.find(({ name }) => name === loaded.edges[0]);
  const unloaded = built.corners.find(({ side }) => side === "unloaded")!;

  const other = edges
    .filter(({ zone, curve }) => (zone === "root" || zone === "flank") && pointOf(curve, 0.5).s < 0)
    .map(({ curve }) => curve);
  const contact = edges.find(({ name }) => built.contactEdges.includes(name))!.curve;

  const heightOf = (x: number, y: number) => (face ? y : Math.hypot(x, y));
  const middle = crossing((u) => {
    const [x, y] = curvePoint(contact, u, pair);
    return heightOf(x, y) - built.bandMiddle;
  });
  const at = pointOf(contact, middle);
  const [tx, ty] = curveTangent(contact, middle, [0, 0]);
  // the material lies on the left of the direction of travel, and pressure pushes into it
  const push = turn(-ty, tx);
  const along = turn(tx, ty);
  const tipward = along.y >= 0 ? 1 : -1;
  const fs = push.s + load.friction * tipward * along.s;
  const fy = push.y + load.friction * tipward * along.y;
  const [cx, cy] = curvePoint(contact, middle, [0, 0]);
  const lever = face
    ? (-fs * profile.meanDiameter) / 2
    : momentOf(cx, cy, ...back(fs, fy, profile.kind === "external spline"));
  const size = perTooth / lever;

  const flank = edges.find(
    ({ zone, curve }) => zone === "flank" && touches(curve, filletEdge?.curve, loaded),
  );
  const flankTangent = flank ? tangentOf(flank.curve, nearerEnd(flank.curve, loaded)) : tangentOf(contact, 0);
  return {
    fillet: filletEdge ? filletFrom(filletEdge.curve, pointOf, tangentOf) : null,
    corner: place(loaded.x, loaded.y),
    otherCorner: place(unloaded.x, unloaded.y),
    radius: loaded.radius,
    flankAngle: tiltOf(flankTangent),
    otherSide: (y) => widthAt(other, pointOf, y),
    at,
    bandFoot: [pointOf(contact, 0), pointOf(contact, 1)].reduce((a, b) => (b.y < a.y ? b : a)),
    across: -fs * size,
    rootward: -fy * size,
    angle: Math.atan2(-fy, -fs),
    lineHeight: (s) => at.y + ((s - at.s) * fy) / fs,
  };
}

/** A direction of the tooth's axes in the model's. */
function back(s: number, y: number, external: boolean): [number, number] {
  return [external ? y : -y, -s];
}

function momentOf(x: number, y: number, fx: number, fy: number): number {
  return x * fy - y * fx;
}

/** Angle of a surface's direction from the middle line, going down towards the root and out of the tooth. */
function tiltOf({ s, y }: ToothPoint): number {
  // travelled upwards the same surface is the same line
  return y > 0 ? Math.atan2(-s, y) : Math.atan2(s, -y);
}

function filletFrom(
  curve: Curve,
  pointOf: (c: Curve, u: number) => ToothPoint,
  tangentOf: (c: Curve, u: number) => ToothPoint,
): (u: number) => ToothPoint & FilletAngle {
  // the flank's end is the higher one
  const down = pointOf(curve, 0).y > pointOf(curve, 1).y;
  return (u) => {
    const v = down ? u : 1 - u;
    const t = tangentOf(curve, v);
    const way = down ? 1 : -1;
    return { ...pointOf(curve, v), tilt: Math.atan2(way * t.s, -way * t.y) };
  };
}

/** Does a flank's curve end where the fillet does (or, without one, at the corner)? */
function touches(flank: Curve, fillet: Curve | undefined, corner: { x: number; y: number }): boolean {
  const ends = [curvePoint(flank, 0, [0, 0]), curvePoint(flank, 1, [0, 0])];
  const wanted = fillet
    ? [curvePoint(fillet, 0, [0, 0]), curvePoint(fillet, 1, [0, 0])]
    : [[corner.x, corner.y] as [number, number]];
  return ends.some(([ax, ay]) => wanted.some(([bx, by]) => Math.hypot(ax! - bx!, ay! - by!) < 1e-7));
}

function nearerEnd(curve: Curve, { x, y }: { x: number; y: number }): 0 | 1 {
  const [ax, ay] = curvePoint(curve, 0, [0, 0]);
  const [bx, by] = curvePoint(curve, 1, [0, 0]);
  return Math.hypot(ax - x, ay - y) <= Math.hypot(bx - x, by - y) ? 0 : 1;
}

/** Distance of the outline's other side from the middle line at height y. */
function widthAt(
  curves: readonly Curve[],
  pointOf: (c: Curve, u: number) => ToothPoint,
  y: number,
): number | null {
  for (const curve of curves) {
    const from = pointOf(curve, 0).y - y;
    const to = pointOf(curve, 1).y - y;
    if (from * to > 0) continue;
    // a level root land has no one point at its height
    if (from === to) continue;
    return -pointOf(
      curve,
      crossing((u) => pointOf(curve, u).y - y),
    ).s;
  }
  return null;
}

/** u in 0 … 1 where a monotonic function passes zero, to rounding; the nearer end where it does not. */
function crossing(of: (u: number) => number): number {
  const rising = of(1) >= of(0);
  const [before, beyond] = halve((u) => of(u) < 0 === rising, 0, 1, 60);
  return (before + beyond) / 2;
}
