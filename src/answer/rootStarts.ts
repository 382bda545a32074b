import type { Mesh } from "../mesh/index.ts";
import { firstPrincipal, type NodalStress } from "../solver/index.ts";
import type { RootStart } from "../strength/index.ts";
import { createSideFrame, inwardNormal, middleNode, readSideFrame, tangentStress } from "./boundaryPeaks.ts";
import type { RootPlace } from "./rootSurfaces.ts";

/** Starts stand this share of the fillet's radius apart: the mean behind a place between two then misses the higher by under 0.5 %. */
const APART = 1 / 8;
/** Or this share of their distance from the peak, the corner or, on the flank, the end of a contact: far from those the stress changes slowly. */
const FAR_APART = 1 / 5;

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
): RootStart[] {
  const { xy, sideElement } = mesh;
  const frame = createSideFrame();
  const local = new Float64Array(9);
  const starts: RootStart[] = [];
  for (let b = 0; b < sideElement.length; b++) {
    const middle = 2 * middleNode(mesh, b);
    const x = xy[middle];
    const y = xy[middle + 1];
    const kind = kindOf(b, x, y);
    if (!kind) continue;
    readSideFrame(mesh, b, frame);
    tangentStress(stress, frame, local);
    if (firstPrincipal(local[6], local[7], local[8]) < least) continue;
    const fromPeak = Math.hypot(x - from.x, y - from.y);
    const away =
      kind === "root" ? fromPeak : Math.min(fromPeak, ...ends.map(([ex, ey]) => Math.hypot(x - ex, y - ey)));
    const near = scaleBeside(beside, x, y);
    const apart = Math.max(
      kind === "root" ? APART * Math.min(from.radius, near) : 0,
      FAR_APART * Math.min(away, near),
    );
    if (starts.some((other) => Math.hypot(other.x - x, other.y - y) < apart)) continue;
    const [dx, dy] = inwardNormal(mesh, { side: b, t: 0.5 });
    const { radius, materialAngle } = from;
    const scale = Math.min(Math.max(radius, away), near);
    starts.push({ x, y, dx, dy, radius: Math.max(radius, away), scale, materialAngle });
  }
  return starts;
}
