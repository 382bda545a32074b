import { int } from "./address";

/**
 * Forward and backward substitution through the fronts, in AssemblyScript; the same operations in the same order as in
 * `plainKernels.ts`. Addresses are in bytes. A node's two dofs are one vector of `x`.
 */

/**
 * Solves L Lᵀ X = B in place for `count` vectors of 2 n numbers in new numbering at `x`. `local` is scratch for one front.
 */
export function solveFronts(
  fronts: i32,
  n: i32,
  frontFirst: usize,
  rowPtr: usize,
  rows: usize,
  panelStart: usize,
  panels: usize,
  x: usize,
  count: i32,
  local: usize,
): void {
  const length = (<usize>n) << 4;
  const end = x + <usize>count * length;
  // a panel is read once for all vectors
  for (let f = 0; f < fronts; f++) {
    const first = int(frontFirst, f);
    const columns = (int(frontFirst, f + 1) - first) << 1;
    const from = int(rowPtr, f);
    const panel = panels + ((<usize>int(panelStart, f)) << 3);
    for (let b = x; b < end; b += length) {
      forwardFront(
        panel,
        columns,
        b,
        b + ((<usize>first) << 4),
        rows + ((<usize>from) << 2),
        int(rowPtr, f + 1) - from,
      );
    }
  }
  for (let f = fronts - 1; f >= 0; f--) {
    const first = int(frontFirst, f);
    const columns = (int(frontFirst, f + 1) - first) << 1;
    const from = int(rowPtr, f);
    const panel = panels + ((<usize>int(panelStart, f)) << 3);
    for (let b = x; b < end; b += length) {
      const own = b + ((<usize>first) << 4);
      backwardFront(panel, columns, b, own, rows + ((<usize>from) << 2), int(rowPtr, f + 1) - from, local);
    }
  }
}

/** Pivots of one front solved with L, their part taken from the `count` rows below. `own` is the first pivot's place. */
function forwardFront(panel: usize, columns: i32, x: usize, own: usize, rows: usize, count: i32): void {
  const stride = (<usize>columns) << 5;
  let block = panel;
  for (let j = 0; j < columns; j += 4, block += stride) {
    const at = own + ((<usize>j) << 3);
    let p = block;
    if (j + 4 <= columns) {
      let s = v128.load(at);
      let t = v128.load(at, 16);
      for (let c = own; c < at; c += 8, p += 32) {
        const y = v128.load_splat<f64>(c);
        s = f64x2.sub(s, f64x2.mul(v128.load(p), y));
        t = f64x2.sub(t, f64x2.mul(v128.load(p, 16), y));
      }
      const s0 = f64x2.extract_lane(s, 0) * load<f64>(p);
      const s1 = (f64x2.extract_lane(s, 1) - load<f64>(p, 8) * s0) * load<f64>(p, 40);
      const s2 =
        (f64x2.extract_lane(t, 0) - load<f64>(p, 16) * s0 - load<f64>(p, 48) * s1) * load<f64>(p, 80);
      store<f64>(at, s0);
      store<f64>(at, s1, 8);
      store<f64>(at, s2, 16);
      store<f64>(
        at,
        (f64x2.extract_lane(t, 1) - load<f64>(p, 24) * s0 - load<f64>(p, 56) * s1 - load<f64>(p, 88) * s2) *
          load<f64>(p, 120),
        24,
      );
    } else {
      let s = v128.load(at);
      for (let c = own; c < at; c += 8, p += 32) {
        s = f64x2.sub(s, f64x2.mul(v128.load(p), v128.load_splat<f64>(c)));
      }
      const s0 = f64x2.extract_lane(s, 0) * load<f64>(p);
      store<f64>(at, s0);
      store<f64>(at, (f64x2.extract_lane(s, 1) - load<f64>(p, 8) * s0) * load<f64>(p, 40), 8);
    }
  }
  const ownEnd = own + ((<usize>columns) << 3);
  let q = 0;
  // two blocks at a time: four sums that do not wait for each other
  for (; q + 4 <= count; q += 4, block += stride) {
    let s = f64x2.splat(0);
    let t = f64x2.splat(0);
    let v = f64x2.splat(0);
    let w = f64x2.splat(0);
    let next = block + stride;
    for (let c = own; c < ownEnd; c += 8, block += 32, next += 32) {
      const y = v128.load_splat<f64>(c);
      s = f64x2.add(s, f64x2.mul(v128.load(block), y));
      t = f64x2.add(t, f64x2.mul(v128.load(block, 16), y));
      v = f64x2.add(v, f64x2.mul(v128.load(next), y));
      w = f64x2.add(w, f64x2.mul(v128.load(next, 16), y));
    }
    const i = x + ((<usize>int(rows, q)) << 4);
    v128.store(i, f64x2.sub(v128.load(i), s));
    const i1 = x + ((<usize>int(rows, q + 1)) << 4);
    v128.store(i1, f64x2.sub(v128.load(i1), t));
    const i2 = x + ((<usize>int(rows, q + 2)) << 4);
    v128.store(i2, f64x2.sub(v128.load(i2), v));
    const i3 = x + ((<usize>int(rows, q + 3)) << 4);
    v128.store(i3, f64x2.sub(v128.load(i3), w));
  }
  for (; q < count; q += 2) {
    let s = f64x2.splat(0);
    let t = f64x2.splat(0);
    for (let c = own; c < ownEnd; c += 8, block += 32) {
      const y = v128.load_splat<f64>(c);
      s = f64x2.add(s, f64x2.mul(v128.load(block), y));
      t = f64x2.add(t, f64x2.mul(v128.load(block, 16), y));
    }
    const i = x + ((<usize>int(rows, q)) << 4);
    v128.store(i, f64x2.sub(v128.load(i), s));
    if (q + 1 < count) {
      const i1 = x + ((<usize>int(rows, q + 1)) << 4);
      v128.store(i1, f64x2.sub(v128.load(i1), t));
    }
  }
}

