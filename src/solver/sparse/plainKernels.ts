import { fromNewOrder, type Kernels, toNewOrder } from "./kernels.ts";
import type { Symbolic } from "./symbolic.ts";

/**
 * Numbers of B kept at hand while the update of a front is formed: a group of block rows that stays in the
 * second-level cache (256 kB) is used by all rows below it before the next group is read.
 */
const GROUP_NUMBERS = 32768;

/** Kernels in plain TypeScript: 4 × 4 tiles held in local variables, arrays read straight through. */
export function plainKernels(): Kernels {
  let panels = new Float64Array(0);
  let updates = panels;
  let floors = panels;
  let vectors = panels;
  let local = panels;
  const atLeast = (array: Float64Array<ArrayBuffer>, length: number) =>
    array.length < length ? new Float64Array(length) : array;
  return {
    kind: "plain",
    factor(symbolic, values, tolerance) {
      panels = atLeast(panels, symbolic.statistics.factorStored);
      updates = atLeast(updates, symbolic.updateLength);
      floors = atLeast(floors, symbolic.statistics.largestFront + 2);
      const column = factorFronts(symbolic, values, panels, updates, floors, tolerance);
      return column === -1 ? null : { column, pivot: floors[0], floor: floors[1] };
    },
    solve(symbolic, rhs, count) {
      vectors = atLeast(vectors, rhs.length);
      local = atLeast(local, symbolic.statistics.largestFront + 8);
      toNewOrder(symbolic, rhs, count, vectors);
      solveFronts(symbolic, panels, vectors, count, local);
      fromNewOrder(symbolic, vectors, count, rhs);
    },
    panels: ({ statistics }) => panels.subarray(0, statistics.factorStored),
    bytes: () => 8 * (panels.length + updates.length + floors.length + vectors.length + local.length),
  };
}

/**
 * Factorises all fronts, children first: fills `panels` with L, its diagonal kept as reciprocals. A pivot must exceed
 * `tolerance` times its own diagonal entry. Returns -1, or the dof (new numbering) whose pivot fails; the pivot and its
 * floor are then the first two numbers of `floors`, which is scratch for one front.
 */

function factorFronts(
  symbolic: Symbolic,
  values: Float64Array,
  panels: Float64Array,
  updates: Float64Array,
  floors: Float64Array,
  tolerance: number,
): number {
  const { fronts, frontFirst, rowPtr, rowInParent, childPtr, childList, panelStart, updateStart } = symbolic;
  const { entryPtr, entrySource, entryTarget } = symbolic;
  for (let f = 0; f < fronts; f++) {
    const k = frontFirst[f + 1] - frontFirst[f];
    const u = rowPtr[f + 1] - rowPtr[f];
    const panel = panelStart[f];
    const update = updateStart[f];
    const pivotBlocks = (k + 1) >> 1;
    const rowBlocks = (u + 1) >> 1;
    panels.fill(0, panel, panelStart[f + 1]);
    addEntries(panels, values, entrySource, entryTarget, entryPtr[f], entryPtr[f + 1]);
    setFloors(panels, panel, 2 * k, tolerance, floors);
    for (let c = childPtr[f]; c < childPtr[f + 1]; c++) {
      const child = childList[c];
      addToPanel(
        panels,
        panel,
        k,
        updates,
        updateStart[child],
        rowInParent,
        rowPtr[child],
        rowPtr[child + 1],
      );
    }
    const failed = factorPanel(panels, panel, 2 * k, pivotBlocks + rowBlocks, floors);
    if (failed !== -1) return 2 * frontFirst[f] + failed;
    if (rowBlocks === 0) continue;
    formUpdate(updates, update, panels, panel + pivotBlocks * 8 * k, 2 * k, rowBlocks);
    for (let c = childPtr[f]; c < childPtr[f + 1]; c++) {
      const child = childList[c];
      addToUpdate(updates, update, k, updateStart[child], rowInParent, rowPtr[child], rowPtr[child + 1]);
    }
  }
  return -1;
}

