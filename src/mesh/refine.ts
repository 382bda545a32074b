import { type Boundary, boundaryPoint, INTERIOR, splitFraction, splitSegment, tieParts } from "./boundary.ts";
import type { SizeField } from "./mesh.ts";
import { MeshLimitError } from "./meshLimitError.ts";
import type { Triangulation } from "./triangulation.ts";

/**
 * A triangle is too large when its circumradius exceeds that of an equilateral triangle of this many times
 * the wanted side; chosen so that the finished mesh has about area / (√3/4 size²) triangles (measured).
 */
const OVERSIZE = 1.3;
/** The same for the size at a triangle's centroid, looked at once the size at its corners is met. */
const OVERLOOKED = 2;
/** The mean size at a triangle's corners counts up to this many times the least of them. */
const STEEP = 2;
/** New triangles grow over their base by at most this factor, which grades the mesh smoothly inward. */
const GROWTH = 1.7;
/** Cosine of the angle under which a vertex sees a segment when it counts as encroaching (a bit over 90°). */
const ENCROACH = -0.05;
/** A segment is not halved more often than this for the sake of angles: a brake for outlines beyond repair. */
const MAX_DEPTH = 14;
/** Corners of the outline sharper than this may keep their small angle in the triangles around them. */
const SMALL_CORNER = Math.PI / 3;

/** Buckets of the queue: 8 for each doubling of the squared length, over 2^±128. */
const BUCKETS = 8 * 256;

/** A linked list in each bucket, first in first out; shortest edges first. */
class TriangleQueue {
  private head = new Int32Array(BUCKETS).fill(-1);
  private tail = new Int32Array(BUCKETS).fill(-1);
  private next = new Int32Array(1024).fill(-1);
  private prev = new Int32Array(1024).fill(-1);
  private bucket = new Int16Array(1024).fill(-1);
  private lowest = BUCKETS;
  private float = new Float64Array(1);
  private bits = new Uint32Array(this.float.buffer);

  private room(t: number): void {
    const old = this.bucket.length;
    if (t < old) return;
    const size = Math.max(2 * old, t + 1);
    const next = new Int32Array(size);
    const prev = new Int32Array(size);
    const bucket = new Int16Array(size).fill(-1);
    next.set(this.next);
    prev.set(this.prev);
    bucket.set(this.bucket);
    this.next = next;
    this.prev = prev;
    this.bucket = bucket;
  }

  /** Enters triangle t by its shortest edge's squared length. */
  push(t: number, length2: number): void {
    this.room(t);
    if (this.bucket[t]! >= 0) this.remove(t);
    // exponent and three bits of mantissa of the double are the bucket (little-endian words)
    this.float[0] = length2;
    const b = Math.min(BUCKETS - 1, Math.max(0, (this.bits[1]! >>> 17) - 8 * (1023 - 128)));
    this.bucket[t] = b;
    const last = this.tail[b]!;
    this.prev[t] = last;
    this.next[t] = -1;
    if (last >= 0) this.next[last] = t;
    else this.head[b] = t;
    this.tail[b] = t;
    if (b < this.lowest) this.lowest = b;
  }

  remove(t: number): void {
    if (t >= this.bucket.length) return;
    const b = this.bucket[t]!;
    if (b < 0) return;
    const p = this.prev[t]!;
    const n = this.next[t]!;
    if (p >= 0) this.next[p] = n;
    else this.head[b] = n;
    if (n >= 0) this.prev[n] = p;
    else this.tail[b] = p;
    this.bucket[t] = -1;
  }

  /** Takes out the first triangle; -1 when the queue is empty. */
  pop(): number {
    while (this.lowest < BUCKETS && this.head[this.lowest]! < 0) this.lowest++;
    if (this.lowest >= BUCKETS) return -1;
    const t = this.head[this.lowest]!;
    this.remove(t);
    return t;
  }
}

export interface RefineOptions {
  readonly size: SizeField;
  /** Smallest angle aimed at, rad. */
  readonly minAngle: number;
  readonly maxVertices: number;
}

/**
 * Delaunay refinement after Ruppert (1995), with Üngör's off-centres (2004) drawn in to the wanted size:
 * the triangle with the shortest edge goes first, so that good triangles spread from the boundary inward.
 * A point that would encroach on a boundary segment is not set; the segment is split on its true curve
 * instead (never for size alone when the segment already has the wanted length). Small corners of the outline
 * are left alone as Shewchuk (2002) does: their segments split in shells, and no triangle is refined whose short
 * edge spans such a corner.
 *
 * `sizes[v]` keeps the size field at vertex v, evaluated once each. Deterministic.
 */
