import type { Outline } from "../../geometry/index.ts";
import type { PlaceSampler } from "./openingPath.ts";

/**
 * Stress at a place of a repeating sector or of its neighbours, which are its images under the tie. Places come in sequence, so
 * the frame in which the last one was found is tried first. Not re-entrant.
 */
export function repeatedSampler({ ties = [] }: Outline, at: PlaceSampler): PlaceSampler {
  const frames: { readonly c: number; readonly s: number; readonly dx: number; readonly dy: number }[] = [
    { c: 1, s: 0, dx: 0, dy: 0 },
  ];
  for (const { motion } of ties) {
    const c = Math.cos(motion.angle);
    const s = Math.sin(motion.angle);
    const { dx, dy } = motion;
    frames.push({ c, s, dx, dy }, { c, s: -s, dx: -(c * dx + s * dy), dy: s * dx - c * dy });
  }
  let last = 0;
  const moved = new Float64Array(2);
  return (place, out) => {
    const x = place[0];
    const y = place[1];
    for (let k = 0; k < frames.length; k++) {
      const f = k === 0 ? last : k <= last ? k - 1 : k;
      // the place as its neighbour's own frame has it, and its stress turned back
      const { c, s, dx, dy } = frames[f];
      moved[0] = c * x - s * y + dx;
      moved[1] = s * x + c * y + dy;
      if (!at(moved, out)) continue;
      last = f;
      if (f === 0) return true;
      const xx = out[0];
      const yy = out[1];
      const xy = out[2];
      out[0] = c * c * xx + s * s * yy + 2 * s * c * xy;
      out[1] = s * s * xx + c * c * yy - 2 * s * c * xy;
      out[2] = s * c * (yy - xx) + (c * c - s * s) * xy;
      return true;
    }
    return false;
  };
}