/** Adds the matrix blocks of one front into its panel. */
function addEntries(
  panels: Float64Array,
  values: Float64Array,
  source: Int32Array,
  target: Int32Array,
  from: number,
  to: number,
): void {
  for (let q = from; q < to; q++) {
    const s = source[q];
    const d = target[q];
    const v = s & ~3;
    const transposed = s & 1;
    panels[d] += values[v];
    panels[d + 1] += values[v + 1 + transposed];
    panels[d + 4] += values[v + 2 - transposed];
    panels[d + 5] += values[v + 3];
  }
}

/** Least pivots accepted, from the diagonal of a panel that holds nothing but matrix entries yet. */
function setFloors(
  panels: Float64Array,
  panel: number,
  columns: number,
  tolerance: number,
  floors: Float64Array,
): void {
  for (let c = 0; c < columns; c++) {
    const d = panels[panel + (c >> 2) * 4 * columns + 4 * c + (c & 3)];
    floors[c] = tolerance * Math.max(d, 0);
  }
}

/** Leaves a failing pivot and its floor at the start of `floors`. */
function fail(floors: Float64Array, column: number, pivot: number): number {
  const floor = floors[column];
  floors[0] = pivot;
  floors[1] = floor;
  return column;
}

/**
 * Adds the part of a child's update that falls on pivots of the front above it (k pivot nodes) into that front's panel.
 * The child's rows are `from … to - 1` of `rowInParent`.
 */
function addToPanel(
  panels: Float64Array,
  panel: number,
  k: number,
  updates: Float64Array,
  child: number,
  rowInParent: Int32Array,
  from: number,
  to: number,
): void {
  const stride = 8 * k;
  let split = from; // rows before it are pivots of the parent
  while (split < to && rowInParent[split] < k) split++;
  for (let a = from; a < to; a++) {
    const own = a - from;
    const block = own >> 1;
    let s = child + 8 * block * (block + 1) + (own & 1) * 2;
    const r = rowInParent[a];
    const row = panel + (r >> 1) * stride + (r & 1) * 2;
    const end = a < split ? a + 1 : split;
    for (let b = from; b < end; b++, s += 8) {
      const d = row + 8 * rowInParent[b];
      panels[d] += updates[s];
      panels[d + 1] += updates[s + 1];
      panels[d + 4] += updates[s + 4];
      panels[d + 5] += updates[s + 5];
    }
  }
}

/** Adds the rest of it into the front's own update. */
function addToUpdate(
  updates: Float64Array,
  update: number,
  k: number,
  child: number,
  rowInParent: Int32Array,
  from: number,
  to: number,
): void {
  const padded = k + (k & 1);
  let split = from;
  while (split < to && rowInParent[split] < k) split++;
  for (let a = split; a < to; a++) {
    const own = a - from;
    const block = own >> 1;
    let s = child + 8 * block * (block + 1) + (own & 1) * 2 + 8 * (split - from);
    const t = rowInParent[a] - padded;
    const tile = t >> 1;
    const row = update + 8 * tile * (tile + 1) + (t & 1) * 2 - 8 * padded;
    for (let b = split; b <= a; b++, s += 8) {
      const d = row + 8 * rowInParent[b];
      updates[d] += updates[s];
      updates[d + 1] += updates[s + 1];
      updates[d + 4] += updates[s + 4];
      updates[d + 5] += updates[s + 5];
    }
  }
}

/**
 * Cholesky factorisation of a panel of `columns` columns and `blocks` blocks of four rows, four columns at a time:
 * what earlier columns subtract from a tile, then the tile's own triangle. Returns -1 or the failing column,
 * its pivot and floor at the start of `floors`.
 */
