import type { Problem } from "../problem.ts";
import { VertexFits } from "./vertexFits.ts";

/**
 * The nodal load r, 2 × nodes, for which r · v is by how much Σ weights · stress recovered changes when v is added to the
 * displacements: the derivative of what is read from the recovered stress. `weights` is 3 × nodes.
 */
export function recoveryLoad(problem: Problem, weights: Float64Array, kind?: "plain"): Float64Array {
  const { xy, elements, neighbours } = problem.mesh;
  const nodes = xy.length / 2;
  if (weights.length !== 3 * nodes)
    throw new Error(`recoveryLoad: ${weights.length} weights for ${nodes} nodes`);
  const fits = new VertexFits(problem, new Float64Array(2 * nodes), kind);
  const { round, patch, fit } = fits;
  const load = new Float64Array(2 * nodes);
  const weighs = (i: number) => weights[3 * i] !== 0 || weights[3 * i + 1] !== 0 || weights[3 * i + 2] !== 0;
  const near: number[] = []; // the vertex and the mid-side nodes of its sides
  for (let v = 0; v < nodes; v++) {
    if (!fits.isVertex(v)) continue;
    near.length = 0;
    near.push(v);
    for (let k = round.ptr[v]; k < round.ptr[v + 1]; k++) {
      const e = round.list[k];
      const a = elements[6 * e] === v ? 0 : elements[6 * e + 1] === v ? 1 : 2;
      near.push(elements[6 * e + 3 + a]);
      const before = a === 0 ? 2 : a - 1;
      if (neighbours[3 * e + before] < 0) near.push(elements[6 * e + 3 + before]);
    }
    if (!near.some(weighs)) continue;
    fits.at(v);
    fit.startWeights();
    const scale = 1 / patch.radius;
    for (const i of near) {
      const share = i === v ? 1 : 0.5;
      fit.addWeights(
        (xy[2 * i] - xy[2 * v]) * scale,
        (xy[2 * i + 1] - xy[2 * v + 1]) * scale,
        share * weights[3 * i],
        share * weights[3 * i + 1],
        share * weights[3 * i + 2],
      );
    }
    fit.weightedLoad(patch.points, fits.perRadius);
    // what a point beyond a tie moves, it moves through the tie; displacements are counted from the vertex's
    for (let k = 0; k < patch.points; k++) {
      const px = fit.found[2 * k];
      const py = fit.found[2 * k + 1];
      const m = 4 * patch.nodeMotion[k];
      const c = patch.motions[m];
      const s = patch.motions[m + 1];
      const i = 2 * patch.node[k];
      load[i] += c * px + s * py;
      load[i + 1] += c * py - s * px;
      load[2 * v] -= px;
      load[2 * v + 1] -= py;
    }
  }
  return load;
}