export class Refiner {
  private readonly mesh: Triangulation;
  private readonly boundary: Boundary;
  private readonly options: RefineOptions;
  private readonly queue = new TriangleQueue();
  private readonly segmentQueue: number[] = [];
  /** Wanted size at each vertex, mm. */
  sizes = new Float64Array(0);
  private readonly badRatio2: number; // R²/shortest² above which the smallest angle is too small
  private readonly point = new Float64Array(2);
  // what grade() found
  private short = 0; // half-edge index 0…2 of the shortest side
  private shortLength2 = 0;
  private wanted = 0;

  constructor(mesh: Triangulation, boundary: Boundary, options: RefineOptions) {
    this.mesh = mesh;
    this.boundary = boundary;
    this.options = options;
    this.badRatio2 = 1 / (4 * Math.sin(options.minAngle) ** 2);
    this.sizes = new Float64Array(mesh.xy.length >> 1);
    for (let v = 0; v < mesh.vertices; v++) this.sample(v);
    // a boundary that asks for more sides than the limit fails before any work is done
    this.checkCount();
  }

  /** Refines until every triangle passes. May be called again after splitNow. */
  run(): void {
    const { mesh } = this;
    for (let s = 0; s < this.boundary.edge.length; s++) this.checkSegment(s);
    for (let t = 0; t < mesh.triangles; t++) this.enter(t);
    this.drain();
    // sizes are asked at vertices only, so a small spot inside a large triangle may have been overlooked
    for (let found = true; found; ) {
      found = false;
      for (let t = 0; t < mesh.triangles; t++) {
        const before = mesh.vertices;
        this.improve(t, this.sizeInside(t) * (OVERLOOKED / OVERSIZE));
        if (mesh.vertices === before) continue;
        this.drain();
        found = true;
      }
    }
  }

  /** Works off both queues. */
  private drain(): void {
    for (;;) {
      const s = this.segmentQueue.pop();
      if (s !== undefined) {
        if (this.isEncroached(s)) this.splitPair(s);
        continue;
      }
      const t = this.queue.pop();
      if (t < 0) break;
      this.improve(t, Infinity);
    }
  }

  /** Splits segment s (and its twin) whatever its size. */
  splitNow(s: number): void {
    this.splitPair(s);
  }

  private sample(v: number): void {
    const { xy } = this.mesh;
    if (v >= this.sizes.length) {
      const next = new Float64Array(xy.length >> 1);
      next.set(this.sizes);
      this.sizes = next;
    }
    const h = this.options.size(xy[2 * v]!, xy[2 * v + 1]!);
    if (!(h > 0)) throw new Error(`mesh: the size field gives ${h} mm at (${xy[2 * v]}, ${xy[2 * v + 1]})`);
    this.sizes[v] = h;
  }

  private sizeInside(t: number): number {
    const { corners, xy } = this.mesh;
    const a = 2 * corners[3 * t]!;
    const b = 2 * corners[3 * t + 1]!;
    const c = 2 * corners[3 * t + 2]!;
    return this.options.size((xy[a]! + xy[b]! + xy[c]!) / 3, (xy[a + 1]! + xy[b + 1]! + xy[c + 1]!) / 3);
  }

  private checkCount(): void {
    if (this.mesh.vertices > this.options.maxVertices) {
      throw new MeshLimitError(4 * this.options.maxVertices);
    }
  }

  /** Measures triangle t: too large for `most` or for its corners (bit 0), too pointed (bit 1). */
  private grade(t: number, most: number): number {
    const { corners, xy } = this.mesh;
    const { sizes } = this;
    const va = corners[3 * t]!;
    const vb = corners[3 * t + 1]!;
    const vc = corners[3 * t + 2]!;
    const ax = xy[2 * va]!;
    const ay = xy[2 * va + 1]!;
    const bx = xy[2 * vb]! - ax;
    const by = xy[2 * vb + 1]! - ay;
    const cx = xy[2 * vc]! - ax;
    const cy = xy[2 * vc + 1]! - ay;
    const ab = bx * bx + by * by;
    const ca = cx * cx + cy * cy;
    const bc = (cx - bx) * (cx - bx) + (cy - by) * (cy - by);
    const cross = bx * cy - by * cx;
    const radius2 = (ab * bc * ca) / (4 * cross * cross);
    let short = 0;
    let length2 = ab;
    if (bc < length2) {
      short = 1;
      length2 = bc;
    }
    if (ca < length2) {
      short = 2;
      length2 = ca;
    }
    const ha = sizes[va]!;
    const hb = sizes[vb]!;
    const hc = sizes[vc]!;
    // the mean of the corners, unless one of them asks for far less
    const wanted = Math.min(most, (ha + hb + hc) / 3, STEEP * Math.min(ha, hb, hc));
    this.short = short;
    this.shortLength2 = length2;
    this.wanted = wanted;
    let verdict = 0;
    if (3 * radius2 > OVERSIZE * OVERSIZE * wanted * wanted) verdict |= 1;
    if (!(radius2 <= this.badRatio2 * length2)) verdict |= 2;
    return verdict;
  }