function factorPanel(
  a: Float64Array,
  panel: number,
  columns: number,
  blocks: number,
  floors: Float64Array,
): number {
  const stride = 4 * columns;
  for (let j = 0; j < columns; j += 4) {
    const wide = j + 4 <= columns;
    const row = panel + j * columns; // block row that holds the diagonal: (j / 4) * stride
    const tile = row + 4 * j;
    if (!wide) {
      // the last two of an odd number of pivot nodes
      subtractNarrow(a, tile, row, row, 4 * j);
      const d0 = a[tile];
      if (!(d0 > floors[j])) return fail(floors, j, d0);
      const i0 = 1 / Math.sqrt(d0);
      const l10 = a[tile + 1] * i0;
      const d1 = a[tile + 5] - l10 * l10;
      if (!(d1 > floors[j + 1])) return fail(floors, j + 1, d1);
      const i1 = 1 / Math.sqrt(d1);
      a[tile] = i0;
      a[tile + 1] = l10;
      a[tile + 4] = 0;
      a[tile + 5] = i1;
      for (let block = (j >> 2) + 1; block < blocks; block++) {
        const other = panel + block * stride;
        const t = other + 4 * j;
        subtractNarrow(a, t, other, row, 4 * j);
        for (let r = t; r < t + 4; r++) {
          const x0 = a[r] * i0;
          a[r] = x0;
          a[r + 4] = (a[r + 4] - x0 * l10) * i1;
        }
      }
      continue;
    }
    subtractWide(a, tile, row, row, 4 * j);
    const d0 = a[tile];
    if (!(d0 > floors[j])) return fail(floors, j, d0);
    const i0 = 1 / Math.sqrt(d0);
    const l10 = a[tile + 1] * i0;
    const l20 = a[tile + 2] * i0;
    const l30 = a[tile + 3] * i0;
    const d1 = a[tile + 5] - l10 * l10;
    if (!(d1 > floors[j + 1])) return fail(floors, j + 1, d1);
    const i1 = 1 / Math.sqrt(d1);
    const l21 = (a[tile + 6] - l20 * l10) * i1;
    const l31 = (a[tile + 7] - l30 * l10) * i1;
    const d2 = a[tile + 10] - l20 * l20 - l21 * l21;
    if (!(d2 > floors[j + 2])) return fail(floors, j + 2, d2);
    const i2 = 1 / Math.sqrt(d2);
    const l32 = (a[tile + 11] - l30 * l20 - l31 * l21) * i2;
    const d3 = a[tile + 15] - l30 * l30 - l31 * l31 - l32 * l32;
    if (!(d3 > floors[j + 3])) return fail(floors, j + 3, d3);
    const i3 = 1 / Math.sqrt(d3);
    a[tile] = i0;
    a[tile + 1] = l10;
    a[tile + 2] = l20;
    a[tile + 3] = l30;
    a[tile + 4] = 0;
    a[tile + 5] = i1;
    a[tile + 6] = l21;
    a[tile + 7] = l31;
    a[tile + 8] = 0;
    a[tile + 9] = 0;
    a[tile + 10] = i2;
    a[tile + 11] = l32;
    a[tile + 12] = 0;
    a[tile + 13] = 0;
    a[tile + 14] = 0;
    a[tile + 15] = i3;
    for (let block = (j >> 2) + 1; block < blocks; block++) {
      const other = panel + block * stride;
      const t = other + 4 * j;
      if (j > 0) subtractWide(a, t, other, row, 4 * j);
      for (let r = t; r < t + 4; r++) {
        const x0 = a[r] * i0;
        const x1 = (a[r + 4] - x0 * l10) * i1;
        const x2 = (a[r + 8] - x0 * l20 - x1 * l21) * i2;
        a[r] = x0;
        a[r + 4] = x1;
        a[r + 8] = x2;
        a[r + 12] = (a[r + 12] - x0 * l30 - x1 * l31 - x2 * l32) * i3;
      }
    }
  }
  return -1;
}

/**
 * The 4 × 4 tile at `t` loses A Bᵀ, A and B being the first `length` / 4 columns of the block rows at `rowA` and `rowB`.
 * One counter for both rows and sums from zero: measured 14 % faster than running indices and sums from the tile.
 */
