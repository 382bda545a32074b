import type { NodePattern } from "./nodeMatrix.ts";
import { type Ordering, orderingWay, orderNodes } from "./orderNodes.ts";
import { simdSymbolicArrays } from "./simdSymbolic.ts";
import type { Symbolic } from "./symbolic.ts";
import { type SymbolicArrays, symbolicArrays } from "./symbolicArrays.ts";

/**
 * Symbolic phase: elimination tree, column counts, fronts, and where every number goes. `order` is the order of
 * elimination, or the way to find one; it is rearranged within what leaves the fill as it is. Reusable for all
 * matrices of the same pattern. Throws when `order` is no permutation or the factor exceeds 2³¹ numbers.
 * Done in WebAssembly, or, where that is absent or with `kind` "plain", in JavaScript: the same arrays.
 */
export function analyse(
  pattern: NodePattern,
  order: Int32Array | Ordering = "automatic",
  kind?: "plain",
): Symbolic {
  if (typeof order !== "string") checkOrder(pattern.n, order);
  const given = typeof order === "string" ? orderingWay(order) : order;
  const arrays =
    (kind === "plain" ? null : simdSymbolicArrays(pattern, given)) ??
    plainArrays(pattern, typeof order === "string" ? orderNodes(pattern, kind, order) : order);
  const { n } = pattern;
  const [fronts, factorStored, updateLength, factorNonZeros, flops, frontFlops, largestFront] =
    arrays.numbers;
  if (factorStored > 0x7fffffff || updateLength > 0x7fffffff) {
    throw new Error(
      `analyse: the factor of ${n} nodes needs ${factorStored + updateLength} numbers, more than 2^31`,
    );
  }
  const symbolicNumbers =
    6 * fronts +
    arrays.rows.length * 2 +
    2 * arrays.entrySource.length +
    n +
    arrays.frontFirst.length +
    arrays.rowPtr.length +
    arrays.panelStart.length;
  return {
    pattern,
    n,
    order: arrays.order,
    fronts,
    frontFirst: arrays.frontFirst,
    frontParent: arrays.frontParent,
    childPtr: arrays.childPtr,
    childList: arrays.childList,
    rowPtr: arrays.rowPtr,
    rows: arrays.rows,
    rowInParent: arrays.rowInParent,
    panelStart: arrays.panelStart,
    updateStart: arrays.updateStart,
    updateLength,
    entryPtr: arrays.entryPtr,
    entrySource: arrays.entrySource,
    entryTarget: arrays.entryTarget,
    statistics: {
      unknowns: 2 * n,
      factorNonZeros,
      factorStored,
      flops,
      frontFlops,
      fronts,
      largestFront,
      peakBytes: 8 * (factorStored + updateLength + 2 * n) + 4 * symbolicNumbers,
    },
  };
}

function plainArrays({ n, colPtr, rowIdx, cliques }: NodePattern, order: Int32Array): SymbolicArrays {
  if (!cliques) return symbolicArrays(n, colPtr, rowIdx, 0, colPtr, rowIdx, order);
  return symbolicArrays(n, colPtr, rowIdx, cliques.ptr.length - 1, cliques.ptr, cliques.nodes, order);
}

function checkOrder(n: number, order: Int32Array): void {
  if (order.length !== n) throw new Error(`analyse: an order of ${order.length} for ${n} nodes`);
  const seen = new Uint8Array(n);
  for (let k = 0; k < n; k++) {
    const i = order[k];
    if (!(i >= 0 && i < n) || seen[i]) throw new Error(`analyse: order[${k}] = ${i} is no permutation`);
    seen[i] = 1;
  }
}