  private enter(t: number): void {
    if (this.grade(t, Infinity) !== 0) this.queue.push(t, this.shortLength2);
  }

  /** True when the short edge of t spans a small corner of the outline: no refinement can help there. */
  private spansSmallCorner(p: number, q: number): boolean {
    const b = this.boundary;
    const ep = b.vertexEdge[p]!;
    const eq = b.vertexEdge[q]!;
    if (ep < 0 || eq < 0 || ep === eq) return false;
    let corner = -1;
    if (b.after[ep] === eq && b.cornerAngle[eq]! < SMALL_CORNER) corner = b.corner[eq]!;
    else if (b.after[eq] === ep && b.cornerAngle[ep]! < SMALL_CORNER) corner = b.corner[ep]!;
    if (corner < 0) return false;
    const { xy } = this.mesh;
    const dp = Math.hypot(xy[2 * p]! - xy[2 * corner]!, xy[2 * p + 1]! - xy[2 * corner + 1]!);
    const dq = Math.hypot(xy[2 * q]! - xy[2 * corner]!, xy[2 * q + 1]! - xy[2 * corner + 1]!);
    return Math.abs(dp - dq) < 0.1 * Math.max(dp, dq);
  }

  /** Sets a point for triangle t, or splits the segment that is in the way, when it is bad by `grade`. */
  private improve(t: number, most: number): void {
    const { mesh } = this;
    const { corners, xy } = mesh;
    const verdict = this.grade(t, most);
    if (verdict === 0) return;
    const k = this.short;
    const p = corners[3 * t + k]!;
    const q = corners[3 * t + (k === 2 ? 0 : k + 1)]!;
    const r = corners[3 * t + (k === 0 ? 2 : k - 1)]!;
    const px = xy[2 * p]!;
    const py = xy[2 * p + 1]!;
    const ex = xy[2 * q]! - px;
    const ey = xy[2 * q + 1]! - py;
    const fx = xy[2 * r]! - px;
    const fy = xy[2 * r + 1]! - py;
    const base2 = this.shortLength2;
    // height of the circumcentre over the base pq, in units of the base: |f|² - e·f over 2 e×f
    const cross = ex * fy - ey * fx;
    const toCentre = (fx * fx + fy * fy - (ex * fx + ey * fy)) / (2 * cross);
    const base = Math.sqrt(base2);
    // beside a small corner no segment may become shorter than the edge that spans it, or the two would shorten
    // each other for ever
    const pinned = verdict === 2 && this.spansSmallCorner(p, q) ? base : 0;
    const side = Math.min(Math.max(this.wanted, 0.75 * base), GROWTH * base);
    const drawn = Math.sqrt(side * side - base2 / 4) / base;
    const height = Math.min(toCentre, drawn);
    const x = px + ex / 2 - height * ey;
    const y = py + ey / 2 + height * ex;

    mesh.openCavity(x, y, t);
    // walls of the cavity that the point encroaches on or lies beyond
    let blocked = false;
    let doomed = -1;
    for (let i = 0; i < mesh.rimSize; i++) {
      const wall = mesh.rimLink[i]!;
      if (wall >= 0) continue;
      const a = mesh.rimFrom[i]!;
      const b = mesh.rimTo[i]!;
      if (!sees(xy, a, b, x, y, ENCROACH)) continue;
      blocked = true;
      const s = -2 - wall;
      if (this.maySplit(s, verdict, pinned)) {
        doomed = s;
      }
    }
    if (blocked) {
      if (doomed < 0) return;
      // t goes back first: should the split destroy it, it is taken out again
      this.queue.push(t, base2);
      this.splitPair(doomed);
      return;
    }
    if (!mesh.cavityIsStar(x, y, -1)) return;
    const v = mesh.addVertex(x, y);
    this.boundary.vertexEdge.push(INTERIOR);
    this.checkCount();
    this.sample(v);
    this.fill(v, -1, -1, -1);
  }

