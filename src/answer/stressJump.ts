import { elementStress, type Problem, type Solution } from "../solver/index.ts";

/** Corner nodes of the reference triangle, ξ and η. */
const CORNER_XI = [0, 1, 0];
const CORNER_ETA = [0, 0, 1];

/**
 * Largest jump of the stress along the surface between neighbouring elements at a boundary node shared by
 * two sides of one edge, among the sides that `wanted` accepts, and the largest such stress itself, MPa: raw element stresses, before
 * recovery smooths them. A plain sign of how well the mesh resolves the root. `wanted` gets the side and the place of its middle.
 */
export function stressJump(
  problem: Problem,
  solution: Solution,
  wanted: (side: number, x: number, y: number) => boolean,
): { readonly jump: number; readonly most: number } {
  const { mesh } = problem;
  const { xy, elements, sideElement, sideLocal, sideEdge } = mesh;
  const out = new Float64Array(3);
  const endStress = new Map<number, { along: number; edge: number }>();
  let jump = 0;
  let most = 0;
  // sides lie in the order of travel: the end of one side is the start of the next
  for (let b = 0; b < sideElement.length; b++) {
    const e = sideElement[b];
    const s = sideLocal[b];
    const middle = 2 * elements[6 * e + 3 + s];
    if (!wanted(b, xy[middle], xy[middle + 1])) continue;
    const ends = [s, (s + 1) % 3];
    for (const [k, corner] of ends.entries()) {
      const i = elements[6 * e + corner];
      elementStress(problem, solution, e, CORNER_XI[corner], CORNER_ETA[corner], out);
      const i0 = elements[6 * e + ends[0]];
      const i1 = elements[6 * e + ends[1]];
      const im = elements[6 * e + 3 + s];
      // tangent at the node: derivative of the side's parabola there
      const w = k === 0 ? [-3, -1, 4] : [1, 3, -4];
      const tx = w[0] * xy[2 * i0] + w[1] * xy[2 * i1] + w[2] * xy[2 * im];
      const ty = w[0] * xy[2 * i0 + 1] + w[1] * xy[2 * i1 + 1] + w[2] * xy[2 * im + 1];
      const along = (tx * tx * out[0] + ty * ty * out[1] + 2 * tx * ty * out[2]) / (tx * tx + ty * ty);
      most = Math.max(most, Math.abs(along));
      const other = endStress.get(i);
      // where one edge ends and the next begins, load or curvature may change, and the exact stress with it
      if (other === undefined) endStress.set(i, { along, edge: sideEdge[b] });
      else if (other.edge === sideEdge[b]) jump = Math.max(jump, Math.abs(along - other.along));
    }
  }
  return { jump, most };
}
