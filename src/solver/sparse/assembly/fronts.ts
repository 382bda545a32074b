import { int } from "./address";

/**
 * The numeric work of the sparse solver in AssemblyScript: 128-bit vectors of two numbers over plain memory. Every
 * number is made by the same operations in the same order as in `plainKernels.ts`, so both give the same bits.
 *
 * Addresses are in bytes; the arrays and the layout of panels and updates are those described with `Symbolic`.
 * A block of four rows is 32 bytes a column: rows 0 and 1 in one vector, rows 2 and 3 in the next.
 */

/** Bytes of rows kept at hand while an update is formed: the other operand stays in the second-level cache. */
const GROUP_BYTES: i32 = 262144;
/** Shorter stretches are cleared faster by plain stores than by a call. */
const SHORT_BYTES: i32 = 2048;

/**
 * Factorises all fronts, children first. A pivot must exceed `tolerance` times its own diagonal entry. Returns -1, or
 * the dof (new numbering) whose pivot fails; the pivot and its floor are then the first two numbers of `floors`, which
 * is scratch for one front.
 */
export function factorFronts(
  fronts: i32,
  frontFirst: usize,
  rowPtr: usize,
  rowInParent: usize,
  childPtr: usize,
  childList: usize,
  panelStart: usize,
  updateStart: usize,
  entryPtr: usize,
  entrySource: usize,
  entryTarget: usize,
  values: usize,
  panels: usize,
  updates: usize,
  floors: usize,
  tolerance: f64,
): i32 {
  for (let f = 0; f < fronts; f++) {
    const first = int(frontFirst, f);
    const k = int(frontFirst, f + 1) - first;
    const u = int(rowPtr, f + 1) - int(rowPtr, f);
    const panel = panels + ((<usize>int(panelStart, f)) << 3);
    const update = updates + ((<usize>int(updateStart, f)) << 3);
    const pivotBlocks = (k + 1) >> 1;
    const rowBlocks = (u + 1) >> 1;
    clear(panel, ((pivotBlocks + rowBlocks) * k) << 6);
    addEntries(panels, values, entrySource, entryTarget, int(entryPtr, f), int(entryPtr, f + 1));
    setFloors(panel, k << 1, tolerance, floors);
    const childFrom = int(childPtr, f);
    const childTo = int(childPtr, f + 1);
    for (let c = childFrom; c < childTo; c++) {
      const child = int(childList, c);
      const from = int(rowPtr, child);
      addToPanel(
        panel,
        k,
        updates + ((<usize>int(updateStart, child)) << 3),
        rowInParent + ((<usize>from) << 2),
        int(rowPtr, child + 1) - from,
      );
    }
    const failed = factorPanel(panel, k << 1, pivotBlocks + rowBlocks, floors);
    if (failed !== -1) return 2 * first + failed;
    if (rowBlocks === 0) continue;
    formUpdate(update, panel + ((<usize>(pivotBlocks * k)) << 6), k << 6, rowBlocks);
    for (let c = childFrom; c < childTo; c++) {
      const child = int(childList, c);
      const from = int(rowPtr, child);
      addToUpdate(
        update,
        k,
        updates + ((<usize>int(updateStart, child)) << 3),
        rowInParent + ((<usize>from) << 2),
        int(rowPtr, child + 1) - from,
      );
    }
  }
  return -1;
}

/** Zeros in `bytes` bytes, a multiple of 64. */
function clear(at: usize, bytes: i32): void {
  if (bytes > SHORT_BYTES) {
    memory.fill(at, 0, bytes);
    return;
  }
  const zero = f64x2.splat(0);
  const end = at + bytes;
  for (; at < end; at += 64) {
    v128.store(at, zero);
    v128.store(at, zero, 16);
    v128.store(at, zero, 32);
    v128.store(at, zero, 48);
  }
}

/** Adds the matrix blocks of one front into its panel. */
function addEntries(panels: usize, values: usize, source: usize, target: usize, from: i32, to: i32): void {
  for (let q = from; q < to; q++) {
    const s = int(source, q);
    const d = panels + ((<usize>int(target, q)) << 3);
    const v = values + ((<usize>(s & ~3)) << 3);
    let left = v128.load(v);
    let right = v128.load(v, 16);
    if (s & 1) {
      const upper = v128.shuffle<f64>(left, right, 0, 2);
      right = v128.shuffle<f64>(left, right, 1, 3);
      left = upper;
    }
    v128.store(d, f64x2.add(v128.load(d), left));
    v128.store(d, f64x2.add(v128.load(d, 32), right), 32);
  }
}

