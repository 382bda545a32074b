import { columnCounts } from "./columnCounts.ts";
import { eliminationTree, postorder } from "./eliminationTree.ts";
import { type Floats, floats, type Ints, type int, ints, least, most } from "./flat.ts";
import { mergeFronts } from "./mergeFronts.ts";

/** The arrays of `Symbolic`, under the same names, and its numbers. */
export class SymbolicArrays {
  order!: Ints;
  frontFirst!: Ints;
  frontParent!: Ints;
  childPtr!: Ints;
  childList!: Ints;
  rowPtr!: Ints;
  rows!: Ints;
  rowInParent!: Ints;
  panelStart!: Ints;
  updateStart!: Ints;
  entryPtr!: Ints;
  entrySource!: Ints;
  entryTarget!: Ints;
  /** Fronts, numbers in panels and in updates, non-zeros and flops of the factor, flops of the fronts, the largest front. */
  numbers!: Floats;
}

/** More numbers than this cannot be told apart by a place. */
const MOST_NUMBERS: number = 0x7fffffff;

/**
 * From a pattern and an order of elimination (a permutation) to everything in `Symbolic`; the entries are left out when
 * the panels or updates would exceed 2³¹ numbers.
 *
 * Tree, counts and rows need the graph only up to fill. Where it is known to be the union of `cliques` sets of nodes all
 * tied to each other, set c being `cliqueNodes[cliquePtr[c]] …` (finite elements), each is therefore read as a star: its
 * first node to go, tied to the others; eliminating that one ties them all. `cliques` is 0 where none are known.
 */
