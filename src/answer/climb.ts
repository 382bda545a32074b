import type { Mesh } from "../mesh/index.ts";
import { type BoundarySpot, sideNodes } from "./boundaryPeaks.ts";

/** First step along the boundary and the last, in element sides: what a hump is missed by between two places is next to nothing then. */
const FIRST_STEP = 0.5;
const LAST_STEP = 0.06;

/**
 * The spot nearby along the boundary at which `value` is highest, so that it is no matter where the mesh has its nodes: steps either way,
 * each half as long where neither gains. `value` is null where the boundary is not looked at.
 */
export function climb(
  mesh: Mesh,
  from: BoundarySpot,
  value: (spot: BoundarySpot) => number | null,
): BoundarySpot {
  const first = value(from);
  if (first === null) return from;
  let best = { spot: from, value: first };
  for (let step = FIRST_STEP; step >= LAST_STEP; ) {
    const before = best;
    for (const by of [step, -step]) {
      const spot = moved(mesh, before.spot, by);
      const found = spot && value(spot);
      if (found !== null && found > best.value) best = { spot: spot!, value: found };
    }
    if (best === before) step /= 2;
  }
  return best.spot;
}

/** A spot moved along by a share of a side, over the end onto the next one; null where none goes on from there. */
function moved(mesh: Mesh, { side, t }: BoundarySpot, by: number): BoundarySpot | null {
  const to = t + by;
  if (to >= 0 && to <= 1) return { side, t: to };
  const ahead = to > 1;
  const [start, end] = sideNodes(mesh, side);
  for (let other = 0; other < mesh.sideElement.length; other++) {
    const [itsStart, itsEnd] = sideNodes(mesh, other);
    if (ahead ? itsStart === end : itsEnd === start) return { side: other, t: ahead ? to - 1 : to + 1 };
  }
  return null;
}
