import { dissectGraph } from "./dissectGraph.ts";
import { type Ints, type int, ints } from "./flat.ts";
import { orderGraph } from "./orderGraph.ts";

/** Ways to order, as numbers. */
export const AUTOMATIC: int = 0;
export const MINIMUM_DEGREE: int = 1;
export const DISSECTION: int = 2;

/**
 * From this many nodes on dissection is the automatic choice: it takes somewhat longer than minimum degree alone, and on
 * graded plane meshes what it spares later outweighs that from about here on (measured, docs/performance.md).
 */
const DISSECT_FROM: int = 40_000;
/** Parts of at most this many sets are left to minimum degree: half of that and twice, fill and time hardly change. */
const LEAF: int = 500;

/**
 * The order of elimination by one of the ways above: `order[k]` is the node eliminated at step k. Dissection needs the
 * sets of nodes that the graph is made of (`cliques` of them, 0 where they are not known), and sets that fall apart at few
 * nodes; otherwise minimum degree is taken.
 */
export function orderPattern(
  n: int,
  colPtr: Ints,
  rowIdx: Ints,
  cliques: int,
  cliquePtr: Ints,
  cliqueNodes: Ints,
  way: int,
): Ints {
  if (cliques > 0 && (way === DISSECTION || (way === AUTOMATIC && n >= DISSECT_FROM))) {
    const dissection = dissectGraph(n, cliques, cliquePtr, cliqueNodes, LEAF);
    const stage = dissection.stage;
    const parent = dissection.parent;
    const parts = ints(parent.length); // 1 where a stage is a separator
    for (let p = 0; p < parent.length; p++) if (parent[p] !== -1) parts[parent[p]] = 1;
    let separating = 0;
    for (let i = 0; i < n; i++) separating += parts[stage[i]];
    if (4 * separating <= n) return orderGraph(n, colPtr, rowIdx, stage);
  }
  return orderGraph(n, colPtr, rowIdx, ints(0));
}
