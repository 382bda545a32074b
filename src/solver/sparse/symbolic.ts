import type { NodePattern } from "./nodeMatrix.ts";

/**
 * Everything about a factorisation that does not depend on the numbers: order, fronts, where entries go.
 * Flat arrays of 32-bit integers throughout, so that kernels outside JavaScript can read them as they are.
 *
 * A *front* is a set of neighbouring columns with one row structure, eliminated as a dense matrix. Counted in nodes,
 * front `f` owns the columns `frontFirst[f] … frontFirst[f + 1] - 1` of the new numbering (its pivots, k of them)
 * and the rows below at `rows[rowPtr[f]] …` (u of them). A dof of node i is 2 i or 2 i + 1, so that counts in
 * dofs are twice these. Fronts are numbered so that children come before parents.
 *
 * **Panels.** The factor's columns of front f start at `panelStart[f]` in one long array. Rows are cut into blocks of
 * four dofs (two nodes): first ⌈k / 2⌉ blocks of pivot rows, then ⌈u / 2⌉ blocks of rows below; an odd count leaves
 * two rows of zeros at the end of either part. A block is contiguous, 2 k columns of four numbers. The entry in
 * local row r and column c therefore sits at
 *
 *     panelStart[f] + (r >> 2) * 8 * k + 4 * c + (r & 3)
 *
 * with r counted through the padding. "Padded node" below means r / 2: pivots 0 … k - 1, rows from k + (k & 1).
 *
 * **Updates.** What a front passes to its parent is a symmetric matrix over its u rows; its lower triangle is kept as
 * 4 × 4 tiles, block row by block row, each tile column after column: tile (I, J) starts at
 * `updateStart[f] + 8 * I * (I + 1) + 16 * J`. Within a block row it has the inner layout of a panel.
 */
export interface Symbolic {
  readonly pattern: NodePattern;
  readonly n: number;
  /** `order[k]` is the node, in the numbering of the pattern, that is eliminated k-th. */
  readonly order: Int32Array;
  readonly fronts: number;
  /** First pivot of each front, length fronts + 1. */
  readonly frontFirst: Int32Array;
  /** Front that takes the update, -1 for roots. */
  readonly frontParent: Int32Array;
  /** Children of front f: `childList[childPtr[f]] …`, ascending. */
  readonly childPtr: Int32Array;
  readonly childList: Int32Array;
  /** Rows below, new numbering, ascending in each front; `rowPtr` has length fronts + 1. */
  readonly rowPtr: Int32Array;
  readonly rows: Int32Array;
  /** Beside `rows`: the same node as a padded node of the parent front. */
  readonly rowInParent: Int32Array;
  /** Start of each panel, in numbers; length fronts + 1. */
  readonly panelStart: Int32Array;
  /** Start of each update in the update workspace, in numbers; two stacks, fronts at even and odd depth. */
  readonly updateStart: Int32Array;
  /** Length of the update workspace, in numbers. */
  readonly updateLength: number;
  /**
   * Matrix blocks by front: entries `entryPtr[f] … entryPtr[f + 1] - 1`. `entrySource` is 4 × the block's index,
   * plus 1 if it is to be transposed; `entryTarget` the place in the panels of its first number, the others being
   * at + 1, + 4 and + 5.
   */
  readonly entryPtr: Int32Array;
  readonly entrySource: Int32Array;
  readonly entryTarget: Int32Array;
  readonly statistics: FactorStatistics;
}

/** Size and work of a factorisation. Counts are of single numbers (dofs), not of 2×2 blocks. */
export interface FactorStatistics {
  readonly unknowns: number;
  /** Non-zeros of L, diagonal counted, without the zeros kept for the sake of larger fronts. */
  readonly factorNonZeros: number;
  /** Numbers stored for L: with those zeros and the padding. */
  readonly factorStored: number;
  /** Sum over columns of the square of their non-zeros: multiplications and additions of LLᵀ. */
  readonly flops: number;
  /** The same with the zeros kept. */
  readonly frontFlops: number;
  readonly fronts: number;
  /** Rows (pivots and below) of the largest front. */
  readonly largestFront: number;
  /** Bytes held at the height of the numeric phase: factor, updates and the symbolic arrays. */
  readonly peakBytes: number;
}
