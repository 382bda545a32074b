import { incircle, orient2d } from "robust-predicates";

/**
 * A growing Delaunay triangulation held as half-edges in flat arrays, the workbench of the mesher.
 *
 * Half-edge `3 t + k` runs from corner k of triangle t to corner (k + 1) % 3; `link` holds its twin, or a
 * negative number where there is none: -1 for nothing at all, `-2 - s` for boundary segment s. Negative links
 * are walls that nothing crosses, which is what makes the triangulation a constrained one. Triangles are
 * counter-clockwise. Slots are reused on insertion and never freed, so the arrays have no holes.
 */
export class Triangulation {
  /** Vertex coordinates, mm, two per vertex. */
  xy: Float64Array;
  vertices = 0;
  /** Corner vertices, three per triangle. */
  corners: Int32Array;
  link: Int32Array;
  triangles = 0;
  /** Half-edge that segment s lies on. */
  segmentHalf: Int32Array = new Int32Array(0);

  // cavity of the last call of openCavity: its triangles, and its rim as (from, to, link outside)
  cavity = new Int32Array(256);
  cavitySize = 0;
  rimFrom = new Int32Array(256);
  rimTo = new Int32Array(256);
  rimLink = new Int32Array(256);
  rimSize = 0;
  /** Triangles made by the last call of fillCavity. */
  made = new Int32Array(256);
  madeSize = 0;

  private mark: Int32Array;
  private stamp = 0;
  private spoke: Int32Array;

  constructor(vertexCapacity: number) {
    const n = Math.max(16, vertexCapacity);
    this.xy = new Float64Array(2 * n);
    this.corners = new Int32Array(6 * n);
    this.link = new Int32Array(6 * n);
    this.mark = new Int32Array(2 * n);
    this.spoke = new Int32Array(n);
  }

  addVertex(x: number, y: number): number {
    const v = this.vertices;
    if (2 * v + 2 > this.xy.length) {
      this.xy = grown(this.xy, 4 * v);
      this.spoke = grown(this.spoke, 2 * v);
    }
    this.xy[2 * v] = x;
    this.xy[2 * v + 1] = y;
    this.vertices = v + 1;
    return v;
  }

  addTriangle(): number {
    const t = this.triangles;
    if (3 * t + 3 > this.corners.length) {
      this.corners = grown(this.corners, 6 * t + 96);
      this.link = grown(this.link, 6 * t + 96);
      this.mark = grown(this.mark, 2 * t + 32);
    }
    this.triangles = t + 1;
    return t;
  }

  /** Joins half-edge h to what is across it: a half-edge, or a negative wall. */
  join(h: number, across: number): void {
    this.link[h] = across;
    if (across >= 0) this.link[across] = h;
    else if (across < -1) this.segmentHalf[-2 - across] = h;
  }

  /**
   * Triangle that holds (x, y), walking from triangle `start`. Where a wall is met it returns that wall's
   * negative link; -1 also when the walk does not end (which a valid triangulation excludes).
   */
  locate(x: number, y: number, start: number): number {
    const { corners, link, xy } = this;
    let t = start;
    let from = -1; // half-edge just crossed, which need not be tested
    for (let step = 0; step < 1_000_000; step++) {
      let next = -2147483648;
      for (let k = 0; k < 3; k++) {
        const h = 3 * t + k;
        if (h === from) continue;
        const a = 2 * corners[h]!;
        const b = 2 * corners[k === 2 ? h - 2 : h + 1]!;
        // orient2d is negative for a counter-clockwise turn (its y axis points down)
        if (orient2d(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, x, y) > 0) {
          next = link[h]!;
          break;
        }
      }
      if (next === -2147483648) return t;
      if (next < 0) return next;
      from = next;
      t = (next / 3) | 0;
    }
    return -1;
  }

  /**
   * Collects all triangles whose circumcircle holds (x, y) and that can be reached from `first` without
   * crossing a wall; `first` itself is taken unasked.
   */
  openCavity(x: number, y: number, first: number): void {
    const { corners, link, xy, mark } = this;
    this.stamp += 2;
    const inside = this.stamp;
    const outside = inside + 1;
    this.cavity[0] = first;
    this.cavitySize = 1;
    this.rimSize = 0;
    mark[first] = inside;
    for (let c = 0; c < this.cavitySize; c++) {
      const t = this.cavity[c]!;
      for (let k = 0; k < 3; k++) {
        const h = 3 * t + k;
        const across = link[h]!;
        if (across >= 0) {
          const n = (across / 3) | 0;
          const m = mark[n];
          if (m === inside) continue;
          if (m !== outside) {
            const a = 2 * corners[3 * n]!;
            const b = 2 * corners[3 * n + 1]!;
            const d = 2 * corners[3 * n + 2]!;
            if (incircle(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, xy[d]!, xy[d + 1]!, x, y) > 0) {
              mark[n] = inside;
              if (this.cavitySize === this.cavity.length)
                this.cavity = grown(this.cavity, 2 * this.cavitySize);
              this.cavity[this.cavitySize++] = n;
              continue;
            }
            mark[n] = outside;
          }
        }
        if (this.rimSize === this.rimFrom.length) {
          this.rimFrom = grown(this.rimFrom, 2 * this.rimSize);
          this.rimTo = grown(this.rimTo, 2 * this.rimSize);
          this.rimLink = grown(this.rimLink, 2 * this.rimSize);
        }
        this.rimFrom[this.rimSize] = corners[h]!;
        this.rimTo[this.rimSize] = corners[k === 2 ? h - 2 : h + 1]!;
        this.rimLink[this.rimSize++] = across;
      }
    }
  }

