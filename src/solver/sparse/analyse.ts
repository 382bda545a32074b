import { columnCounts } from "./columnCounts.ts";
import { eliminationTree, postorder } from "./eliminationTree.ts";
import { mergeFronts } from "./mergeFronts.ts";
import type { NodePattern } from "./nodeMatrix.ts";
import { orderNodes } from "./orderNodes.ts";
import type { Symbolic } from "./symbolic.ts";

/**
 * Symbolic phase: elimination tree, column counts, fronts, and where every number goes. `order` is the order of
 * elimination (`orderNodes` by default); it is rearranged within what leaves the fill as it is. Reusable for all
 * matrices of the same pattern. Throws when `order` is no permutation or the factor exceeds 2³¹ numbers.
 */
export function analyse(pattern: NodePattern, order: Int32Array = orderNodes(pattern)): Symbolic {
  const { n, colPtr, rowIdx } = pattern;
  const place = new Int32Array(n).fill(-1); // node -> position in the order at hand
  if (order.length !== n) throw new Error(`analyse: an order of ${order.length} for ${n} nodes`);
  for (let k = 0; k < n; k++) {
    const i = order[k];
    if (!(i >= 0 && i < n) || place[i] !== -1)
      throw new Error(`analyse: order[${k}] = ${i} is no permutation`);
    place[i] = k;
  }
  const blocks = rowIdx.length;

  // tree in the given order, then everything renumbered to its postorder
  const byRow = listByRow(pattern, place);
  const roughParent = eliminationTree(n, byRow.ptr, byRow.lowers);
  const post = postorder(roughParent);
  const toPost = new Int32Array(n);
  for (let k = 0; k < n; k++) toPost[post[k]] = k;
  const parent = new Int32Array(n);
  for (let k = 0; k < n; k++) {
    const up = roughParent[post[k]];
    parent[k] = up === -1 ? -1 : toPost[up];
  }
  for (let i = 0; i < n; i++) place[i] = toPost[place[i]];
  const byColumn = listByColumn(pattern, place);
  const counts = columnCounts(parent, byColumn.ptr, byColumn.uppers);

  let factorNonZeros = 0;
  let flops = 0;
  for (let j = 0; j < n; j++) {
    const c = 2 * counts[j];
    factorNonZeros += 2 * c - 1;
    flops += c * c + (c - 1) * (c - 1);
  }

  const { frontOf, frontFirst, frontBelow, frontParent } = mergeFronts(parent, counts);
  const fronts = frontParent.length;
  // final numbers: by front, and within it as before
  const next = frontFirst.slice(0, fronts);
  const toFinal = new Int32Array(n);
  const columnFront = new Int32Array(n);
  for (let j = 0; j < n; j++) {
    const f = frontOf[j];
    const k = next[f]++;
    toFinal[j] = k;
    columnFront[k] = f;
  }
  const finalOrder = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    place[i] = toFinal[place[i]];
    finalOrder[place[i]] = i;
  }

  // rows below: row i lies in every front from those of its lower neighbours up to its own
  const rowLists = listByRow(pattern, place);
  const seen = new Int32Array(fronts).fill(-1);
  const rowPtr = new Int32Array(fronts + 1);
  for (let f = 0; f < fronts; f++) rowPtr[f + 1] = rowPtr[f] + frontBelow[f];
  const rows = new Int32Array(rowPtr[fronts]);
  const rowNext = rowPtr.slice(0, fronts);
  for (let i = 0; i < n; i++) {
    const own = columnFront[i];
    seen[own] = i;
    for (let p = rowLists.ptr[i]; p < rowLists.ptr[i + 1]; p++) {
      for (let f = columnFront[rowLists.lowers[p]]; seen[f] !== i; f = frontParent[f]) {
        seen[f] = i;
        rows[rowNext[f]++] = i;
      }
    }
  }

  // children
  const childPtr = new Int32Array(fronts + 1);
  for (let f = 0; f < fronts; f++) if (frontParent[f] !== -1) childPtr[frontParent[f] + 1]++;
  for (let f = 0; f < fronts; f++) childPtr[f + 1] += childPtr[f];
  const childList = new Int32Array(childPtr[fronts]);
  const childNext = childPtr.slice(0, fronts);
  for (let f = 0; f < fronts; f++) if (frontParent[f] !== -1) childList[childNext[frontParent[f]]++] = f;

  // panels and updates
  const panelStart = new Int32Array(fronts + 1);
  const updateStart = new Int32Array(fronts);
  let panelLength = 0;
  let frontFlops = 0;
  let largestFront = 0;
  const depth = new Uint8Array(fronts); // parity
  for (let f = fronts - 1; f >= 0; f--) depth[f] = frontParent[f] === -1 ? 0 : 1 - depth[frontParent[f]];
  const top = [0, 0];
  const height = [0, 0];
  for (let f = 0; f < fronts; f++) {
    const k = frontFirst[f + 1] - frontFirst[f];
    const u = rowPtr[f + 1] - rowPtr[f];
    panelStart[f] = panelLength;
    panelLength += (((k + 1) >> 1) + ((u + 1) >> 1)) * 8 * k;
    const side = depth[f];
    const blockRows = (u + 1) >> 1;
    // a front's update goes on its own stack while its children's lie on top of the other one
    updateStart[f] = top[side];
    top[side] += 8 * blockRows * (blockRows + 1);
    if (top[side] > height[side]) height[side] = top[side];
    if (childPtr[f] < childPtr[f + 1]) top[1 - side] = updateStart[childList[childPtr[f]]];
    for (let c = 2 * (k + u), least = 2 * u; c > least; c--) frontFlops += c * c;
    if (2 * (k + u) > largestFront) largestFront = 2 * (k + u);
  }
  panelStart[fronts] = panelLength;
  const updateLength = height[0] + height[1];
  if (panelLength > 0x7fffffff || updateLength > 0x7fffffff) {
    throw new Error(`analyse: the factor of ${n} nodes needs ${panelLength} numbers, more than 2^31`);
  }
  for (let f = 0; f < fronts; f++) if (depth[f] === 1) updateStart[f] += height[0];

  // maps into fronts: `local` is a row's padded node in the front at hand
  const local = new Int32Array(n);
  const rowInParent = new Int32Array(rows.length);
  const entryPtr = new Int32Array(fronts + 1);
  const entrySource = new Int32Array(blocks);
  const entryTarget = new Int32Array(blocks);
  const columns = listByColumn(pattern, place);
  let entry = 0;
  for (let f = 0; f < fronts; f++) {
    const first = frontFirst[f];
    const last = frontFirst[f + 1];
    const k = last - first;
    for (let j = first; j < last; j++) local[j] = j - first;
    const padded = k + (k & 1) - rowPtr[f];
    for (let q = rowPtr[f]; q < rowPtr[f + 1]; q++) local[rows[q]] = padded + q;
    for (let c = childPtr[f]; c < childPtr[f + 1]; c++) {
      const child = childList[c];
      for (let q = rowPtr[child]; q < rowPtr[child + 1]; q++) rowInParent[q] = local[rows[q]];
    }
    const base = panelStart[f];
    for (let j = first; j < last; j++) {
      const columnBase = base + 8 * (j - first);
      const diagonal = 4 * colPtr[finalOrder[j]];
      entrySource[entry] = diagonal;
      entryTarget[entry++] = columnBase + ((j - first) >> 1) * 8 * k + ((j - first) & 1) * 2;
      for (let p = columns.ptr[j]; p < columns.ptr[j + 1]; p++) {
        const r = local[columns.uppers[p]];
        entrySource[entry] = columns.source[p];
        entryTarget[entry++] = columnBase + (r >> 1) * 8 * k + (r & 1) * 2;
      }
    }
    entryPtr[f + 1] = entry;
  }

  const symbolicNumbers =
    6 * fronts + rows.length * 2 + 2 * blocks + 2 * n + frontFirst.length + rowPtr.length + panelStart.length;
  return {
    pattern,
    n,
    order: finalOrder,
    fronts,
    frontFirst,
    frontParent,
    childPtr,
    childList,
    rowPtr,
    rows,
    rowInParent,
    panelStart,
    updateStart,
    updateLength,
    entryPtr,
    entrySource,
    entryTarget,
    statistics: {
      unknowns: 2 * n,
      factorNonZeros,
      factorStored: panelLength,
      flops,
      frontFlops,
      fronts,
      largestFront,
      peakBytes: 8 * (panelLength + updateLength + 2 * n) + 4 * symbolicNumbers,
    },
  };
}