function subtractWide(a: Float64Array, t: number, rowA: number, rowB: number, length: number): void {
  let c00 = 0;
  let c10 = 0;
  let c20 = 0;
  let c30 = 0;
  let c01 = 0;
  let c11 = 0;
  let c21 = 0;
  let c31 = 0;
  let c02 = 0;
  let c12 = 0;
  let c22 = 0;
  let c32 = 0;
  let c03 = 0;
  let c13 = 0;
  let c23 = 0;
  let c33 = 0;
  for (let c = 0; c < length; c += 4) {
    const p = (rowA + c) | 0;
    const q = (rowB + c) | 0;
    const a0 = a[p];
    const a1 = a[p + 1];
    const a2 = a[p + 2];
    const a3 = a[p + 3];
    const b0 = a[q];
    c00 += a0 * b0;
    c10 += a1 * b0;
    c20 += a2 * b0;
    c30 += a3 * b0;
    const b1 = a[q + 1];
    c01 += a0 * b1;
    c11 += a1 * b1;
    c21 += a2 * b1;
    c31 += a3 * b1;
    const b2 = a[q + 2];
    c02 += a0 * b2;
    c12 += a1 * b2;
    c22 += a2 * b2;
    c32 += a3 * b2;
    const b3 = a[q + 3];
    c03 += a0 * b3;
    c13 += a1 * b3;
    c23 += a2 * b3;
    c33 += a3 * b3;
  }
  a[t] -= c00;
  a[t + 1] -= c10;
  a[t + 2] -= c20;
  a[t + 3] -= c30;
  a[t + 4] -= c01;
  a[t + 5] -= c11;
  a[t + 6] -= c21;
  a[t + 7] -= c31;
  a[t + 8] -= c02;
  a[t + 9] -= c12;
  a[t + 10] -= c22;
  a[t + 11] -= c32;
  a[t + 12] -= c03;
  a[t + 13] -= c13;
  a[t + 14] -= c23;
  a[t + 15] -= c33;
}

/** The same for a tile of two columns. */
function subtractNarrow(a: Float64Array, t: number, rowA: number, rowB: number, length: number): void {
  let c00 = 0;
  let c10 = 0;
  let c20 = 0;
  let c30 = 0;
  let c01 = 0;
  let c11 = 0;
  let c21 = 0;
  let c31 = 0;
  for (let c = 0; c < length; c += 4) {
    const p = (rowA + c) | 0;
    const q = (rowB + c) | 0;
    const a0 = a[p];
    const a1 = a[p + 1];
    const a2 = a[p + 2];
    const a3 = a[p + 3];
    const b0 = a[q];
    c00 += a0 * b0;
    c10 += a1 * b0;
    c20 += a2 * b0;
    c30 += a3 * b0;
    const b1 = a[q + 1];
    c01 += a0 * b1;
    c11 += a1 * b1;
    c21 += a2 * b1;
    c31 += a3 * b1;
  }
  a[t] -= c00;
  a[t + 1] -= c10;
  a[t + 2] -= c20;
  a[t + 3] -= c30;
  a[t + 4] -= c01;
  a[t + 5] -= c11;
  a[t + 6] -= c21;
  a[t + 7] -= c31;
}

/**
 * The tiled lower triangle at `update` becomes -L Lᵀ, L being the `blocks` block rows of `columns` columns at `rows`.
 */