/** Least pivots accepted, from the diagonal of a panel that holds nothing but matrix entries yet. */
function setFloors(panel: usize, columns: i32, tolerance: f64, floors: usize): void {
  const stride = (<usize>columns) << 5;
  for (let c = 0; c < columns; c++) {
    const d = load<f64>(panel + <usize>(c >> 2) * stride + ((<usize>c) << 5) + ((c & 3) << 3));
    store<f64>(floors + ((<usize>c) << 3), tolerance * max<f64>(d, 0));
  }
}

/**
 * Adds the part of a child's update that falls on pivots of the front above it (k pivot nodes) into that front's panel.
 * The child has `count` rows, row a being padded node `rowMap[a]` of the front. Two rows at a time, as they lie.
 */
function addToPanel(panel: usize, k: i32, child: usize, rowMap: usize, count: i32): void {
  const stride = k << 6;
  let split = 0; // rows before it are pivots above
  while (split < count && int(rowMap, split) < k) split++;
  if (split === 0) return;
  let s = child;
  for (let a = 0; a < count; a += 2) {
    const r0 = int(rowMap, a);
    const d0 = panel + (r0 >> 1) * stride + ((r0 & 1) << 4);
    const both = min(split, a + 1);
    if (a + 1 < count) {
      const r1 = int(rowMap, a + 1);
      const d1 = panel + (r1 >> 1) * stride + ((r1 & 1) << 4);
      addRows(d0, d1, 0, s, rowMap, both);
      if (a + 1 < split) addRow(d1 + ((<usize>r1) << 6), s + ((<usize>(a + 1)) << 6) + 16);
    } else {
      for (let b = 0; b < both; b++) addRow(d0 + ((<usize>int(rowMap, b)) << 6), s + ((<usize>b) << 6));
    }
    s += ((a >> 1) + 1) << 7; // block row I of an update has I + 1 tiles of 128 bytes
  }
}

/** Adds the rest of it into the front's own update. */
function addToUpdate(update: usize, k: i32, child: usize, rowMap: usize, count: i32): void {
  const padded = k + (k & 1);
  let split = 0;
  while (split < count && int(rowMap, split) < k) split++;
  if (split === count) return;
  const left = (<usize>padded) << 6; // columns are counted from the first row below the pivots
  let a = split & ~1;
  let s = child + ((<usize>((a >> 1) * ((a >> 1) + 1))) << 6);
  for (; a < count; a += 2) {
    const r0 = int(rowMap, a) - padded;
    const d0 = update + ((<usize>((r0 >> 1) * ((r0 >> 1) + 1))) << 6) + ((r0 & 1) << 4) - left;
    if (a + 1 < count) {
      const r1 = int(rowMap, a + 1) - padded;
      const d1 = update + ((<usize>((r1 >> 1) * ((r1 >> 1) + 1))) << 6) + ((r1 & 1) << 4) - left;
      // an odd split: the block row's first node is a pivot above and has gone into the panel
      if (a >= split) addRows(d0, d1, split, s, rowMap, a + 1);
      addRow(d1 + ((<usize>(r1 + padded)) << 6), s + ((<usize>(a + 1)) << 6) + 16);
    } else {
      for (let b = split; b <= a; b++) addRow(d0 + ((<usize>int(rowMap, b)) << 6), s + ((<usize>b) << 6));
    }
    s += ((a >> 1) + 1) << 7;
  }
}

/** Adds the 2×2 blocks of two neighbouring source rows, columns `from … to - 1`, into the rows at d0 and d1. */
function addRows(d0: usize, d1: usize, from: i32, s: usize, rowMap: usize, to: i32): void {
  s += (<usize>from) << 6;
  for (let b = from; b < to; b++, s += 64) {
    const column = (<usize>int(rowMap, b)) << 6;
    const p = d0 + column;
    const q = d1 + column;
    const p0 = f64x2.add(v128.load(p), v128.load(s));
    const p1 = f64x2.add(v128.load(p, 32), v128.load(s, 32));
    const q0 = f64x2.add(v128.load(q), v128.load(s, 16));
    const q1 = f64x2.add(v128.load(q, 32), v128.load(s, 48));
    v128.store(p, p0);
    v128.store(p, p1, 32);
    v128.store(q, q0);
    v128.store(q, q1, 32);
  }
}

