import type { PathStart } from "../strength/index.ts";
import { FEW_HALVINGS, pathAverage, pathPoints, type StressAt } from "./pathAverage.ts";

/** Directions off the given one that are looked at, either way, and between them, rad. */
const MOST_OFF = Math.PI / 3;
const STEP_OFF = Math.PI / 60;

/**
 * The direction from a place in which a path is opened most over `distance`, and how far that is off the given one, rad: where
 * nothing but bending opens it that is next to 0; where it is sheared as well the path that a crack would take is another.
 */
export function openedMost(
  { x, y, dx, dy }: PathStart,
  distance: number,
  at: StressAt,
): { readonly off: number; readonly dx: number; readonly dy: number } {
  const turned = (off: number): [number, number] => [
    Math.cos(off) * dx - Math.sin(off) * dy,
    Math.sin(off) * dx + Math.cos(off) * dy,
  ];
  // few points: what they lose next to a sharp corner they lose in all directions alike
  const openingAt = (off: number): number => {
    const [ox, oy] = turned(off);
    return pathAverage(at, pathPoints(x, y, ox, oy, distance, FEW_HALVINGS))?.opening ?? 0;
  };
  let worst = 0;
  let most = Math.max(0, openingAt(0));
  for (let off = -MOST_OFF; off < MOST_OFF + STEP_OFF / 2; off += STEP_OFF) {
    const opening = openingAt(off);
    if (opening <= most) continue;
    worst = off;
    most = opening;
  }
  const [ox, oy] = turned(worst);
  return { off: worst, dx: ox, dy: oy };
}