  /** Fills the open cavity with v and brings queues up to date. */
  private fill(v: number, except: number, before: number, after: number): void {
    const { mesh, queue } = this;
    for (let c = 0; c < mesh.cavitySize; c++) queue.remove(mesh.cavity[c]!);
    mesh.fillCavity(v, except, before, after);
    for (let m = 0; m < mesh.madeSize; m++) {
      const t = mesh.made[m]!;
      this.enter(t);
      for (let k = 0; k < 3; k++) {
        const wall = mesh.link[3 * t + k]!;
        if (wall < -1) this.checkSegment(-2 - wall);
      }
    }
  }

  private maySplit(s: number, verdict: number, pinned: number): boolean {
    const b = this.boundary;
    if (b.depth[s]! >= MAX_DEPTH) return false;
    const length = (b.u1[s]! - b.u0[s]!) * b.lengths[b.edge[s]!]!;
    if (pinned > 0) return length > 2 * pinned && b.u0[s]! > 0 && b.u1[s]! < 1;
    if (verdict & 2) return true;
    // long against its own size, or far longer than the triangle in hand may be
    return (
      length > Math.min(1.25 * Math.min(this.sizes[b.from[s]!]!, this.sizes[b.to[s]!]!), 3 * this.wanted)
    );
  }

  private isEncroached(s: number): boolean {
    const { corners, xy } = this.mesh;
    const h = this.mesh.segmentHalf[s]!;
    const b = this.boundary;
    if (b.depth[s]! >= MAX_DEPTH) return false;
    const apex = corners[h % 3 === 0 ? h + 2 : h - 1]!;
    return sees(xy, b.from[s]!, b.to[s]!, xy[2 * apex]!, xy[2 * apex + 1]!, ENCROACH);
  }

  private checkSegment(s: number): void {
    if (this.isEncroached(s)) this.segmentQueue.push(s);
  }

  /** Splits segment s on its curve, its twin at the image of that point. */
  private splitPair(s: number): void {
    const b = this.boundary;
    const t = b.twin[s]!;
    const u = splitFraction(b, s);
    const s2 = this.splitOne(s, u);
    if (t < 0) return;
    const t2 = this.splitOne(t, 1 - u);
    tieParts(b, s, s2, t, t2);
  }

  private splitOne(s: number, u: number): number {
    const { mesh, boundary: b } = this;
    const wall = -2 - s;
    boundaryPoint(b, b.edge[s]!, u, this.point);
    const x = this.point[0]!;
    const y = this.point[1]!;
    for (let round = 0; ; round++) {
      const h = mesh.segmentHalf[s]!;
      mesh.openCavity(x, y, (h / 3) | 0);
      if (mesh.cavityIsStar(x, y, wall)) break;
      // the curve bulges past its chord so far that another segment hides part of the cavity: that one first
      const other = this.hidingSegment(x, y, wall);
      if (other < 0 || round > 20 || b.twin[s]! >= 0) {
        throw new Error(
          `mesh: edge "${b.edges[b.edge[s]!]!.name}" cannot be cut at (${x}, ${y}): another edge is too close`,
        );
      }
      this.splitPair(other);
    }
    const v = mesh.addVertex(x, y);
    this.checkCount();
    b.vertexEdge.push(b.edge[s]!);
    this.sample(v);
    const s2 = splitSegment(b, s, u, v);
    if (mesh.segmentHalf.length <= s2) {
      const next = new Int32Array(2 * s2 + 16);
      next.set(mesh.segmentHalf);
      mesh.segmentHalf = next;
    }
    this.fill(v, wall, -2 - s, -2 - s2);
    return s2;
  }

  /** A wall on the rim of the open cavity that (x, y) lies beyond or nearly so. */
  private hidingSegment(x: number, y: number, except: number): number {
    const { mesh } = this;
    for (let i = 0; i < mesh.rimSize; i++) {
      const wall = mesh.rimLink[i]!;
      if (wall >= -1 || wall === except) continue;
      if (sees(mesh.xy, mesh.rimFrom[i]!, mesh.rimTo[i]!, x, y, 0)) return -2 - wall;
    }
    return -1;
  }
}

/** True when (x, y) sees a–b under an angle whose cosine is below `cosine`, or lies on its right. */
function sees(xy: Float64Array, a: number, b: number, x: number, y: number, cosine: number): boolean {
  const ax = xy[2 * a]! - x;
  const ay = xy[2 * a + 1]! - y;
  const bx = xy[2 * b]! - x;
  const by = xy[2 * b + 1]! - y;
  if (ax * by - ay * bx <= 0) return true;
  const dot = ax * bx + ay * by;
  return dot < 0 && dot * dot > cosine * cosine * (ax * ax + ay * ay) * (bx * bx + by * by);
}
