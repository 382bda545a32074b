import {
  analyse,
  type Factor,
  type FactorWorkspace,
  factor,
  type NodeMatrix,
  type NodePattern,
  orderNodes,
  type Symbolic,
} from "../sparse/index.ts";

/**
 * A sector's stiffness K with all that lies between its two cuts eliminated (static condensation). With I the inner
 * unknowns and B those on the cuts, D the diagonal of K on B and zero on I,
 *
 *     K + D = | K_II  K_IB     |     has the Schur complement   S' = S + D_B,   S = K_BB − K_BI K_II⁻¹ K_IB.
 *             | K_BI  K_BB + D |
 *
 * K alone is singular (nothing holds the sector); K + D is not, so one ordinary factorisation with B eliminated last
 * serves everything: its last columns L_BB give S' = L_BB L_BBᵀ, and a solve with it carries loads to the cuts
 * (S' x_B is the condensed load) as well as cut displacements back to the inside.
 */
export interface CondensedSector {
  readonly factor: Factor;
  /** Numbers on the cuts: 2 × nodes on both. */
  readonly size: number;
  /** S', size × size, row after row, both halves. */
  readonly shifted: Float64Array;
  /** D on the cuts. */
  readonly shift: Float64Array;
}

/** Symbolic phase with the last `last` nodes of the pattern kept to the end. */
export function analyseCutsLast(pattern: NodePattern, last: number): Symbolic {
  const { n } = pattern;
  const inner = n - last;
  const within = innerPattern(pattern, inner);
  const order = new Int32Array(n);
  order.set(orderNodes(within));
  for (let k = inner; k < n; k++) order[k] = k;
  return analyse(pattern, order);
}

/** The pattern among the first `inner` nodes. */
function innerPattern({ colPtr, rowIdx }: NodePattern, inner: number): NodePattern {
  const ptr = new Int32Array(inner + 1);
  const rows = new Int32Array(colPtr[inner]);
  let count = 0;
  for (let j = 0; j < inner; j++) {
    // rows ascend, so those of the cuts come last
    for (let p = colPtr[j]; p < colPtr[j + 1] && rowIdx[p] < inner; p++) rows[count++] = rowIdx[p];
    ptr[j + 1] = count;
  }
  return { n: inner, colPtr: ptr, rowIdx: rows.slice(0, count) };
}

/** Factorises K + D and reads S' from it. Throws what `factor` throws. */
export function condenseSector(
  matrix: NodeMatrix,
  symbolic: Symbolic,
  last: number,
  workspace: FactorWorkspace,
): CondensedSector {
  const { n, colPtr } = matrix;
  const size = 2 * last;
  const values = matrix.values.slice();
  const shift = new Float64Array(size);
  for (let j = n - last; j < n; j++) {
    const p = 4 * colPtr[j];
    const at = 2 * (j - n + last);
    shift[at] = values[p];
    shift[at + 1] = values[p + 3];
    values[p] *= 2;
    values[p + 3] *= 2;
  }
  const f = factor(symbolic, values, workspace);
  const lower = cutColumns(f, last);
  return { factor: f, size, shifted: timesOwnTranspose(lower, size), shift };
}

/** L_BB in the order of the pattern's last nodes, size × size, row after row; it need not be triangular in that order. */
function cutColumns({ symbolic, panels }: Factor, last: number): Float64Array {
  const { n, order, fronts, frontFirst, rowPtr, rows, panelStart } = symbolic;
  const size = 2 * last;
  const inner = n - last;
  const lower = new Float64Array(size * size);
  const column: number[] = []; // place on the cuts of a front's padded local rows, node by node
  for (let f = 0; f < fronts; f++) {
    const first = frontFirst[f];
    const pivots = frontFirst[f + 1] - first;
    // whatever is eliminated after a cut node and touches it lies on a cut too, and pivots are in order
    if (order[frontFirst[f + 1] - 1] < inner) continue;
    column.length = 0;
    for (let c = 0; c < pivots; c++) column.push(order[first + c] - inner);
    if (pivots & 1) column.push(-1);
    for (let q = rowPtr[f]; q < rowPtr[f + 1]; q++) column.push(order[rows[q]] - inner);
    for (let c = 0; c < pivots; c++) {
      const b = column[c];
      if (b < 0) continue;
      for (let r = c; r < column.length; r++) {
        const a = column[r];
        if (a < 0) continue;
        const p = panelStart[f] + (r >> 1) * 8 * pivots + 8 * c + 2 * (r & 1);
        const to = 2 * a * size + 2 * b;
        if (r === c) {
          // the diagonal is kept as reciprocals
          lower[to] = 1 / panels[p];
          lower[to + size] = panels[p + 1];
          lower[to + size + 1] = 1 / panels[p + 5];
        } else {
          lower[to] = panels[p];
          lower[to + 1] = panels[p + 4];
          lower[to + size] = panels[p + 1];
          lower[to + size + 1] = panels[p + 5];
        }
      }
    }
  }
  return lower;
}

/** L Lᵀ, two rows by two at a time so that each number read serves twice. `size` is even. */
function timesOwnTranspose(lower: Float64Array, size: number): Float64Array {
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i += 2) {
    for (let j = 0; j <= i; j += 2) {
      let s00 = 0;
      let s01 = 0;
      let s10 = 0;
      let s11 = 0;
      const a = i * size;
      const b = j * size;
      for (let c = 0; c < size; c++) {
        const x0 = lower[a + c];
        const x1 = lower[a + size + c];
        const y0 = lower[b + c];
        const y1 = lower[b + size + c];
        s00 += x0 * y0;
        s01 += x0 * y1;
        s10 += x1 * y0;
        s11 += x1 * y1;
      }
      out[a + j] = s00;
      out[a + j + 1] = s01;
      out[a + size + j] = s10;
      out[a + size + j + 1] = s11;
      out[b + i] = s00;
      out[b + i + 1] = s10;
      out[b + size + i] = s01;
      out[b + size + i + 1] = s11;
    }
  }
  return out;
}