function formUpdate(
  updates: Float64Array,
  update: number,
  panels: Float64Array,
  rows: number,
  columns: number,
  blocks: number,
): void {
  const length = 4 * columns;
  const group = Math.max(1, Math.floor(GROUP_NUMBERS / length));
  for (let from = 0; from < blocks; from += group) {
    const groupEnd = from + group;
    for (let i = from; i < blocks; i++) {
      const to = i < groupEnd ? i + 1 : groupEnd;
      const own = rows + i * length;
      let t = update + 8 * i * (i + 1) + 16 * from;
      let other = rows + from * length;
      for (let j = from; j < to; j++, t += 16, other += length) {
        let c00 = 0;
        let c10 = 0;
        let c20 = 0;
        let c30 = 0;
        let c01 = 0;
        let c11 = 0;
        let c21 = 0;
        let c31 = 0;
        let c02 = 0;
        let c12 = 0;
        let c22 = 0;
        let c32 = 0;
        let c03 = 0;
        let c13 = 0;
        let c23 = 0;
        let c33 = 0;
        for (let c = 0; c < length; c += 4) {
          const p = (own + c) | 0;
          const q = (other + c) | 0;
          const a0 = panels[p];
          const a1 = panels[p + 1];
          const a2 = panels[p + 2];
          const a3 = panels[p + 3];
          const b0 = panels[q];
          c00 -= a0 * b0;
          c10 -= a1 * b0;
          c20 -= a2 * b0;
          c30 -= a3 * b0;
          const b1 = panels[q + 1];
          c01 -= a0 * b1;
          c11 -= a1 * b1;
          c21 -= a2 * b1;
          c31 -= a3 * b1;
          const b2 = panels[q + 2];
          c02 -= a0 * b2;
          c12 -= a1 * b2;
          c22 -= a2 * b2;
          c32 -= a3 * b2;
          const b3 = panels[q + 3];
          c03 -= a0 * b3;
          c13 -= a1 * b3;
          c23 -= a2 * b3;
          c33 -= a3 * b3;
        }
        updates[t] = c00;
        updates[t + 1] = c10;
        updates[t + 2] = c20;
        updates[t + 3] = c30;
        updates[t + 4] = c01;
        updates[t + 5] = c11;
        updates[t + 6] = c21;
        updates[t + 7] = c31;
        updates[t + 8] = c02;
        updates[t + 9] = c12;
        updates[t + 10] = c22;
        updates[t + 11] = c32;
        updates[t + 12] = c03;
        updates[t + 13] = c13;
        updates[t + 14] = c23;
        updates[t + 15] = c33;
      }
    }
  }
}

function solveFronts(
  symbolic: Symbolic,
  panels: Float64Array,
  x: Float64Array,
  count: number,
  local: Float64Array,
): void {
  const { n, fronts, frontFirst, rowPtr, rows, panelStart } = symbolic;
  // a panel is read once for all vectors
  for (let f = 0; f < fronts; f++) {
    const first = frontFirst[f];
    const columns = 2 * (frontFirst[f + 1] - first);
    for (let s = 0; s < count; s++) {
      const base = s * 2 * n;
      forwardFront(panels, panelStart[f], columns, x, base, base + 2 * first, rows, rowPtr[f], rowPtr[f + 1]);
    }
  }
  for (let f = fronts - 1; f >= 0; f--) {
    const first = frontFirst[f];
    const columns = 2 * (frontFirst[f + 1] - first);
    for (let s = 0; s < count; s++) {
      const base = s * 2 * n;
      backwardFront(
        panels,
        panelStart[f],
        columns,
        x,
        base,
        base + 2 * first,
        rows,
        rowPtr[f],
        rowPtr[f + 1],
        local,
      );
    }
  }
}

