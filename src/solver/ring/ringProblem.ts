import type { Outline } from "../../geometry/index.ts";
import type { Mesh } from "../../mesh/index.ts";
import type { Problem } from "../problem.ts";

/**
 * A plane problem whose mesh is a repeating sector copied round: `outline` and `mesh` are what `repeatMesh` makes of
 * `sector` and `copies`; loads and supports name edges of that whole outline. Loads may differ from copy to copy as
 * they like. Edges are supported in every copy alike, seen from that copy; points may be held where they take a rigid
 * motion away and no more.
 */
export interface RingProblem extends Problem {
  /** The sector, with the one tie that carries its leading cut side onto the following one. */
  readonly sector: { readonly outline: Outline; readonly mesh: Mesh };
  readonly copies: number;
}

/**
 * Node of the whole mesh that node i of copy k is, at `k * nodes + i`. The following cut of a copy is the leading cut
 * of the next one; where the last copy does not meet the first, its following cut has nodes of its own.
 * @throws Error when the whole mesh is no `copies`-fold of the sector.
 */
export function ringNodes({ mesh, sector, copies }: RingProblem): Uint32Array {
  const { elements } = sector.mesh;
  const nodes = sector.mesh.xy.length / 2;
  if (!(copies >= 1) || mesh.elements.length !== copies * elements.length) {
    throw new Error(
      `solveRing: a mesh of ${mesh.elements.length / 6} elements is not ${copies} copies of ${elements.length / 6}`,
    );
  }
  const nodeOf = new Uint32Array(copies * nodes);
  for (let k = 0; k < copies; k++) {
    const from = k * elements.length;
    const to = k * nodes;
    for (let p = 0; p < elements.length; p++) nodeOf[to + elements[p]] = mesh.elements[from + p];
  }
  return nodeOf;
}