/** Off-diagonal blocks by row of the permuted lower triangle; `place` maps nodes to positions. */
function listByRow(
  { n, colPtr, rowIdx }: NodePattern,
  place: Int32Array,
): { ptr: Int32Array; lowers: Int32Array } {
  const ptr = new Int32Array(n + 1);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const b = place[rowIdx[p]];
      ptr[Math.max(a, b)]++;
    }
  }
  // ends first, counted down while filling
  for (let i = 1; i <= n; i++) ptr[i] += ptr[i - 1];
  const lowers = new Int32Array(ptr[n]);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const b = place[rowIdx[p]];
      if (a > b) lowers[--ptr[a]] = b;
      else lowers[--ptr[b]] = a;
    }
  }
  return { ptr, lowers };
}

/** Off-diagonal blocks by column of the permuted lower triangle, each with its `entrySource`. */
function listByColumn(
  { n, colPtr, rowIdx }: NodePattern,
  place: Int32Array,
): { ptr: Int32Array; uppers: Int32Array; source: Int32Array } {
  const ptr = new Int32Array(n + 1);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const b = place[rowIdx[p]];
      ptr[Math.min(a, b)]++;
    }
  }
  for (let i = 1; i <= n; i++) ptr[i] += ptr[i - 1];
  const uppers = new Int32Array(ptr[n]);
  const source = new Int32Array(ptr[n]);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const b = place[rowIdx[p]];
      if (a < b) {
        const q = --ptr[a];
        uppers[q] = b;
        source[q] = 4 * p;
      } else {
        const q = --ptr[b];
        uppers[q] = a;
        source[q] = 4 * p + 1;
      }
    }
  }
  return { ptr, uppers, source };
}
