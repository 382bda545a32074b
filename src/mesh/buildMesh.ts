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
  const { link } = tri;
  const count = tri.triangles;
  const order = hilbertOrder(tri);
  const rank = new Int32Array(count);
  for (let e = 0; e < count; e++) rank[order[e]!] = e;

  const nodes = new NodesInOrder(tri, b);
  const elements = new Uint32Array(6 * count);
  const neighbours = new Int32Array(3 * count);
  for (let e = 0; e < count; e++) {
    const t = order[e]!;
    nodes.touch(t, elements, 6 * e);
    for (let k = 0; k < 3; k++) {
      const across = link[3 * t + k]!;
      neighbours[3 * e + k] = across < 0 ? -1 : rank[(across / 3) | 0]!;
    }
  }
  const sides = sidesInOrder(b);
  const sideElement = new Uint32Array(sides.length);
  const sideLocal = new Uint8Array(sides.length);
  const sideEdge = new Uint32Array(sides.length);
  const sideU = new Float64Array(2 * sides.length);
  for (let i = 0; i < sides.length; i++) {
    const s = sides[i]!;
    const h = tri.segmentHalf[s]!;
    sideElement[i] = rank[(h / 3) | 0]!;
    sideLocal[i] = h % 3;
    sideEdge[i] = b.edge[s]!;
    sideU[2 * i] = b.u0[s]!;
    sideU[2 * i + 1] = b.u1[s]!;
  }
  const { xy } = nodes;
  return {
    xy,
    elements,
    neighbours,
    sideElement,
    sideLocal,
    sideEdge,
    sideU,
    ...tieNodes(sides, nodes, tri, b),
  };
}

/** Boundary sides in the order of the outline: edge by edge, along each edge. */
export function sidesInOrder(b: Boundary): number[] {
  return Array.from(b.edge.keys()).sort((s, t) => b.edge[s]! - b.edge[t]! || b.u0[s]! - b.u0[t]!);
}

/** Gives vertices and sides their nodes, in the order in which they are touched. */
class NodesInOrder {
  readonly xy: Float64Array;
  readonly ofVertex: Int32Array;
  /** Mid-side nodes, by half-edge of the triangulation. */
  readonly mid: Int32Array;
  readonly #tri: Triangulation;
  readonly #boundary: Boundary;
  readonly #point = new Float64Array(2);
  #count = 0;

  constructor(tri: Triangulation, b: Boundary) {
    this.#tri = tri;
    this.#boundary = b;
    const halves = 3 * tri.triangles;
    this.xy = new Float64Array(2 * (tri.vertices + ((halves + b.edge.length) >> 1))); // vertices and sides
    this.ofVertex = new Int32Array(tri.vertices).fill(-1);
    this.mid = new Int32Array(halves).fill(-1);
  }

  /** Writes the six nodes of triangle t into `elements` from place `at` on. */
  touch(t: number, elements: Uint32Array, at: number): void {
    const { corners } = this.#tri;
    for (let k = 0; k < 3; k++) {
      const v = corners[3 * t + k]!;
      if (this.ofVertex[v]! < 0) this.ofVertex[v] = this.#add(this.#tri.xy[2 * v]!, this.#tri.xy[2 * v + 1]!);
      elements[at + k] = this.ofVertex[v]!;
    }
    for (let k = 0; k < 3; k++) {
      const h = 3 * t + k;
      if (this.mid[h]! < 0) this.#addMiddle(h, k === 2 ? h - 2 : h + 1);
      elements[at + 3 + k] = this.mid[h]!;
    }
  }

  /** Sets the node of half-edge h, which ends where `next` begins, for both its sides. */
  #addMiddle(h: number, next: number): void {
    const { corners, link, xy } = this.#tri;
    const across = link[h]!;
    if (across < 0) {
      const b = this.#boundary;
      const s = -2 - across;
      boundaryPoint(b, b.edge[s]!, (b.u0[s]! + b.u1[s]!) / 2, this.#point);
      this.mid[h] = this.#add(this.#point[0]!, this.#point[1]!);
      return;
    }
    const v = 2 * corners[h]!;
    const w = 2 * corners[next]!;
    this.mid[h] = this.#add((xy[v]! + xy[w]!) / 2, (xy[v + 1]! + xy[w + 1]!) / 2);
    this.mid[across] = this.mid[h]!;
  }

  #add(x: number, y: number): number {
    this.xy[2 * this.#count] = x;
    this.xy[2 * this.#count + 1] = y;
    return this.#count++;
  }
}

/** Ties the nodes on leading sides to those on their images, and sets these where the images are, to the last bit. */
function tieNodes(
  sides: readonly number[],
  { xy, ofVertex, mid }: NodesInOrder,
  tri: Triangulation,
  b: Boundary,
): Pick<Mesh, "tieLeader" | "tieFollower" | "tieIndex"> {
  const leaders: number[] = [];
  const followers: number[] = [];
  const ties: number[] = [];
  const tied = new Uint8Array(xy.length / 2);
  const p = new Float64Array(2);
  const tieNode = (leader: number, follower: number, tie: number) => {
    // a point that is its own image (the centre of a turned sector) is tied to nothing
    if (leader === follower || tied[follower]) return;
    tied[follower] = 1;
    leaders.push(leader);
    followers.push(follower);
    ties.push(tie);
    movePoint(b.motions[tie]!, xy[2 * leader]!, xy[2 * leader + 1]!, p);
    xy[2 * follower] = p[0]!;
    xy[2 * follower + 1] = p[1]!;
  };
  for (let i = 0; i < sides.length; i++) {
    const s = sides[i]!;
    const t = b.twin[s]!;
    if (t < 0 || b.leaderOf[b.edge[s]!]! >= 0) continue;
    const tie = b.tieOf[b.edge[s]!]!;
    tieNode(ofVertex[b.from[s]!]!, ofVertex[b.to[t]!]!, tie);
    tieNode(mid[tri.segmentHalf[s]!]!, mid[tri.segmentHalf[t]!]!, tie);
    tieNode(ofVertex[b.to[s]!]!, ofVertex[b.from[t]!]!, tie);
  }
  return {
    tieLeader: Uint32Array.from(leaders),
    tieFollower: Uint32Array.from(followers),
    tieIndex: Uint32Array.from(ties),
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