  /**
   * True when every rim edge (but the wall `except`) is seen from (x, y) from its inner side, and no vertex
   * would be lost: then the cavity may be filled.
   */
  cavityIsStar(x: number, y: number, except: number): boolean {
    if (this.rimSize !== this.cavitySize + 2) return false;
    const { xy, rimFrom, rimTo, rimLink } = this;
    for (let r = 0; r < this.rimSize; r++) {
      if (rimLink[r] === except && except < -1) continue;
      const a = 2 * rimFrom[r]!;
      const b = 2 * rimTo[r]!;
      if (orient2d(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, x, y) >= 0) return false;
    }
    return true;
  }

  /**
   * Fills the open cavity with the star of vertex v. With `except` (the link of a wall, `-2 - s`) v replaces
   * that rim edge: the two boundary sides at v get the walls `before` (from the edge's start to v) and `after`.
   */
  fillCavity(v: number, except = -1, before = -1, after = -1): void {
    const { rimFrom, rimTo, rimLink, cavity } = this;
    if (this.made.length < this.rimSize) this.made = new Int32Array(2 * this.rimSize);
    const { made } = this;
    let used = 0;
    let exceptFrom = -1;
    let exceptTo = -1;
    // new triangle of rim edge (a, b): corners a b v, so its side 1 runs b→v and its side 2 v→a
    for (let r = 0; r < this.rimSize; r++) {
      const a = rimFrom[r]!;
      const b = rimTo[r]!;
      if (except < -1 && rimLink[r] === except) {
        exceptFrom = a;
        exceptTo = b;
        continue;
      }
      const t = used < this.cavitySize ? cavity[used]! : this.addTriangle();
      const { corners, spoke } = this;
      corners[3 * t] = a;
      corners[3 * t + 1] = b;
      corners[3 * t + 2] = v;
      spoke[a] = t;
      made[used++] = t;
      this.join(3 * t, rimLink[r]!);
    }
    this.madeSize = used;
    for (let m = 0; m < used; m++) {
      const t = made[m]!;
      const b = this.corners[3 * t + 1]!;
      // b→v of this triangle meets v→b of the triangle whose rim edge starts at b
      if (b === exceptFrom) this.join(3 * t + 1, before);
      else this.join(3 * t + 1, 3 * this.spoke[b]! + 2);
    }
    if (exceptTo >= 0) this.join(3 * this.spoke[exceptTo]! + 2, after);
  }

  /** Flips the edge under half-edge h: its quadrilateral gets the other diagonal. */
  flip(h: number): void {
    const { corners, link } = this;
    const g = link[h]!;
    const t = (h / 3) | 0;
    const n = (g / 3) | 0;
    const h1 = h % 3 === 2 ? h - 2 : h + 1;
    const h2 = h % 3 === 0 ? h + 2 : h - 1;
    const g1 = g % 3 === 2 ? g - 2 : g + 1;
    const g2 = g % 3 === 0 ? g + 2 : g - 1;
    const a = corners[h]!;
    const b = corners[g]!;
    const c = corners[h2]!; // apex of t
    const d = corners[g2]!; // apex of n
    const bc = link[h1]!;
    const ca = link[h2]!;
    const ad = link[g1]!;
    const db = link[g2]!;
    corners[3 * t] = c;
    corners[3 * t + 1] = a;
    corners[3 * t + 2] = d;
    corners[3 * n] = d;
    corners[3 * n + 1] = b;
    corners[3 * n + 2] = c;
    this.join(3 * t, ca);
    this.join(3 * t + 1, ad);
    this.join(3 * n, db);
    this.join(3 * n + 1, bc);
    link[3 * t + 2] = 3 * n + 2;
    link[3 * n + 2] = 3 * t + 2;
  }

  /** True when the edge under h is no wall and the apex across it lies inside the circle of h's triangle. */
  isIllegal(h: number): boolean {
    const { corners, link, xy } = this;
    const g = link[h]!;
    if (g < 0) return false;
    const t = 3 * ((h / 3) | 0);
    const a = 2 * corners[t]!;
    const b = 2 * corners[t + 1]!;
    const c = 2 * corners[t + 2]!;
    const d = 2 * corners[g % 3 === 0 ? g + 2 : g - 1]!;
    return incircle(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, xy[c]!, xy[c + 1]!, xy[d]!, xy[d + 1]!) > 0;
  }

  /** Lawson's flips until every edge that is no wall is Delaunay. */
  restoreDelaunay(): void {
    const stack: number[] = [];
    for (let h = 0; h < 3 * this.triangles; h++) {
      if (this.link[h]! <= h || !this.isIllegal(h)) continue;
      stack.push(h);
      while (stack.length > 0) {
        const e = stack.pop()!;
        if (!this.isIllegal(e)) continue;
        const t = 3 * ((e / 3) | 0);
        const n = 3 * ((this.link[e]! / 3) | 0);
        this.flip(e);
        stack.push(t, t + 1, n, n + 1);
      }
    }
  }
}

function grown<A extends Float64Array | Int32Array>(old: A, length: number): A {
  const Kind = old.constructor as new (length: number) => A;
  const next = new Kind(Math.max(length, old.length + 16));
  next.set(old);
  return next;
}
