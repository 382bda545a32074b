import { PLACE_DIRECT, PLACE_TRANSPOSED, patternArrays } from "./patternArrays.ts";
import { simdPatternArrays } from "./simdSymbolic.ts";

export { PLACE_BOTH, PLACE_DIRECT, PLACE_TRANSPOSED } from "./patternArrays.ts";

/**
 * Which 2×2 blocks of a symmetric matrix are kept: the lower triangle, one vertex a node, compressed by columns.
 *
 * Column `j` owns the blocks `colPtr[j] … colPtr[j + 1] - 1`; block `p` sits in row `rowIdx[p]`. Rows ascend
 * within a column and the first one is the diagonal, `rowIdx[colPtr[j]] === j`, so every node has one.
 */
export interface NodePattern {
  /** Number of nodes; the matrix has 2 × n rows. */
  readonly n: number;
  /** Start of each column, length n + 1. */
  readonly colPtr: Int32Array;
  /** Node index of the row of each block, length `colPtr[n]`. */
  readonly rowIdx: Int32Array;
  /** Sets of nodes that make up the graph, if it is known to be a union of such. Saves work; never changes what is kept. */
  readonly cliques?: Cliques;
}

/** The graph holds an edge exactly between those nodes that share a set: set c is `nodes[ptr[c]] … nodes[ptr[c + 1] - 1]`. */
export interface Cliques {
  readonly ptr: Int32Array;
  readonly nodes: Int32Array;
}

/**
 * A symmetric matrix over two dofs a node. Block `p` in row `i` and column `j` holds, column after column,
 *
 *     values[4 p]     = A[2 i, 2 j]        values[4 p + 2] = A[2 i, 2 j + 1]
 *     values[4 p + 1] = A[2 i + 1, 2 j]    values[4 p + 3] = A[2 i + 1, 2 j + 1]
 *
 * that is `values[4 p + 2 c + r]` for row r and column c of the block. Of a diagonal block the solver reads
 * the lower half only (places 0, 1 and 3).
 */
export interface NodeMatrix extends NodePattern {
  /** Four numbers a block, length 4 × `colPtr[n]`. */
  readonly values: Float64Array;
}

/** In `elements`: this local node has no equation (it is held), so its pairs are left out. */
export const NO_NODE = 0xffffffff;

/** A pattern, and where each element's blocks go in it. */
export interface ElementPattern {
  readonly pattern: NodePattern;
  /**
   * For element `e` with m nodes and local nodes a ≥ b, with K_ab the 2×2 block of the element matrix in the rows
   * of a and the columns of b, entry
   *
   *     code = elementPlace[e * m * (m + 1) / 2 + a * (a + 1) / 2 + b]
   *
   * is -1 when a or b is `NO_NODE`; otherwise the block's index is p = code >> 2, and code & 3 says what to add:
   * `PLACE_DIRECT` K_ab, `PLACE_TRANSPOSED` its transpose, `PLACE_BOTH` K_ab + its transpose (a and b are two
   * local nodes standing for one equation node, so that both K_ab and K_ba fall on its diagonal block).
   * Pairs a = b are always direct. The 21 entries of a six-node triangle are thus read straight through.
   */
  readonly elementPlace: Int32Array;
}

/**
 * The pattern of a matrix summed from elements, and the place of every element block in it.
 *
 * `elements` holds `nodesPerElement` node indices an element, each below `nodeCount` or `NO_NODE`; one node may
 * occur more than once in an element. Time and memory are linear in the number of element blocks.
 * Throws when the length does not divide or an index is out of range.
 * Done in WebAssembly, or, where that is absent or with `kind` "plain", in JavaScript: the same arrays.
 */
export function patternFromElements(
  nodeCount: number,
  elements: Uint32Array,
  nodesPerElement: number,
  kind?: "plain",
): ElementPattern {
  const m = nodesPerElement;
  const elementCount = m > 0 ? elements.length / m : -1;
  if (!Number.isInteger(elementCount) || elementCount < 0) {
    throw new Error(
      `patternFromElements: ${elements.length} indices are no multiple of ${m} nodes an element`,
    );
  }
  const signed = new Int32Array(elements.buffer, elements.byteOffset, elements.length);
  const { colPtr, rowIdx, elementPlace, cliquePtr, cliqueNodes, fault } =
    (kind === "plain" ? null : simdPatternArrays(nodeCount, signed, m)) ??
    patternArrays(nodeCount, signed, m);
  const s = fault[0];
  if (s !== -1) {
    throw new Error(
      `patternFromElements: node ${elements[s]} in element ${Math.floor(s / m)}, of ${nodeCount} nodes`,
    );
  }
  const cliques = { ptr: cliquePtr, nodes: cliqueNodes };
  return { pattern: { n: nodeCount, colPtr, rowIdx, cliques }, elementPlace };
}

/**
 * Adds one symmetric element matrix into `values`. `k` holds its (2 m)² numbers row after row, local node a owning
 * rows and columns 2 a and 2 a + 1; only blocks in rows of a and columns of b ≤ a are read.
 */
export function addElement(
  values: Float64Array,
  elementPlace: Int32Array,
  e: number,
  nodesPerElement: number,
  k: Float64Array,
): void {
  const m = nodesPerElement;
  const width = 2 * m;
  let q = e * ((m * (m + 1)) / 2);
  for (let a = 0; a < m; a++) {
    let s = 2 * a * width;
    for (let b = 0; b <= a; b++, s += 2) {
      const code = elementPlace[q++];
      if (code < 0) continue;
      const p = code & ~3; // 4 × the block's index
      const kind = code & 3;
      const k00 = k[s];
      const k01 = k[s + 1];
      const k10 = k[s + width];
      const k11 = k[s + width + 1];
      if (kind === PLACE_DIRECT) {
        values[p] += k00;
        values[p + 1] += k10;
        values[p + 2] += k01;
        values[p + 3] += k11;
      } else if (kind === PLACE_TRANSPOSED) {
        values[p] += k00;
        values[p + 1] += k01;
        values[p + 2] += k10;
        values[p + 3] += k11;
      } else {
        values[p] += k00 + k00;
        values[p + 1] += k10 + k01;
        values[p + 2] += k01 + k10;
        values[p + 3] += k11 + k11;
      }
    }
  }
}

/** Throws, with the numbers, unless the arrays keep what `NodePattern` promises. Linear time. */
export function checkPattern({ n, colPtr, rowIdx }: NodePattern): void {
  if (colPtr.length !== n + 1 || colPtr[0] !== 0 || colPtr[n] !== rowIdx.length) {
    throw new Error(
      `checkPattern: ${n} nodes need ${n + 1} column starts from 0 to ${rowIdx.length}, found ` +
        `${colPtr.length} from ${colPtr[0]} to ${colPtr[n]}`,
    );
  }
  for (let j = 0; j < n; j++) {
    if (colPtr[j + 1] <= colPtr[j] || rowIdx[colPtr[j]] !== j) {
      throw new Error(`checkPattern: column ${j} does not start with its diagonal block`);
    }
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      if (rowIdx[p] <= rowIdx[p - 1] || rowIdx[p] >= n) {
        throw new Error(`checkPattern: row ${rowIdx[p]} after row ${rowIdx[p - 1]} in column ${j} of ${n}`);
      }
    }
  }
}
