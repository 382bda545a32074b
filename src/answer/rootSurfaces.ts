import type { Design } from "../design/index.ts";
import { curvePoint, type Edge } from "../geometry/index.ts";
import type { ProfileOutline, RootCorner } from "../profile/index.ts";
import { edgeOfTooth, type Model } from "./toothLoads.ts";

/** Where a root corner is, and its radius, mm. */
export interface RootPlace {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/** A root corner of one tooth of the model, at its place. */
export interface PlacedCorner extends RootPlace {
  readonly corner: RootCorner;
  /** Its fillet with the root edges that run on from it, up to the flank and to the cut; of a sharp one the root beside it. */
  readonly rootEdges: ReadonlySet<string>;
  /** Those, and the flank above. */
  readonly surfaces: ReadonlySet<string>;
  /** Where the contact on its tooth begins and ends. */
  readonly contactEnds: readonly (readonly [number, number])[];
  readonly bisectorX: number;
  readonly bisectorY: number;
}

/** A place beside which no peak is taken, and the distance that is left out, mm. */
export interface SingularPlace {
  readonly x: number;
  readonly y: number;
  readonly within: number;
  /** What makes it one: the stress at a sharp corner outdoes every mean beside it, at the end of a rubbing contact it grows but slowly. */
  readonly of: "corner" | "contact";
}

/** Of a fillet's radius, how much is left out at most beside the end of a contact with friction. */
const LEFT_OUT = 0.25;

/** Beside that end the stress changes over the distance from it, down to this share of what is left out. */
const LEAST_SCALE = 0.25;

/**
 * Every root corner of every tooth of the model, turned or shifted to its place, the places of all, and those beside which no peak is
 * taken: both with those of a sector's neighbours, which may stand close behind the cut. `rubbing` are the ends of contacts with friction, each
 * with the least distance over which the stress changes there in place of a radius.
 */
export function rootSurfaces(
  design: Design,
  built: ProfileOutline,
  model: Model,
): { all: PlacedCorner[]; singular: SingularPlace[]; places: RootPlace[]; rubbing: RootPlace[] } {
  const distance = design.averagingDistance;
  const ends = contactEnds(built);
  const radii = built.corners.map(({ radius }) => radius).filter((radius) => radius > 0);
  const beside = Math.min(distance, LEFT_OUT * Math.min(...radii));
  const pitch =
    design.profile.kind === "face tooth" ? (Math.PI * design.profile.meanDiameter) / design.profile.teeth : 0;
  const sides = built.corners.map((corner) => ({ corner, ...surfacesOf(built, corner) }));
  const closed = pitch === 0 && model.copies === built.sectors;
  const all: PlacedCorner[] = [];
  const singular: SingularPlace[] = [];
  const places: RootPlace[] = [];
  for (let k = -1; k <= model.copies; k++) {
    const angle = pitch > 0 ? 0 : (2 * Math.PI * k) / built.sectors;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const toPlace = (x: number, y: number): [number, number] => [c * x - s * y + pitch * k, s * x + c * y];
    const leaveOut = (of: SingularPlace["of"], at: readonly [number, number], within: number) => {
      const [x, y] = toPlace(...at);
      singular.push({ x, y, within, of });
    };
    if (design.load.friction !== 0) for (const end of ends) leaveOut("contact", end, beside);
    for (const { corner, root, flank } of sides) {
      if (corner.radius === 0) leaveOut("corner", [corner.x, corner.y], distance);
      const outside = k < 0 || k === model.copies;
      // what lies beyond the first and last tooth of a closed ring are the last and the first
      if (outside && closed) continue;
      const [x, y] = toPlace(corner.x, corner.y);
      places.push({ x, y, radius: corner.radius });
      if (outside) continue;
      const rootEdges = root.map((name) => edgeOfTooth(model, name, k));
      all.push({
        corner,
        radius: corner.radius,
        rootEdges: new Set(rootEdges),
        surfaces: new Set([...rootEdges, ...flank.map((name) => edgeOfTooth(model, name, k))]),
        contactEnds: ends.map((end) => toPlace(...end)),
        x,
        y,
        bisectorX: c * corner.bisectorX - s * corner.bisectorY,
        bisectorY: s * corner.bisectorX + c * corner.bisectorY,
      });
    }
  }
  const rubbing = singular
    .filter((place) => place.of === "contact")
    .map(({ x, y, within }) => ({ x, y, radius: LEAST_SCALE * within }));
  return { all, singular, places, rubbing };
}

/** Where the contact begins or ends on the part's first tooth. */
function contactEnds(built: ProfileOutline): [number, number][] {
  const inContact = (name: string) => built.contactEdges.includes(name);
  return built.outline.loops.flatMap((loop) =>
    loop.flatMap(({ name, curve }, k) => {
      const before = loop[(k + loop.length - 1) % loop.length].name;
      return inContact(name) !== inContact(before) ? [curvePoint<[number, number]>(curve, 0, [0, 0])] : [];
    }),
  );
}

/** Names of the root edges that hang together with a corner, and of the flank edges that go on from them. */
function surfacesOf(built: ProfileOutline, corner: RootCorner): { root: string[]; flank: string[] } {
  const root = new Set<string>();
  const flank = new Set<string>();
  for (const loop of built.outline.loops) {
    const edge = (k: number) => loop[((k % loop.length) + loop.length) % loop.length];
    // from an edge of the corner (of a sharp one, one that meets in it) along the root, and on along the flank
    const walk = (from: number, step: 1 | -1) => {
      let k = from;
      const most = from + step * loop.length;
      for (; k !== most && edge(k).zone === "root"; k += step) root.add(edge(k).name);
      for (; k !== most && edge(k).zone === "flank"; k += step) flank.add(edge(k).name);
    };
    loop.forEach((one, k) => {
      if (corner.radius > 0 ? !corner.edges.includes(one.name) : !startsAt(one, corner)) return;
      walk(k, 1);
      walk(corner.radius > 0 ? k : k - 1, -1);
    });
  }
  return { root: [...root], flank: [...flank] };
}

function startsAt({ curve }: Edge, { x, y }: RootCorner): boolean {
  const at = curvePoint<[number, number]>(curve, 0, [0, 0]);
  return Math.hypot(at[0] - x, at[1] - y) < 1e-9 * (1 + Math.hypot(x, y));
}
