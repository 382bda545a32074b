import type { Polyline } from "./bands.ts";

/**
 * Fewest points, picked from the line's own, that stay within `tolerance` of it (Douglas and Peucker 1973).
 * Ends of an open line are kept; a closed one is held at its first point and at the point farthest from it.
 */
export function simplifyLine(line: Polyline, tolerance: number): Polyline {
  const { points, closed } = line;
  const count = points.length / 2;
  if (count <= 2) return line;
  const keep = new Uint8Array(count + 1);
  // a closed line is treated as one that ends where it starts, index `count` standing for index 0
  const last = closed ? count : count - 1;
  keep[0] = 1;
  keep[last] = 1;
  const stack: number[] = [];
  if (closed) {
    let far = 0;
    let best = -1;
    for (let k = 1; k < count; k++) {
      const d = Math.hypot(points[2 * k]! - points[0]!, points[2 * k + 1]! - points[1]!);
      if (d > best) {
        best = d;
        far = k;
      }
    }
    keep[far] = 1;
    stack.push(0, far, far, last);
  } else {
    stack.push(0, last);
  }
  while (stack.length > 0) {
    const b = stack.pop()!;
    const a = stack.pop()!;
    const ax = points[2 * a]!;
    const ay = points[2 * a + 1]!;
    const bx = points[2 * (b % count)]!;
    const by = points[2 * (b % count) + 1]!;
    const length = Math.hypot(bx - ax, by - ay);
    let worst = tolerance;
    let at = -1;
    for (let k = a + 1; k < b; k++) {
      const d = distanceToSegment(points[2 * k]!, points[2 * k + 1]!, ax, ay, bx, by, length);
      if (d > worst) {
        worst = d;
        at = k;
      }
    }
    if (at < 0) continue;
    keep[at] = 1;
    stack.push(a, at, at, b);
  }
  const kept: number[] = [];
  for (let k = 0; k < count; k++) if (keep[k]) kept.push(points[2 * k]!, points[2 * k + 1]!);
  return { points: Float64Array.from(kept), closed };
}

function distanceToSegment(
  x: number,
  y: number,
  ax: number,
  ay: number,
  bx: number,
  by: number,
  length: number,
): number {
  if (length === 0) return Math.hypot(x - ax, y - ay);
  const u = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / (length * length);
  const c = Math.min(1, Math.max(0, u));
  return Math.hypot(x - ax - c * (bx - ax), y - ay - c * (by - ay));
}
