import { type CornerIntensity, cornerMeanOpening, cornerOpening } from "./cornerIntensity.ts";
import { type OpeningPath, pathLength, readColumn, readPath, stretchAt, withinFirst } from "./openingPath.ts";

/** 1 MPa√m in MPa√mm. */
export const ROOT_METRE = Math.sqrt(1000);

/**
 * L = (1/π) (K / σ0)², mm, of a toughness K in MPa√mm and the inherent strength σ0 in MPa (D. Taylor, The Theory of
 * Critical Distances, Elsevier 2007).
 */
export function criticalDistance(toughness: number, inherentStrength: number): number {
  if (!(toughness > 0 && inherentStrength > 0))
    throw new Error(
      `criticalDistance: K = ${toughness} MPa√mm and σ0 = ${inherentStrength} MPa must be positive`,
    );
  return (toughness / inherentStrength) ** 2 / Math.PI;
}

/** Straight paths from one root point, and, where it is sharp, the field at its tip. */
export interface RootPaths {
  readonly paths: readonly OpeningPath[];
  readonly corner: CornerIntensity | null;
  /** Those from other places of the roots that may be worse at some depth. */
  readonly others?: readonly RootPaths[];
}

/** The worst of some paths. */
export interface PathStress {
  /** Opening stress by the criterion, in the unit of the paths. */
  readonly stress: number;
  /** Angle of the path that has it, rad. */
  readonly angle: number;
  /** True when the distance asked for is more than that path is long; see `ShortPaths`. */
  readonly beyond: boolean;
}

export interface WorstPath extends PathStress {
  /** True when the path is of one of the other places. */
  readonly elsewhere: boolean;
}

/**
 * What a path counts that is shorter than the distance asked for. "whole": the value at its end, or over all of it. "fading": that times
 * √(its length over the distance), so that the torque grows from there on as the toughness does, which is what that of a crack would
 * do: nothing steps where a wall becomes too thin, or a steel too tough, for the distance.
 */
export type ShortPaths = "whole" | "fading";

/** Point criterion: the largest opening stress at L/2 from the root over all paths. */
export function pointStress(root: RootPaths, L: number, short: ShortPaths = "whole"): WorstPath {
  return worst(root, L / 2, "opening", short);
}

/** Line criterion: the largest mean opening stress over 0 … 2L over all paths. */
export function lineStress(root: RootPaths, L: number, short: ShortPaths = "whole"): WorstPath {
  return worst(root, 2 * L, "mean", short);
}

/** Over all places. */
function worst(root: RootPaths, r: number, column: "opening" | "mean", short: ShortPaths): WorstPath {
  let most: WorstPath = { ...worstFrom(root, r, column, short), elsewhere: false };
  for (const other of root.others ?? []) {
    const found = worstFrom(other, r, column, short);
    if (found.stress > most.stress) most = { ...found, elsewhere: true };
  }
  return most;
}

function worstFrom(
  { paths, corner }: RootPaths,
  r: number,
  column: "opening" | "mean",
  short: ShortPaths,
): PathStress {
  if (!(r >= 0)) throw new Error(`critical distance: ${r} mm`);
  if (paths.length === 0) throw new Error("critical distance: the root has no paths");
  // at the tip itself the stress is unbounded, whatever the angle
  if (corner && r === 0) return { stress: Number.POSITIVE_INFINITY, angle: 0, beyond: false };
  const tip = corner && (column === "mean" ? cornerMeanOpening(corner) : cornerOpening(corner));
  // all paths begin at the same distance
  if (tip === null || r >= paths[0].distances[0]) {
    const path = paths[mostRead(paths, r, column, short)];
    const stress = shareOf(path, r, short) * readPath(path, path[column], r);
    return { stress, angle: path.angle, beyond: r > pathLength(path) };
  }
  let most: PathStress = { stress: -Infinity, angle: paths[0].angle, beyond: false };
  for (const path of paths) {
    const { angle } = path;
    const stress = withinFirst(path, path[column], (distance) => tip(distance, angle), r);
    if (stress > most.stress) most = { stress, angle, beyond: false };
  }
  return most;
}

const shareOf = (path: OpeningPath, r: number, short: ShortPaths): number =>
  short === "whole" ? 1 : Math.sqrt(Math.min(1, pathLength(path) / r));

/** Index of the path with the largest value of a column at distance r. */
function mostRead(
  paths: readonly OpeningPath[],
  r: number,
  column: "opening" | "mean",
  short: ShortPaths,
): number {
  let most = -Infinity;
  let at = 0;
  let stretch = 0; // paths are read at the same distances, as far as each goes
  for (let k = 0; k < paths.length; k++) {
    const { distances, [column]: values } = paths[k];
    stretch = stretchAt(distances, r, stretch);
    const value = shareOf(paths[k], r, short) * readColumn(distances, values, stretch, r);
    if (value > most) {
      most = value;
      at = k;
    }
  }
  return at;
}
