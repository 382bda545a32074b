import type { NodePattern } from "./nodeMatrix.ts";
import { AUTOMATIC, DISSECTION, MINIMUM_DEGREE, orderPattern } from "./orderPattern.ts";
import { simdOrder } from "./simdSymbolic.ts";

/**
 * How to find an order of elimination. "dissection": nested dissection with minimum degree in its parts (`dissectGraph`),
 * where the pattern names its cliques and they part well, else minimum degree. "minimum degree": that alone
 * (`orderGraph`). "automatic": dissection for large patterns, where it saves more than it takes.
 */
export type Ordering = "automatic" | "dissection" | "minimum degree";

/**
 * An order of elimination that keeps the factor sparse, `order[k]` being the node eliminated at step k. The same order
 * whether found in WebAssembly or, where that is absent or with `kind` "plain", in JavaScript.
 */
export function orderNodes(
  pattern: NodePattern,
  kind?: "plain",
  ordering: Ordering = "automatic",
): Int32Array {
  const way = orderingWay(ordering);
  const found = kind === "plain" ? null : simdOrder(pattern, way);
  if (found !== null) return found;
  const { n, colPtr, rowIdx, cliques } = pattern;
  if (!cliques) return orderPattern(n, colPtr, rowIdx, 0, colPtr, rowIdx, way);
  return orderPattern(n, colPtr, rowIdx, cliques.ptr.length - 1, cliques.ptr, cliques.nodes, way);
}

/** An ordering as `orderPattern` knows it. */
export function orderingWay(ordering: Ordering): number {
  if (ordering === "automatic") return AUTOMATIC;
  if (ordering === "minimum degree") return MINIMUM_DEGREE;
  if (ordering === "dissection") return DISSECTION;
  throw new Error(`ordering: "${ordering}" is none of "automatic", "dissection" and "minimum degree"`);
}
