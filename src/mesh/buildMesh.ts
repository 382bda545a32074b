import { movePoint } from "../geometry/index.ts";
import { type Boundary, boundaryPoint } from "./boundary.ts";
import type { Mesh } from "./mesh.ts";
import type { Triangulation } from "./triangulation.ts";

/**
 * Turns a triangulation into six-node triangles: mid-side nodes on the true curve along the boundary, at the
 * middle of straight sides elsewhere. Elements are numbered along a Hilbert curve and nodes in the order in
 * which the elements first touch them, so that neighbours in the part are neighbours in memory.
 */
export function buildMesh(tri: Triangulation, b: Boundary): Mesh {
  const { corners, link } = tri;
  const count = tri.triangles;
  const order = hilbertOrder(tri);
  const rank = new Int32Array(count);
  for (let e = 0; e < count; e++) rank[order[e]!] = e;

  const elements = new Uint32Array(6 * count);
  const neighbours = new Int32Array(3 * count);
  const nodes = tri.vertices + ((3 * count + b.edge.length) >> 1); // vertices and sides
  const xy = new Float64Array(2 * nodes);
  const nodeOfVertex = new Int32Array(tri.vertices).fill(-1);
  const mid = new Int32Array(3 * count).fill(-1); // by half-edge of the triangulation
  const p = new Float64Array(2);
  let node = 0;
  for (let e = 0; e < count; e++) {
    const t = order[e]!;
    for (let k = 0; k < 3; k++) {
      const v = corners[3 * t + k]!;
      if (nodeOfVertex[v]! < 0) {
        xy[2 * node] = tri.xy[2 * v]!;
        xy[2 * node + 1] = tri.xy[2 * v + 1]!;
        nodeOfVertex[v] = node++;
      }
      elements[6 * e + k] = nodeOfVertex[v]!;
    }
    for (let k = 0; k < 3; k++) {
      const h = 3 * t + k;
      const across = link[h]!;
      neighbours[3 * e + k] = across < 0 ? -1 : rank[(across / 3) | 0]!;
      if (mid[h]! < 0) {
        if (across < 0) {
          const s = -2 - across;
          boundaryPoint(b, b.edge[s]!, (b.u0[s]! + b.u1[s]!) / 2, p);
          xy[2 * node] = p[0]!;
          xy[2 * node + 1] = p[1]!;
        } else {
          const v = 2 * corners[h]!;
          const w = 2 * corners[k === 2 ? h - 2 : h + 1]!;
          xy[2 * node] = (tri.xy[v]! + tri.xy[w]!) / 2;
          xy[2 * node + 1] = (tri.xy[v + 1]! + tri.xy[w + 1]!) / 2;
          mid[across] = node;
        }
        mid[h] = node++;
      }
      elements[6 * e + 3 + k] = mid[h]!;
    }
  }

  // boundary sides in the order of the outline: edge by edge, along each edge
  const sides = Array.from(b.edge.keys()).sort((s, t) => b.edge[s]! - b.edge[t]! || b.u0[s]! - b.u0[t]!);
  const sideElement = new Uint32Array(sides.length);
  const sideLocal = new Uint8Array(sides.length);
  const sideEdge = new Uint32Array(sides.length);
  const sideU = new Float64Array(2 * sides.length);
  const image = new Map<number, [number, number]>(); // follower node -> its leader and tie
  const tieNode = (leader: number, follower: number, tie: number) => {
    // a point that is its own image (the centre of a turned sector) is tied to nothing
    if (leader === follower || image.has(follower)) return;
    image.set(follower, [leader, tie]);
    movePoint(b.motions[tie]!, xy[2 * leader]!, xy[2 * leader + 1]!, p);
    xy[2 * follower] = p[0]!;
    xy[2 * follower + 1] = p[1]!;
  };
  for (const [i, s] of sides.entries()) {
    const h = tri.segmentHalf[s]!;
    sideElement[i] = rank[(h / 3) | 0]!;
    sideLocal[i] = h % 3;
    sideEdge[i] = b.edge[s]!;
    sideU[2 * i] = b.u0[s]!;
    sideU[2 * i + 1] = b.u1[s]!;
    const t = b.twin[s]!;
    if (t < 0 || b.leaderOf[b.edge[s]!]! >= 0) continue;
    const g = tri.segmentHalf[t]!;
    const tie = b.tieOf[b.edge[s]!]!;
    tieNode(nodeOfVertex[b.from[s]!]!, nodeOfVertex[b.to[t]!]!, tie);
    tieNode(mid[h]!, mid[g]!, tie);
    tieNode(nodeOfVertex[b.to[s]!]!, nodeOfVertex[b.from[t]!]!, tie);
  }
  const tieLeader = new Uint32Array(image.size);
  const tieFollower = new Uint32Array(image.size);
  const tieIndex = new Uint32Array(image.size);
  let k = 0;
  for (const [follower, [leader, tie]] of image) {
    tieLeader[k] = leader;
    tieFollower[k] = follower;
    tieIndex[k++] = tie;
  }
  return {
    xy,
    elements,
    neighbours,
    sideElement,
    sideLocal,
    sideEdge,
    sideU,
    tieLeader,
    tieFollower,
    tieIndex,
  };
}

/** Triangles ordered along a Hilbert curve through their centroids (radix sort of 32-bit keys). */
function hilbertOrder(tri: Triangulation): Uint32Array {
  const { corners, xy } = tri;
  const count = tri.triangles;
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (let v = 0; v < tri.vertices; v++) {
    const x = xy[2 * v]!;
    const y = xy[2 * v + 1]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
  }
  const scale = 65535 / Math.max(x1 - x0, y1 - y0);
  let keys = new Uint32Array(count);
  let order = new Uint32Array(count);
  for (let t = 0; t < count; t++) {
    const a = 2 * corners[3 * t]!;
    const b = 2 * corners[3 * t + 1]!;
    const c = 2 * corners[3 * t + 2]!;
    const x = (xy[a]! + xy[b]! + xy[c]!) / 3;
    const y = (xy[a + 1]! + xy[b + 1]! + xy[c + 1]!) / 3;
    keys[t] = hilbert(((x - x0) * scale) | 0, ((y - y0) * scale) | 0);
    order[t] = t;
  }
  let keys2 = new Uint32Array(count);
  let order2 = new Uint32Array(count);
  const start = new Uint32Array(257);
  for (let shift = 0; shift < 32; shift += 8) {
    start.fill(0);
    for (let t = 0; t < count; t++) {
      const digit = (keys[t]! >>> shift) & 255;
      start[digit + 1] = start[digit + 1]! + 1;
    }
    for (let d = 0; d < 256; d++) start[d + 1] = start[d + 1]! + start[d]!;
    for (let t = 0; t < count; t++) {
      const digit = (keys[t]! >>> shift) & 255;
      const to = start[digit]!;
      start[digit] = to + 1;
      keys2[to] = keys[t]!;
      order2[to] = order[t]!;
    }
    [keys, keys2] = [keys2, keys];
    [order, order2] = [order2, order];
  }
  return order;
}

/** Place of cell (x, y), 16 bits each, along the Hilbert curve; 32 bits. */
function hilbert(x: number, y: number): number {
  let d = 0;
  for (let s = 32768; s > 0; s >>= 1) {
    const rx = x & s ? 1 : 0;
    const ry = y & s ? 1 : 0;
    d = d * 4 + ((3 * rx) ^ ry);
    if (ry === 0) {
      if (rx === 1) {
        x = 65535 - x;
        y = 65535 - y;
      }
      const swap = x;
      x = y;
      y = swap;
    }
  }
  return d;
}
