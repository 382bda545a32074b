import type { SizeField } from "./mesh.ts";

/** Cells larger than this share of the least size in them are divided: the field is then smooth in a cell. */
const CELL_SHARE = 1;
const MAX_DEPTH = 48;
/** A cell with no more cones than this is evaluated as it stands, without interpolation. */
const FEW = 6;

/**
 * The field min(base, min over cones of size + gradation × max(0, distance − radius)): cone k is
 * `cones[4 k …]` = x, y, size, radius. Evaluated through a tree of square cells, each divided until it is smaller
 * than the size in it, or few cones are left; then it keeps its four corner values, interpolated bilinearly (which
 * errs by less than half of `gradation` times the size), or those few cones. The tree grows only where points are
 * asked. Each cell holds the short list of cones that can be the least anywhere in it.
 */
export function gradedField(cones: Float64Array, base: number, gradation: number): SizeField {
  if (cones.length === 0) return () => base;
  const field = new GradedField(cones, base, gradation);
  return (x, y) => field.at(x, y);
}

/** Where a cell stands, in `child`. */
const LEAF = -1;
const UNSEEN = -2;
/** The base size rules everywhere in it. */
const BASE = -3;
const LEAF_OF_CONES = -4;

class GradedField {
  readonly #cones: Float64Array;
  readonly #base: number;
  readonly #gradation: number;
  /** Lower left corner and side of the root cell. */
  readonly #x0: number;
  readonly #y0: number;
  readonly #span: number;
  /** Per cell: the first of its four children, or one of the marks above. */
  #child = new Int32Array(1024);
  /** Per cell: its cones, `#list[#listStart … #listEnd − 1]`. */
  #listStart = new Int32Array(1024);
  #listEnd = new Int32Array(1024);
  /** Per cell: the field at its corners, if it is a leaf. */
  #values = new Float64Array(4 * 1024);
  #list: Int32Array;
  #cells = 1;
  #listed: number;
  // numbers handed from call to call are boxed; these two are handed over here
  /** The place that `#exact` is asked for. */
  readonly #place = new Float64Array(2);
  /** Lower left corner and side of the cell that `#open` is to look at. */
  readonly #square = new Float64Array(3);

  constructor(cones: Float64Array, base: number, gradation: number) {
    this.#cones = cones;
    this.#base = base;
    this.#gradation = gradation;
    const count = cones.length >> 2;
    let x0 = Infinity;
    let y0 = Infinity;
    let x1 = -Infinity;
    let y1 = -Infinity;
    for (let k = 0; k < 4 * count; k += 4) {
      // beyond this reach the base size rules
      const reach = (base - cones[k + 2]!) / gradation + cones[k + 3]!;
      x0 = Math.min(x0, cones[k]! - reach);
      x1 = Math.max(x1, cones[k]! + reach);
      y0 = Math.min(y0, cones[k + 1]! - reach);
      y1 = Math.max(y1, cones[k + 1]! + reach);
    }
    this.#x0 = x0;
    this.#y0 = y0;
    this.#span = Math.max(x1 - x0, y1 - y0, 1e-30);
    this.#list = new Int32Array(Math.max(4096, 2 * count));
    for (let k = 0; k < count; k++) this.#list[k] = k;
    this.#listed = count;
    this.#child[0] = UNSEEN;
    this.#listEnd[0] = count;
  }

  at(px: number, py: number): number {
    let x = this.#x0;
    let y = this.#y0;
    let side = this.#span;
    if (!(px >= x && py >= y && px <= x + side && py <= y + side)) return this.#base;
    let cell = 0;
    for (let depth = 0; ; depth++) {
      if (this.#child[cell] === UNSEEN) {
        this.#square[0] = x;
        this.#square[1] = y;
        this.#square[2] = side;
        this.#open(cell, depth);
      }
      const c = this.#child[cell]!;
      if (c < 0) {
        if (c === BASE) return this.#base;
        if (c === LEAF_OF_CONES) {
          this.#place[0] = px;
          this.#place[1] = py;
          return this.#exact(cell);
        }
        const a = (px - x) / side;
        const b = (py - y) / side;
        const v = 4 * cell;
        const values = this.#values;
        return (
          (1 - b) * ((1 - a) * values[v]! + a * values[v + 1]!) +
          b * ((1 - a) * values[v + 2]! + a * values[v + 3]!)
        );
      }
      side /= 2;
      cell = c;
      if (px >= x + side) {
        x += side;
        cell++;
      }
      if (py >= y + side) {
        y += side;
        cell += 2;
      }
    }
  }

