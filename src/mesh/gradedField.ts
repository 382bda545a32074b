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
  const count = cones.length >> 2;
  if (count === 0) return () => base;
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (let k = 0; k < count; k++) {
    // beyond this reach the base size rules
    const reach = (base - cones[4 * k + 2]!) / gradation + cones[4 * k + 3]!;
    x0 = Math.min(x0, cones[4 * k]! - reach);
    x1 = Math.max(x1, cones[4 * k]! + reach);
    y0 = Math.min(y0, cones[4 * k + 1]! - reach);
    y1 = Math.max(y1, cones[4 * k + 1]! + reach);
  }
  const span = Math.max(x1 - x0, y1 - y0, 1e-30);

  // per cell: first of four children, -1 a leaf with corner values, -2 not looked at, -3 base rules
  // everywhere, -4 a leaf with a few cones
  let child = new Int32Array(1024);
  let listStart = new Int32Array(1024);
  let listEnd = new Int32Array(1024);
  let values = new Float64Array(4 * 1024);
  let list = new Int32Array(Math.max(4096, 2 * count));
  let cells = 1;
  let listed = count;
  for (let k = 0; k < count; k++) list[k] = k;
  child[0] = -2;
  listEnd[0] = count;

  const exact = (cell: number, x: number, y: number): number => {
    let h = base;
    for (let i = listStart[cell]!; i < listEnd[cell]!; i++) {
      const k = 4 * list[i]!;
      const dx = x - cones[k]!;
      const dy = y - cones[k + 1]!;
      const d = Math.sqrt(dx * dx + dy * dy) - cones[k + 3]!;
      const v = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (v < h) h = v;
    }
    return h;
  };

  /** Looks at a cell for the first time: shortens its list, then makes it a leaf or divides it. */
  const open = (cell: number, x: number, y: number, side: number, depth: number): void => {
    const half = side / 2;
    const cx = x + half;
    const cy = y + half;
    const corner = half * Math.SQRT2;
    // no cone above this anywhere in the cell can matter
    let bound = base;
    for (let i = listStart[cell]!; i < listEnd[cell]!; i++) {
      const k = 4 * list[i]!;
      // Math.hypot is many times slower
      const dx = cx - cones[k]!;
      const dy = cy - cones[k + 1]!;
      const d = Math.sqrt(dx * dx + dy * dy) + corner - cones[k + 3]!;
      const most = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (most < bound) bound = most;
    }
    const from = listStart[cell]!;
    const to = listEnd[cell]!;
    if (listed + to - from > list.length) {
      const next = new Int32Array(2 * list.length + to - from);
      next.set(list);
      list = next;
    }
    let least = base;
    listStart[cell] = listed;
    for (let i = from; i < to; i++) {
      const k = 4 * list[i]!;
      const dx = Math.max(Math.abs(cx - cones[k]!) - half, 0);
      const dy = Math.max(Math.abs(cy - cones[k + 1]!) - half, 0);
      const d = Math.sqrt(dx * dx + dy * dy) - cones[k + 3]!;
      const low = cones[k + 2]! + (d > 0 ? gradation * d : 0);
      if (low <= bound && low < base) {
        list[listed++] = list[i]!;
        if (low < least) least = low;
      }
    }
    listEnd[cell] = listed;
    if (listEnd[cell] === listStart[cell]) {
      child[cell] = -3;
    } else if (listed - listStart[cell]! <= FEW) {
      child[cell] = -4;
    } else if (side <= CELL_SHARE * least || depth >= MAX_DEPTH) {
      child[cell] = -1;
      values[4 * cell] = exact(cell, x, y);
      values[4 * cell + 1] = exact(cell, x + side, y);
      values[4 * cell + 2] = exact(cell, x, y + side);
      values[4 * cell + 3] = exact(cell, x + side, y + side);
    } else {
      if (cells + 4 > child.length) {
        const n = 2 * child.length;
        const grow = <A extends Int32Array | Float64Array>(old: A, next: A): A => {
          next.set(old);
          return next;
        };
        child = grow(child, new Int32Array(n));
        listStart = grow(listStart, new Int32Array(n));
        listEnd = grow(listEnd, new Int32Array(n));
        values = grow(values, new Float64Array(4 * n));
      }
      child[cell] = cells;
      for (let k = 0; k < 4; k++) {
        child[cells] = -2;
        listStart[cells] = listStart[cell]!;
        listEnd[cells++] = listEnd[cell]!;
      }
    }
  };

  return (px, py) => {
    let x = x0;
    let y = y0;
    let side = span;
    if (!(px >= x && py >= y && px <= x + side && py <= y + side)) return base;
    let cell = 0;
    for (let depth = 0; ; depth++) {
      if (child[cell] === -2) open(cell, x, y, side, depth);
      const c = child[cell]!;
      if (c < 0) {
        if (c === -3) return base;
        if (c === -4) return exact(cell, px, py);
        const a = (px - x) / side;
        const b = (py - y) / side;
        const v = 4 * cell;
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
  };
}