/** Adds one 2×2 block. */
function addRow(d: usize, s: usize): void {
  v128.store(d, f64x2.add(v128.load(d), v128.load(s)));
  v128.store(d, f64x2.add(v128.load(d, 32), v128.load(s, 32)), 32);
}

/**
 * Cholesky factorisation of a panel of `columns` columns and `blocks` blocks of four rows, four columns at a time:
 * what earlier columns subtract from a tile, then the tile's own triangle. Returns -1 or the failing column,
 * its pivot and floor at `floors`.
 */
function factorPanel(panel: usize, columns: i32, blocks: i32, floors: usize): i32 {
  const stride = (<usize>columns) << 5;
  const end = panel + <usize>blocks * stride;
  let row = panel; // block row that holds the diagonal
  for (let j = 0; j < columns; j += 4, row += stride) {
    const before = (<usize>j) << 5; // bytes of the columns done, in each block row
    const floor = floors + ((<usize>j) << 3);
    const tile = row + before;
    if (j + 4 > columns) {
      // the last two of an odd number of pivot nodes
      if (j > 0) subtractNarrow(tile, row, row, before);
      const d0 = load<f64>(tile);
      if (!(d0 > load<f64>(floor))) return fail(floors, j, d0);
      const i0 = 1 / sqrt(d0);
      const l10 = load<f64>(tile, 8) * i0;
      const d1 = load<f64>(tile, 40) - l10 * l10;
      if (!(d1 > load<f64>(floor, 8))) return fail(floors, j + 1, d1);
      const i1 = 1 / sqrt(d1);
      store<f64>(tile, i0);
      store<f64>(tile, l10, 8);
      store<f64>(tile, 0, 32);
      store<f64>(tile, i1, 40);
      const vi0 = f64x2.splat(i0);
      const v10 = f64x2.splat(l10);
      const vi1 = f64x2.splat(i1);
      for (let other = row + stride; other < end; other += stride) {
        const t = other + before;
        if (j > 0) subtractNarrow(t, other, row, before);
        const x0 = f64x2.mul(v128.load(t), vi0);
        const y0 = f64x2.mul(v128.load(t, 16), vi0);
        v128.store(t, x0);
        v128.store(t, y0, 16);
        v128.store(t, f64x2.mul(f64x2.sub(v128.load(t, 32), f64x2.mul(x0, v10)), vi1), 32);
        v128.store(t, f64x2.mul(f64x2.sub(v128.load(t, 48), f64x2.mul(y0, v10)), vi1), 48);
      }
      continue;
    }
    if (j > 0) subtractWide(tile, row, row, before);
    const d0 = load<f64>(tile);
    if (!(d0 > load<f64>(floor))) return fail(floors, j, d0);
    const i0 = 1 / sqrt(d0);
    const l10 = load<f64>(tile, 8) * i0;
    const l20 = load<f64>(tile, 16) * i0;
    const l30 = load<f64>(tile, 24) * i0;
    const d1 = load<f64>(tile, 40) - l10 * l10;
    if (!(d1 > load<f64>(floor, 8))) return fail(floors, j + 1, d1);
    const i1 = 1 / sqrt(d1);
    const l21 = (load<f64>(tile, 48) - l20 * l10) * i1;
    const l31 = (load<f64>(tile, 56) - l30 * l10) * i1;
    const d2 = load<f64>(tile, 80) - l20 * l20 - l21 * l21;
    if (!(d2 > load<f64>(floor, 16))) return fail(floors, j + 2, d2);
    const i2 = 1 / sqrt(d2);
    const l32 = (load<f64>(tile, 88) - l30 * l20 - l31 * l21) * i2;
    const d3 = load<f64>(tile, 120) - l30 * l30 - l31 * l31 - l32 * l32;
    if (!(d3 > load<f64>(floor, 24))) return fail(floors, j + 3, d3);
    const i3 = 1 / sqrt(d3);
    store<f64>(tile, i0);
    store<f64>(tile, l10, 8);
    store<f64>(tile, l20, 16);
    store<f64>(tile, l30, 24);
    store<f64>(tile, 0, 32);
    store<f64>(tile, i1, 40);
    store<f64>(tile, l21, 48);
    store<f64>(tile, l31, 56);
    store<f64>(tile, 0, 64);
    store<f64>(tile, 0, 72);
    store<f64>(tile, i2, 80);
    store<f64>(tile, l32, 88);
    store<f64>(tile, 0, 96);
    store<f64>(tile, 0, 104);
    store<f64>(tile, 0, 112);
    store<f64>(tile, i3, 120);
    for (let other = row + stride; other < end; other += stride) {
      const t = other + before;
      if (j > 0) subtractWide(t, other, row, before);
      const vi0 = v128.load_splat<f64>(tile);
      const x0 = f64x2.mul(v128.load(t), vi0);
      const y0 = f64x2.mul(v128.load(t, 16), vi0);
      v128.store(t, x0);
      v128.store(t, y0, 16);
      const v10 = v128.load_splat<f64>(tile, 8);
      const vi1 = v128.load_splat<f64>(tile, 40);
      const x1 = f64x2.mul(f64x2.sub(v128.load(t, 32), f64x2.mul(x0, v10)), vi1);
      const y1 = f64x2.mul(f64x2.sub(v128.load(t, 48), f64x2.mul(y0, v10)), vi1);
      v128.store(t, x1, 32);
      v128.store(t, y1, 48);
      const v20 = v128.load_splat<f64>(tile, 16);
      const v21 = v128.load_splat<f64>(tile, 48);
      const vi2 = v128.load_splat<f64>(tile, 80);
      const x2 = f64x2.mul(
        f64x2.sub(f64x2.sub(v128.load(t, 64), f64x2.mul(x0, v20)), f64x2.mul(x1, v21)),
        vi2,
      );
      const y2 = f64x2.mul(
        f64x2.sub(f64x2.sub(v128.load(t, 80), f64x2.mul(y0, v20)), f64x2.mul(y1, v21)),
        vi2,
      );
      v128.store(t, x2, 64);
      v128.store(t, y2, 80);
      const v30 = v128.load_splat<f64>(tile, 24);
      const v31 = v128.load_splat<f64>(tile, 56);
      const v32 = v128.load_splat<f64>(tile, 88);
      const vi3 = v128.load_splat<f64>(tile, 120);
      const x3 = f64x2.sub(f64x2.sub(v128.load(t, 96), f64x2.mul(x0, v30)), f64x2.mul(x1, v31));
      const y3 = f64x2.sub(f64x2.sub(v128.load(t, 112), f64x2.mul(y0, v30)), f64x2.mul(y1, v31));
      v128.store(t, f64x2.mul(f64x2.sub(x3, f64x2.mul(x2, v32)), vi3), 96);
      v128.store(t, f64x2.mul(f64x2.sub(y3, f64x2.mul(y2, v32)), vi3), 112);
    }
  }
  return -1;
}

