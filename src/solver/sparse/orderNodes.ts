import type { NodePattern } from "./nodeMatrix.ts";
import { orderGraph } from "./orderGraph.ts";
import { simdOrder } from "./simdSymbolic.ts";

/**
 * An order of elimination that keeps the factor sparse, `order[k]` being the node eliminated at step k: approximate
 * minimum degree, see `orderGraph`. The same order whether found in WebAssembly or, where that is absent or with
 * `kind` "plain", in JavaScript.
 */
export function orderNodes(pattern: NodePattern, kind?: "plain"): Int32Array {
  return (
    (kind === "plain" ? null : simdOrder(pattern)) ?? orderGraph(pattern.n, pattern.colPtr, pattern.rowIdx)
  );
}
