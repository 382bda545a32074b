import type { Mesh } from "./mesh.ts";

/** Node nearest to (x, y), the first of several as near; −1 of a mesh without nodes. */
export function nearestNode({ xy }: Pick<Mesh, "xy">, x: number, y: number): number {
  let nearest = -1;
  let least = Infinity;
  for (let i = 0; i < xy.length / 2; i++) {
    const d = (xy[2 * i]! - x) ** 2 + (xy[2 * i + 1]! - y) ** 2;
    if (d < least) {
      least = d;
      nearest = i;
    }
  }
  return nearest;
}