/** Leaves a failing pivot and its floor at the start of `floors`. */
function fail(floors: usize, column: i32, pivot: f64): i32 {
  const floor = load<f64>(floors + ((<usize>column) << 3));
  store<f64>(floors, pivot);
  store<f64>(floors, floor, 8);
  return column;
}

/**
 * The 4 × 4 tile at `t` loses A Bᵀ, A and B being the first `length` bytes of the block rows at `a` and `b`: eight
 * sums of two numbers in registers. One column a turn: two would need more registers than there are.
 */
function subtractWide(t: usize, a: usize, b: usize, length: usize): void {
  let x0 = f64x2.splat(0);
  let y0 = f64x2.splat(0);
  let x1 = f64x2.splat(0);
  let y1 = f64x2.splat(0);
  let x2 = f64x2.splat(0);
  let y2 = f64x2.splat(0);
  let x3 = f64x2.splat(0);
  let y3 = f64x2.splat(0);
  for (const end = a + length; a < end; a += 32, b += 32) {
    const x = v128.load(a);
    const y = v128.load(a, 16);
    let s = v128.load_splat<f64>(b);
    x0 = f64x2.add(x0, f64x2.mul(x, s));
    y0 = f64x2.add(y0, f64x2.mul(y, s));
    s = v128.load_splat<f64>(b, 8);
    x1 = f64x2.add(x1, f64x2.mul(x, s));
    y1 = f64x2.add(y1, f64x2.mul(y, s));
    s = v128.load_splat<f64>(b, 16);
    x2 = f64x2.add(x2, f64x2.mul(x, s));
    y2 = f64x2.add(y2, f64x2.mul(y, s));
    s = v128.load_splat<f64>(b, 24);
    x3 = f64x2.add(x3, f64x2.mul(x, s));
    y3 = f64x2.add(y3, f64x2.mul(y, s));
  }
  v128.store(t, f64x2.sub(v128.load(t), x0));
  v128.store(t, f64x2.sub(v128.load(t, 16), y0), 16);
  v128.store(t, f64x2.sub(v128.load(t, 32), x1), 32);
  v128.store(t, f64x2.sub(v128.load(t, 48), y1), 48);
  v128.store(t, f64x2.sub(v128.load(t, 64), x2), 64);
  v128.store(t, f64x2.sub(v128.load(t, 80), y2), 80);
  v128.store(t, f64x2.sub(v128.load(t, 96), x3), 96);
  v128.store(t, f64x2.sub(v128.load(t, 112), y3), 112);
}