/** Pivots of one front solved with L, their part taken from the rows below. `own` is the first pivot's place in x. */
function forwardFront(
  panels: Float64Array,
  panel: number,
  columns: number,
  x: Float64Array,
  base: number,
  own: number,
  rows: Int32Array,
  from: number,
  to: number,
): void {
  const stride = 4 * columns;
  let block = panel;
  for (let j = 0; j < columns; j += 4, block += stride) {
    let p = block;
    let s0 = x[own + j];
    let s1 = x[own + j + 1];
    if (j + 4 <= columns) {
      let s2 = x[own + j + 2];
      let s3 = x[own + j + 3];
      for (let c = own; c < own + j; c++, p += 4) {
        const y = x[c];
        s0 -= panels[p] * y;
        s1 -= panels[p + 1] * y;
        s2 -= panels[p + 2] * y;
        s3 -= panels[p + 3] * y;
      }
      s0 *= panels[p];
      s1 = (s1 - panels[p + 1] * s0) * panels[p + 5];
      s2 = (s2 - panels[p + 2] * s0 - panels[p + 6] * s1) * panels[p + 10];
      s3 = (s3 - panels[p + 3] * s0 - panels[p + 7] * s1 - panels[p + 11] * s2) * panels[p + 15];
      x[own + j + 2] = s2;
      x[own + j + 3] = s3;
    } else {
      for (let c = own; c < own + j; c++, p += 4) {
        const y = x[c];
        s0 -= panels[p] * y;
        s1 -= panels[p + 1] * y;
      }
      s0 *= panels[p];
      s1 = (s1 - panels[p + 1] * s0) * panels[p + 5];
    }
    x[own + j] = s0;
    x[own + j + 1] = s1;
  }
  const ownEnd = own + columns;
  for (let q = from; q < to; q += 2) {
    let s0 = 0;
    let s1 = 0;
    let s2 = 0;
    let s3 = 0;
    for (let c = own; c < ownEnd; c++, block += 4) {
      const y = x[c];
      s0 += panels[block] * y;
      s1 += panels[block + 1] * y;
      s2 += panels[block + 2] * y;
      s3 += panels[block + 3] * y;
    }
    const i = base + 2 * rows[q];
    x[i] -= s0;
    x[i + 1] -= s1;
    if (q + 1 < to) {
      const i2 = base + 2 * rows[q + 1];
      x[i2] -= s2;
      x[i2 + 1] -= s3;
    }
  }
}

/** Pivots of one front solved with Lᵀ, the rows below being known. */
function backwardFront(
  panels: Float64Array,
  panel: number,
  columns: number,
  x: Float64Array,
  base: number,
  own: number,
  rows: Int32Array,
  from: number,
  to: number,
  local: Float64Array,
): void {
  const stride = 4 * columns;
  const pivotBlocks = (columns + 3) >> 2;
  for (let c = 0; c < columns; c++) local[c] = x[own + c];
  let p = panel + pivotBlocks * stride;
  for (let q = from; q < to; q += 2) {
    const i = base + 2 * rows[q];
    const y0 = x[i];
    const y1 = x[i + 1];
    let y2 = 0;
    let y3 = 0;
    if (q + 1 < to) {
      const i2 = base + 2 * rows[q + 1];
      y2 = x[i2];
      y3 = x[i2 + 1];
    }
    for (let c = 0; c < columns; c++, p += 4) {
      local[c] -= panels[p] * y0 + panels[p + 2] * y2 + (panels[p + 1] * y1 + panels[p + 3] * y3);
    }
  }
  for (let j = 4 * (pivotBlocks - 1); j >= 0; j -= 4) {
    const block = panel + j * columns;
    const t = block + 4 * j;
    let y0: number;
    let y1: number;
    let y2 = 0;
    let y3 = 0;
    if (j + 4 <= columns) {
      y3 = local[j + 3] * panels[t + 15];
      y2 = (local[j + 2] - panels[t + 11] * y3) * panels[t + 10];
      y1 = (local[j + 1] - panels[t + 6] * y2 - panels[t + 7] * y3) * panels[t + 5];
      y0 = (local[j] - panels[t + 1] * y1 - panels[t + 2] * y2 - panels[t + 3] * y3) * panels[t];
      x[own + j + 2] = y2;
      x[own + j + 3] = y3;
    } else {
      y1 = local[j + 1] * panels[t + 5];
      y0 = (local[j] - panels[t + 1] * y1) * panels[t];
    }
    x[own + j] = y0;
    x[own + j + 1] = y1;
    for (let c = 0, r = block; c < j; c++, r += 4) {
      local[c] -= panels[r] * y0 + panels[r + 2] * y2 + (panels[r + 1] * y1 + panels[r + 3] * y3);
    }
  }
}
