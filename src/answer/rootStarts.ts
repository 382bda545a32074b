import type { Mesh } from "../mesh/index.ts";
import type { RootCorner } from "../profile/index.ts";
import { firstPrincipal, type NodalStress } from "../solver/index.ts";
import type { RootStart } from "../strength/index.ts";
import { createSideFrame, inwardNormal, readSideFrame, tangentStress } from "./boundaryPeaks.ts";
import type { PlacedStress } from "./result.ts";

/** A place with less than this share of the root's peak tension begins no path that another does not outdo. */
const LEAST_SHARE = 0.1;

/** Starts stand this share of the fillet's radius apart: the mean behind a place between two then misses the higher by under 0.5 %. */
const APART = 1 / 8;
/** Or this share of their distance from the peak, where that is more: far from a small fillet the stress changes slowly. */
const FAR_APART = 1 / 5;

/**
 * Places along a rounded root, beside that of its peak, behind which the stress may be higher a little below the surface: a peak at
 * the end of the contact is steep, and a flatter hump down the fillet outlasts it. Each with the inward normal.
 */
export function rootStarts(
  mesh: Mesh,
  stress: NodalStress,
  { radius, materialAngle }: Pick<RootCorner, "radius" | "materialAngle">,
  { stress: peak, x: peakX, y: peakY }: PlacedStress,
  wanted: (side: number, x: number, y: number) => boolean,
): RootStart[] {
  const { xy, sideElement } = mesh;
  const frame = createSideFrame();
  const local = new Float64Array(9);
  const starts: RootStart[] = [];
  for (let b = 0; b < sideElement.length; b++) {
    readSideFrame(mesh, b, frame);
    const middle = 2 * frame.nodes[2];
    const x = xy[middle];
    const y = xy[middle + 1];
    if (!wanted(b, x, y)) continue;
    tangentStress(stress, frame, local);
    if (firstPrincipal(local[6], local[7], local[8]) < LEAST_SHARE * peak) continue;
    const apart = Math.max(APART * radius, FAR_APART * Math.hypot(x - peakX, y - peakY));
    if (starts.some((other) => Math.hypot(other.x - x, other.y - y) < apart)) continue;
    const [dx, dy] = inwardNormal(mesh, { side: b, t: 0.5 });
    starts.push({ x, y, dx, dy, radius, materialAngle });
  }
  return starts;
}