/** The same for a tile of two columns. */
function subtractNarrow(t: usize, a: usize, b: usize, length: usize): void {
  let x0 = f64x2.splat(0);
  let y0 = f64x2.splat(0);
  let x1 = f64x2.splat(0);
  let y1 = f64x2.splat(0);
  for (const end = a + length; a < end; a += 32, b += 32) {
    const x = v128.load(a);
    const y = v128.load(a, 16);
    let s = v128.load_splat<f64>(b);
    x0 = f64x2.add(x0, f64x2.mul(x, s));
    y0 = f64x2.add(y0, f64x2.mul(y, s));
    s = v128.load_splat<f64>(b, 8);
    x1 = f64x2.add(x1, f64x2.mul(x, s));
    y1 = f64x2.add(y1, f64x2.mul(y, s));
  }
  v128.store(t, f64x2.sub(v128.load(t), x0));
  v128.store(t, f64x2.sub(v128.load(t, 16), y0), 16);
  v128.store(t, f64x2.sub(v128.load(t, 32), x1), 32);
  v128.store(t, f64x2.sub(v128.load(t, 48), y1), 48);
}

/** The tiled lower triangle at `update` becomes -L Lᵀ, L being the `blocks` block rows of `stride` bytes at `rows`. */
function formUpdate(update: usize, rows: usize, stride: i32, blocks: i32): void {
  const group = max(1, GROUP_BYTES / stride);
  for (let from = 0; from < blocks; from += group) {
    const groupEnd = from + group;
    let own = rows + <usize>from * stride;
    for (let i = from; i < blocks; i++, own += stride) {
      const to = i < groupEnd ? i + 1 : groupEnd;
      const ownEnd = own + stride;
      let t = update + ((<usize>(i * (i + 1))) << 6) + ((<usize>from) << 7);
      let b = rows + <usize>from * stride;
      for (let j = from; j < to; j++, t += 128) {
        let x0 = f64x2.splat(0);
        let y0 = f64x2.splat(0);
        let x1 = f64x2.splat(0);
        let y1 = f64x2.splat(0);
        let x2 = f64x2.splat(0);
        let y2 = f64x2.splat(0);
        let x3 = f64x2.splat(0);
        let y3 = f64x2.splat(0);
        for (let a = own; a < ownEnd; a += 32, b += 32) {
          const x = v128.load(a);
          const y = v128.load(a, 16);
          let s = v128.load_splat<f64>(b);
          x0 = f64x2.sub(x0, f64x2.mul(x, s));
          y0 = f64x2.sub(y0, f64x2.mul(y, s));
          s = v128.load_splat<f64>(b, 8);
          x1 = f64x2.sub(x1, f64x2.mul(x, s));
          y1 = f64x2.sub(y1, f64x2.mul(y, s));
          s = v128.load_splat<f64>(b, 16);
          x2 = f64x2.sub(x2, f64x2.mul(x, s));
          y2 = f64x2.sub(y2, f64x2.mul(y, s));
          s = v128.load_splat<f64>(b, 24);
          x3 = f64x2.sub(x3, f64x2.mul(x, s));
          y3 = f64x2.sub(y3, f64x2.mul(y, s));
        }
        v128.store(t, x0);
        v128.store(t, y0, 16);
        v128.store(t, x1, 32);
        v128.store(t, y1, 48);
        v128.store(t, x2, 64);
        v128.store(t, y2, 80);
        v128.store(t, x3, 96);
        v128.store(t, y3, 112);
      }
    }
  }
}