  /** The field at `#place`, by the cell's cones. */
  #exact(cell: number): number {
    const x = this.#place[0]!;
    const y = this.#place[1]!;
    const cones = this.#cones;
    const list = this.#list;
    const gradation = this.#gradation;
    const end = this.#listEnd[cell]!;
    let h = this.#base;
    for (let i = this.#listStart[cell]!; i < end; i++) {
      const k = 4 * list[i]!;
      const dx = x - cones[k]!;
      const dy = y - cones[k + 1]!;
      // Math.hypot is many times slower
      const d = Math.sqrt(dx * dx + dy * dy) - cones[k + 3]!;
      const v = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (v < h) h = v;
    }
    return h;
  }

  /** Looks at a cell for the first time: shortens its list, then makes it a leaf or divides it. */
  #open(cell: number, depth: number): void {
    const least = this.#shorten(cell);
    const side = this.#square[2]!;
    const cones = this.#listEnd[cell]! - this.#listStart[cell]!;
    if (cones === 0) this.#child[cell] = BASE;
    else if (cones <= FEW) this.#child[cell] = LEAF_OF_CONES;
    else if (side <= CELL_SHARE * least || depth >= MAX_DEPTH) {
      this.#child[cell] = LEAF;
      for (let k = 0; k < 4; k++) {
        this.#place[0] = this.#square[0]! + (k % 2) * side;
        this.#place[1] = this.#square[1]! + (k >> 1) * side;
        this.#values[4 * cell + k] = this.#exact(cell);
      }
    } else this.#divide(cell);
  }

  /**
   * Gives a cell a list of its own, of those cones of its parent's that can be the least somewhere in it.
   * @returns the least size they allow.
   */
  #shorten(cell: number): number {
    const half = this.#square[2]! / 2;
    const cx = this.#square[0]! + half;
    const cy = this.#square[1]! + half;
    const cones = this.#cones;
    const gradation = this.#gradation;
    const from = this.#listStart[cell]!;
    const to = this.#listEnd[cell]!;
    this.#makeRoom(to - from);
    const list = this.#list;
    const corner = half * Math.SQRT2;
    // no cone above this anywhere in the cell can matter
    let bound = this.#base;
    for (let i = from; i < to; i++) {
      const k = 4 * list[i]!;
      const dx = cx - cones[k]!;
      const dy = cy - cones[k + 1]!;
      const d = Math.sqrt(dx * dx + dy * dy) + corner - cones[k + 3]!;
      const most = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (most < bound) bound = most;
    }
    let least = this.#base;
    let listed = this.#listed;
    this.#listStart[cell] = listed;
    for (let i = from; i < to; i++) {
      const k = 4 * list[i]!;
      const dx = Math.max(Math.abs(cx - cones[k]!) - half, 0);
      const dy = Math.max(Math.abs(cy - cones[k + 1]!) - half, 0);
      const d = Math.sqrt(dx * dx + dy * dy) - cones[k + 3]!;
      const low = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (low <= bound && low < this.#base) {
        list[listed++] = list[i]!;
        if (low < least) least = low;
      }
    }
    this.#listEnd[cell] = listed;
    this.#listed = listed;
    return least;
  }

  /** Gives a cell four children, to be looked at when they are asked. */
  #divide(cell: number): void {
    if (this.#cells + 4 > this.#child.length) {
      this.#child = doubled(this.#child);
      this.#listStart = doubled(this.#listStart);
      this.#listEnd = doubled(this.#listEnd);
      const values = new Float64Array(2 * this.#values.length);
      values.set(this.#values);
      this.#values = values;
    }
    this.#child[cell] = this.#cells;
    for (let k = 0; k < 4; k++) {
      this.#child[this.#cells] = UNSEEN;
      this.#listStart[this.#cells] = this.#listStart[cell]!;
      this.#listEnd[this.#cells++] = this.#listEnd[cell]!;
    }
  }

  #makeRoom(more: number): void {
    if (this.#listed + more <= this.#list.length) return;
    const list = new Int32Array(2 * this.#list.length + more);
    list.set(this.#list);
    this.#list = list;
  }
}

function doubled(old: Int32Array): Int32Array<ArrayBuffer> {
  const next = new Int32Array(2 * old.length);
  next.set(old);
  return next;
}
