import type { Design } from "../design/index.ts";
import type { Edge } from "../geometry/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** A point round which elements must be small: a sharp corner, or the end of a contact band. */
export interface SizeSource {
  readonly x: number;
  readonly y: number;
  /** Element side length wanted at the point, mm. */
  readonly size: number;
}

/** What the first mesh of a variant is made from; later passes scale it by `fineness`. */
export interface Sizing {
  /** Element side length far from anything, mm. */
  readonly base: number;
  /** Element sides along each 45° of a fillet. */
  readonly sidesPerEighth: number;
  readonly edgeSize: (edge: Edge) => number | undefined;
  readonly sources: readonly SizeSource[];
}

/** Element sides along 45° of root fillet in the first mesh. */
const SIDES_PER_EIGHTH = 3;
/** Element sides along a contact band in the first mesh. */
const SIDES_PER_BAND = 6;
/** Sharp corner: first element over the averaging distance; the average is then within 0.1 % of its limit. */
const CORNER_FRACTION = 1 / 5000;

/**
 * Wanted element sizes of a variant. The root decides the answer and gets the small elements; the sharp
 * corner gets them shrinking towards its point, so that its averaged stress is resolved; the rest only has to carry the load there.
 */
export function sizing(design: Design, built: ProfileOutline, fineness: number): Sizing {
  const { profile } = design;
  const toothHeight =
    profile.kind === "face tooth" ? profile.height : Math.abs(profile.tipDiameter - profile.rootDiameter) / 2;
  const behind =
    profile.kind === "face tooth"
      ? profile.baseThickness
      : Math.abs(profile.backDiameter - profile.rootDiameter) / 2;
  const near = (toothHeight / 2.5) * fineness;
  const base = Math.max(near, (behind / 4) * fineness);
  const band =
    profile.kind === "face tooth"
      ? built.contact[1] - built.contact[0]
      : (built.contact[1] - built.contact[0]) / 2;
  const contact = new Set(built.contactEdges);
  const sources: SizeSource[] = [];
  for (const corner of built.corners) {
    if (corner.radius === 0) {
      sources.push({ x: corner.x, y: corner.y, size: design.averagingDistance * CORNER_FRACTION * fineness });
    }
  }
  const edgeSize = (edge: Edge): number | undefined => {
    if (contact.has(edge.name)) return Math.min(near, (band / SIDES_PER_BAND) * fineness);
    if (edge.zone === "root") return (toothHeight / 6) * fineness;
    if (edge.zone === "flank" || edge.zone === "tip") return near;
    return undefined;
  };
  return { base, sidesPerEighth: SIDES_PER_EIGHTH / fineness, edgeSize, sources };
}