/** Pivots of one front solved with Lᵀ, the `count` rows below being known. */
function backwardFront(
  panel: usize,
  columns: i32,
  x: usize,
  own: usize,
  rows: usize,
  count: i32,
  local: usize,
): void {
  const stride = (<usize>columns) << 5;
  const pivotBlocks = (columns + 3) >> 2;
  const bytes = (<usize>columns) << 3;
  for (let c: usize = 0; c < bytes; c += 16) v128.store(local + c, v128.load(own + c));
  let p = panel + <usize>pivotBlocks * stride;
  let q = 0;
  for (; q + 4 <= count; q += 4, p += 2 * stride) {
    const y = v128.load(x + ((<usize>int(rows, q)) << 4));
    const z = v128.load(x + ((<usize>int(rows, q + 1)) << 4));
    const y2 = v128.load(x + ((<usize>int(rows, q + 2)) << 4));
    const z2 = v128.load(x + ((<usize>int(rows, q + 3)) << 4));
    subtractTwo(local, p, stride, columns, y, z, y2, z2);
  }
  for (; q < count; q += 2, p += stride) {
    const y = v128.load(x + ((<usize>int(rows, q)) << 4));
    let z = f64x2.splat(0);
    if (q + 1 < count) z = v128.load(x + ((<usize>int(rows, q + 1)) << 4));
    subtractOne(local, p, columns, y, z);
  }
  for (let j = (pivotBlocks - 1) << 2; j >= 0; j -= 4) {
    const block = panel + <usize>(j >> 2) * stride;
    const t = block + ((<usize>j) << 5);
    const l = local + ((<usize>j) << 3);
    const at = own + ((<usize>j) << 3);
    let y2: f64 = 0;
    let y3: f64 = 0;
    let y0: f64;
    let y1: f64;
    if (j + 4 <= columns) {
      y3 = load<f64>(l, 24) * load<f64>(t, 120);
      y2 = (load<f64>(l, 16) - load<f64>(t, 88) * y3) * load<f64>(t, 80);
      y1 = (load<f64>(l, 8) - load<f64>(t, 48) * y2 - load<f64>(t, 56) * y3) * load<f64>(t, 40);
      y0 =
        (load<f64>(l) - load<f64>(t, 8) * y1 - load<f64>(t, 16) * y2 - load<f64>(t, 24) * y3) * load<f64>(t);
      store<f64>(at, y2, 16);
      store<f64>(at, y3, 24);
    } else {
      y1 = load<f64>(l, 8) * load<f64>(t, 40);
      y0 = (load<f64>(l) - load<f64>(t, 8) * y1) * load<f64>(t);
    }
    store<f64>(at, y0);
    store<f64>(at, y1, 8);
    subtractOne(
      local,
      block,
      j,
      f64x2.replace_lane(f64x2.splat(y0), 1, y1),
      f64x2.replace_lane(f64x2.splat(y2), 1, y3),
    );
  }
}

/**
 * `local` loses one block of four rows, transposed, times (y, z): in each column (p0 y0 + p2 z0) + (p1 y1 + p3 z1),
 * two columns at a time.
 */
function subtractOne(local: usize, p: usize, columns: i32, y: v128, z: v128): void {
  const end = local + ((<usize>columns) << 3);
  for (let l = local; l < end; l += 16, p += 64) {
    const a = f64x2.add(f64x2.mul(v128.load(p), y), f64x2.mul(v128.load(p, 16), z));
    const b = f64x2.add(f64x2.mul(v128.load(p, 32), y), f64x2.mul(v128.load(p, 48), z));
    const sum = f64x2.add(v128.shuffle<f64>(a, b, 0, 2), v128.shuffle<f64>(a, b, 1, 3));
    v128.store(l, f64x2.sub(v128.load(l), sum));
  }
}

/** The same for two blocks, one after the other. */
function subtractTwo(
  local: usize,
  p: usize,
  stride: usize,
  columns: i32,
  y: v128,
  z: v128,
  y2: v128,
  z2: v128,
): void {
  const end = local + ((<usize>columns) << 3);
  let q = p + stride;
  for (let l = local; l < end; l += 16, p += 64, q += 64) {
    let a = f64x2.add(f64x2.mul(v128.load(p), y), f64x2.mul(v128.load(p, 16), z));
    let b = f64x2.add(f64x2.mul(v128.load(p, 32), y), f64x2.mul(v128.load(p, 48), z));
    const first = f64x2.add(v128.shuffle<f64>(a, b, 0, 2), v128.shuffle<f64>(a, b, 1, 3));
    a = f64x2.add(f64x2.mul(v128.load(q), y2), f64x2.mul(v128.load(q, 16), z2));
    b = f64x2.add(f64x2.mul(v128.load(q, 32), y2), f64x2.mul(v128.load(q, 48), z2));
    const second = f64x2.add(v128.shuffle<f64>(a, b, 0, 2), v128.shuffle<f64>(a, b, 1, 3));
    v128.store(l, f64x2.sub(f64x2.sub(v128.load(l), first), second));
  }
}
