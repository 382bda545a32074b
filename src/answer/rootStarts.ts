import type { Mesh } from "../mesh/index.ts";
import { firstPrincipal, type NodalStress } from "../solver/index.ts";
import type { RootStart } from "../strength/index.ts";
import {
  type BoundarySpot,
  createSideFrame,
  inwardNormal,
  middleNode,
  readSideFrame,
  sideShares,
  sideStress,
  spotPlace,
  tangentStress,
} from "./boundaryPeaks.ts";
import type { RootPlace } from "./rootSurfaces.ts";

/** Starts stand this share of the fillet's radius apart: the mean behind a place between two then misses the higher by under 0.5 %. */
const APART = 1 / 8;
/** Or this share of their distance from the peak, the corner or, on the flank, the end of a contact: far from those the stress changes slowly. */
const FAR_APART = 1 / 5;

const isAt = ([x, y]: readonly [number, number], [ex, ey]: readonly [number, number]): boolean =>
  Math.hypot(x - ex, y - ey) < 1e-9 * (1 + Math.hypot(ex, ey));

/** Where on an element's side a start may be: its middle, and more on a flank, whose sides are large where the stress has humps still. */
const SPOTS = { root: [0.5], flank: [1 / 6, 0.5, 5 / 6] } as const;

/** A start, and where on the boundary it is. */
export interface SpottedStart extends RootStart {
  readonly spot: BoundarySpot;
}

/** Distance over which other corners let the stress change at a place: the radius of the nearest, or the distance from it. */
export function scaleBeside(beside: readonly RootPlace[], x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (const other of beside)
    least = Math.min(least, Math.max(other.radius, Math.hypot(x - other.x, y - other.y)));
  return least;
}

/**
 * Places along the surfaces at a root, beside that of its peak or its corner, behind which the stress may be higher a little below the
 * surface: a peak at the end of the contact is steep, and a flatter hump down the fillet outlasts it; a thin base bends most under the
 * root land, a tall tooth above a small fillet. Each with the inward normal, and for a radius its distance from those where that is
 * more: below it the stress changes as slowly.
 *
 * @param from the root's radius, the angle of material, and the place of the peak or corner. @param beside other corners: near a small
 * fillet the stress changes within that one's radius. @param ends of contacts. @param least where less tension than this stands at the
 * surface, MPa, no path begins.
 */
export function rootStarts(
  mesh: Mesh,
  stress: NodalStress,
  from: Pick<RootStart, "x" | "y" | "radius" | "materialAngle">,
  beside: readonly RootPlace[],
  ends: readonly (readonly [number, number])[],
  least: number,
  kindOf: (side: number, x: number, y: number) => "root" | "flank" | null,
): SpottedStart[] {
  const { xy, sideElement } = mesh;
  const frame = createSideFrame();
  const local = new Float64Array(9);
  const n = new Float64Array(3);
  const starts: SpottedStart[] = [];
  const tension = (t: number): number => {
    sideShares(t, n);
    return firstPrincipal(sideStress(local, n, 0), sideStress(local, n, 1), sideStress(local, n, 2));
  };
  const startAt = (kind: "root" | "flank", spot: BoundarySpot): void => {
    const [x, y] = spotPlace(mesh, spot);
    const fromPeak = Math.hypot(x - from.x, y - from.y);
    const away =
      kind === "root" ? fromPeak : Math.min(fromPeak, ...ends.map(([ex, ey]) => Math.hypot(x - ex, y - ey)));
    const near = scaleBeside(beside, x, y);
    const apart = Math.max(
      kind === "root" ? APART * Math.min(from.radius, near) : 0,
      FAR_APART * Math.min(away, near),
    );
    if (starts.some((other) => Math.hypot(other.x - x, other.y - y) < apart)) return;
    const [dx, dy] = inwardNormal(mesh, spot);
    const { radius, materialAngle } = from;
    const scale = Math.min(Math.max(radius, away), near);
    starts.push({ x, y, dx, dy, radius: Math.max(radius, away), scale, materialAngle, spot });
  };
  const along = (spotsOf: (kind: "root" | "flank", side: number) => readonly number[]): void => {
    for (let side = 0; side < sideElement.length; side++) {
      const middle = 2 * middleNode(mesh, side);
      const kind = kindOf(side, xy[middle], xy[middle + 1]);
      if (!kind) continue;
      const spots = spotsOf(kind, side);
      if (spots.length === 0) continue;
      readSideFrame(mesh, side, frame);
      tangentStress(stress, frame, local);
      for (const t of spots) if (tension(t) >= least) startAt(kind, { side, t });
    }
  };
  // the end of a contact first: chance has no say in how near to it a start stands
  along((_, side) => [0, 1].filter((t) => ends.some((end) => isAt(spotPlace(mesh, { side, t }), end))));
  along((kind) => SPOTS[kind]);
  return starts;
}