export function symbolicArrays(
  n: int,
  colPtr: Ints,
  rowIdx: Ints,
  cliques: int,
  cliquePtr: Ints,
  cliqueNodes: Ints,
  order: Ints,
): SymbolicArrays {
  const place = ints(n); // node -> position in the order at hand
  for (let k = 0; k < n; k++) place[order[k]] = k;

  // edges by their higher end in the order given: lower ends of row i at lowers[rowStart[i]] …
  const rowStart = ints(n + 1);
  if (cliques > 0) {
    for (let c = 0; c < cliques; c++) {
      let first = n;
      for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) first = least(first, place[cliqueNodes[q]]);
      for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) {
        const i = place[cliqueNodes[q]];
        if (i !== first) rowStart[i] += 1;
      }
    }
  } else {
    for (let j = 0; j < n; j++) {
      const a = place[j];
      for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) rowStart[most(a, place[rowIdx[p]])] += 1;
    }
  }
  // ends first, counted down while filling
  for (let i = 1; i <= n; i++) rowStart[i] += rowStart[i - 1];
  const edges = rowStart[n];
  const lowers = ints(edges);
  if (cliques > 0) {
    for (let c = 0; c < cliques; c++) {
      let first = n;
      for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) first = least(first, place[cliqueNodes[q]]);
      for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) {
        const i = place[cliqueNodes[q]];
        if (i === first) continue;
        const at = rowStart[i] - 1;
        rowStart[i] = at;
        lowers[at] = first;
      }
    }
  } else {
    for (let j = 0; j < n; j++) {
      const a = place[j];
      for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
        const b = place[rowIdx[p]];
        const i = most(a, b);
        const at = rowStart[i] - 1;
        rowStart[i] = at;
        lowers[at] = least(a, b);
      }
    }
  }

  // the tree in the given order, then everything in its postorder (which keeps the lower end of an edge the lower one)
  const roughParent = eliminationTree(n, rowStart, lowers);
  const post = postorder(roughParent, floats(n));
  const toPost = ints(n);
  for (let k = 0; k < n; k++) toPost[post[k]] = k;
  const parent = ints(n);
  for (let k = 0; k < n; k++) {
    const up = roughParent[post[k]];
    parent[k] = up === -1 ? -1 : toPost[up];
  }
  const columnStart = ints(n + 1);
  for (let q = 0; q < edges; q++) columnStart[toPost[lowers[q]] + 1] += 1;
  for (let j = 0; j < n; j++) columnStart[j + 1] += columnStart[j];
  const uppers = ints(edges);
  const columnNext = columnStart.slice(0, n);
  for (let k = 0; k < n; k++) {
    const i = post[k];
    for (let q = rowStart[i]; q < rowStart[i + 1]; q++) {
      const j = toPost[lowers[q]];
      const at = columnNext[j];
      uppers[at] = k;
      columnNext[j] = at + 1;
    }
  }
  const counts = columnCounts(parent, columnStart, uppers);
  let factorNonZeros: number = 0;
  let flops: number = 0;
  for (let j = 0; j < n; j++) {
    const c: number = 2 * counts[j];
    factorNonZeros += 2 * c - 1;
    flops += c * c + (c - 1) * (c - 1);
  }

  const merged = mergeFronts(parent, counts);
  const frontOf = merged.frontOf;
  const frontFirst = merged.frontFirst;
  const frontBelow = merged.frontBelow;
  const frontParent = merged.frontParent;
  const fronts = frontParent.length;
  // final numbers: by front, and within it as before
  const next = frontFirst.slice(0, fronts);
  const columnFront = ints(n);
  const finalOrder = ints(n);
  const finalRough = ints(n); // position in the order given
  const toFinal = ints(n); // from there
  for (let j = 0; j < n; j++) {
    const f = frontOf[j];
    const k = next[f];
    next[f] = k + 1;
    columnFront[k] = f;
    finalRough[k] = post[j];
    toFinal[post[j]] = k;
  }
  for (let k = 0; k < n; k++) finalOrder[k] = order[finalRough[k]];
  for (let i = 0; i < n; i++) place[i] = toFinal[place[i]];

  // rows below: row i lies in every front from those of its lower neighbours up to its own
  const seen = ints(fronts).fill(-1);
  const rowPtr = ints(fronts + 1);
  for (let f = 0; f < fronts; f++) rowPtr[f + 1] = rowPtr[f] + frontBelow[f];
  const rows = ints(rowPtr[fronts]);
  const rowNext = rowPtr.slice(0, fronts);
  for (let i = 0; i < n; i++) {
    seen[columnFront[i]] = i;
    const rough = finalRough[i];
    for (let q = rowStart[rough]; q < rowStart[rough + 1]; q++) {
      for (let f = columnFront[toFinal[lowers[q]]]; seen[f] !== i; f = frontParent[f]) {
        seen[f] = i;
        const at = rowNext[f];
        rows[at] = i;
        rowNext[f] = at + 1;
      }
    }
  }

  // children
  const childPtr = ints(fronts + 1);
  for (let f = 0; f < fronts; f++) if (frontParent[f] !== -1) childPtr[frontParent[f] + 1] += 1;
  for (let f = 0; f < fronts; f++) childPtr[f + 1] += childPtr[f];
  const childList = ints(childPtr[fronts]);
  const childNext = childPtr.slice(0, fronts);
  for (let f = 0; f < fronts; f++) {
    const up = frontParent[f];
    if (up === -1) continue;
    childList[childNext[up]] = f;
    childNext[up] += 1;
  }

  // panels and updates
  const panelStart = ints(fronts + 1);
  const updateStart = ints(fronts);
  let panelLength: number = 0;
  let frontFlops: number = 0;
  let largestFront = 0;
  const depth = ints(fronts); // parity
  for (let f = fronts - 1; f >= 0; f--) depth[f] = frontParent[f] === -1 ? 0 : 1 - depth[frontParent[f]];
  let top0: number = 0; // heights of the two stacks
  let top1: number = 0;
  let height0: number = 0;
  let height1: number = 0;
  for (let f = 0; f < fronts; f++) {
    const k = frontFirst[f + 1] - frontFirst[f];
    const u = rowPtr[f + 1] - rowPtr[f];
    panelStart[f] = asPlace(panelLength);
    panelLength += (((k + 1) >> 1) + ((u + 1) >> 1)) * 8 * k;
    const blockRows: number = (u + 1) >> 1;
    const room = 8 * blockRows * (blockRows + 1);
    // a front's update goes on its own stack while its children's lie on top of the other one
    const firstChild = childPtr[f] < childPtr[f + 1] ? childList[childPtr[f]] : -1;
    if (depth[f] === 0) {
      updateStart[f] = asPlace(top0);
      top0 += room;
      height0 = Math.max(height0, top0);
      if (firstChild !== -1) top1 = updateStart[firstChild];
    } else {
      updateStart[f] = asPlace(top1);
      top1 += room;
      height1 = Math.max(height1, top1);
      if (firstChild !== -1) top0 = updateStart[firstChild];
    }
    for (let c = 2 * (k + u), end = 2 * u; c > end; c--) {
      const entries: number = c;
      frontFlops += entries * entries;
    }
    largestFront = most(largestFront, 2 * (k + u));
  }
  panelStart[fronts] = asPlace(panelLength);
  const updateLength = height0 + height1;
  const fits = panelLength <= MOST_NUMBERS && updateLength <= MOST_NUMBERS;
  if (fits) for (let f = 0; f < fronts; f++) if (depth[f] === 1) updateStart[f] += height0 as int;

  // blocks by the column they stand in, whichever triangle of the pattern they come from
  const blocks = rowIdx.length;
  const blockStart = ints(n + 1);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) blockStart[least(a, place[rowIdx[p]])] += 1;
  }
  for (let i = 1; i <= n; i++) blockStart[i] += blockStart[i - 1];
  const blockRow = ints(blockStart[n]);
  const blockSource = ints(blockStart[n]);
  for (let j = 0; j < n; j++) {
    const a = place[j];
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const b = place[rowIdx[p]];
      const column = least(a, b);
      const at = blockStart[column] - 1;
      blockStart[column] = at;
      blockRow[at] = most(a, b);
      blockSource[at] = a < b ? 4 * p : 4 * p + 1;
    }
  }

  // maps into fronts: `local` is a row's padded node in the front at hand
  const local = ints(n);
  const rowInParent = ints(rowPtr[fronts]);
  const entryPtr = ints(fronts + 1);
  const entrySource = ints(fits ? blocks : 0);
  const entryTarget = ints(fits ? blocks : 0);
  let entry = 0;
  for (let f = 0; fits && f < fronts; f++) {
    const first = frontFirst[f];
    const end = frontFirst[f + 1];
    const k = end - first;
    for (let j = first; j < end; j++) local[j] = j - first;
    const padded = k + (k & 1) - rowPtr[f];
    for (let q = rowPtr[f]; q < rowPtr[f + 1]; q++) local[rows[q]] = padded + q;
    for (let c = childPtr[f]; c < childPtr[f + 1]; c++) {
      const child = childList[c];
      for (let q = rowPtr[child]; q < rowPtr[child + 1]; q++) rowInParent[q] = local[rows[q]];
    }
    const base = panelStart[f];
    for (let j = first; j < end; j++) {
      const columnBase = base + 8 * (j - first);
      entrySource[entry] = 4 * colPtr[finalOrder[j]];
      entryTarget[entry++] = columnBase + ((j - first) >> 1) * 8 * k + ((j - first) & 1) * 2;
      for (let p = blockStart[j]; p < blockStart[j + 1]; p++) {
        const r = local[blockRow[p]];
        entrySource[entry] = blockSource[p];
        entryTarget[entry++] = columnBase + (r >> 1) * 8 * k + (r & 1) * 2;
      }
    }
    entryPtr[f + 1] = entry;
  }

  const numbers = floats(7);
  numbers[0] = fronts;
  numbers[1] = panelLength;
  numbers[2] = updateLength;
  numbers[3] = factorNonZeros;
  numbers[4] = flops;
  numbers[5] = frontFlops;
  numbers[6] = largestFront;
  const out = new SymbolicArrays();
  out.order = finalOrder;
  out.frontFirst = frontFirst;
  out.frontParent = frontParent;
  out.childPtr = childPtr;
  out.childList = childList;
  out.rowPtr = rowPtr;
  out.rows = rows;
  out.rowInParent = rowInParent;
  out.panelStart = panelStart;
  out.updateStart = updateStart;
  out.entryPtr = entryPtr;
  out.entrySource = entrySource;
  out.entryTarget = entryTarget;
  out.numbers = numbers;
  return out;
}

/** A length as a place, held at what a place can say. */
function asPlace(length: number): int {
  return Math.min(length, MOST_NUMBERS) as int;
}
