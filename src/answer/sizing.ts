import type { Design } from "../design/index.ts";
import type { Edge } from "../geometry/index.ts";
import { outlineSize, type SizeField } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { freeSides } from "./cornerOpening.ts";

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

/** Element sides along 45° of root fillet in the first mesh: the fewest with which the recovery's full polynomials fit there. */
const SIDES_PER_EIGHTH = 4;
/** Element sides along a contact band in the first mesh. */
const SIDES_PER_BAND = 6;
/** Sharp corner whose mean is read on arcs about it: first element over the averaging distance. */
const CORNER_FRACTION = 1 / 30;
/** Sharp corner whose mean is read on the path from its point: the same. The mean loses some 0.3 √fraction of itself there. */
const PATH_FRACTION = 1 / 5000;
const PATH_LOSS = 0.3;

/** First element at the sharp corners of a design over its averaging distance. */
export function cornerFraction(design: Design, built: ProfileOutline): number {
  const onArcs = built.corners.every(
    (corner) => corner.radius > 0 || freeSides(built, corner, design.averagingDistance).length > 0,
  );
  return onArcs ? CORNER_FRACTION : Math.min(PATH_FRACTION, (design.accuracy / 2 / PATH_LOSS) ** 2);
}

/**
 * Part of a mean over the path from a sharp corner that the elements at its point lose. The stress there is r^(λ−1) with λ > ½
 * (M. L. Williams, J. Appl. Mech. 19, 526, 1952, from memory), of whose mean the first `fraction` of the path holds fraction^λ;
 * a third of that was lost on demo profiles with λ from 0.55 to 0.7.
 */
export function pathLoss(fraction: number): number {
  return PATH_LOSS * Math.sqrt(fraction);
}

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
  const atCorner = design.averagingDistance * cornerFraction(design, built) * fineness;
  for (const corner of built.corners) {
    if (corner.radius === 0) {
      sources.push({ x: corner.x, y: corner.y, size: atCorner });
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

/** The same as a field over the sector. */
export function sizeField(design: Design, built: ProfileOutline, fineness: number): SizeField {
  const { base, edgeSize, sources, sidesPerEighth } = sizing(design, built, fineness);
  return outlineSize(built.outline, { base, edgeSize, sources, concaveSides: sidesPerEighth, least: 0 });
}
