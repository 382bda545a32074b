import type { NodalStress, Problem, Solution } from "../problem.ts";
import { MOST_PLACES } from "./fieldFit.ts";
import { addMissedForce, type MissedForce, missedForce } from "./missedForce.ts";
import type { Round } from "./neighbours.ts";
import { VertexFits } from "./vertexFits.ts";

/** Each element brings two mid-sides and six integration points. */
const MOST_ROUND = (MOST_PLACES - 1) / 8;

/** What recovery can say of its own error. Both arrays must come zeroed. */
export interface RecoveryDoubt {
  /** 3 × nodes: by how much the polynomials of the two vertices of a side differ at its mid-side node, MPa; 0 at vertices. */
  readonly gap: Float64Array;
  /**
   * 12 × elements: ∫ Bᵀ (σ* − σ(I u*)) dA × thickness, N, two components a local node, of the recovered field u*: the
   * force that its interpolation I u* on the element's six nodes misses. Mean over the element's three vertices.
   */
  readonly missed: Float64Array;
}

/**
 * Stress at the nodes, MPa, `[sxx, syy, sxy]` a node, global frame, from the displacements of the elements round them.
 *
 * Every vertex gets a patch of elements and on it the elastic field that fits the patch's nodal displacements best
 * (weighted least squares). Only true solutions of plane elasticity without body force are tried: with z the place
 * from the vertex,
 *
 *     2G (u + iv) = κ φ(z) − z conj φ'(z) − conj ψ(z) + shift,   φ' = Σ a_k z^k,   ψ' = Σ b_k z^k
 *     (sxx + syy)/2 = 2 Re φ',   (syy − sxx)/2 + i sxy = conj(z) φ'' + ψ'
 *
 * (Kolosov and Muskhelishvili, as in Timoshenko & Goodier arts. 60-61; from memory). A full polynomial of degree 4
 * that balances and fits together thus costs 22 unknowns in place of 45 free coefficients of three separate stresses,
 * so a one-sided patch at a boundary still pins it down. Fitting displacements in place of stresses follows the
 * polynomial preserving recovery of Z. Zhang and A. Naga (SIAM J. Sci. Comput. 26, 1192, 2005; from memory),
 * patches that of O. C. Zienkiewicz and J. Z. Zhu (Int. J. Numer. Methods Eng. 33, 1331, 1992; from memory).
 *
 * On boundary sides at the vertex the traction known from loads and supports enters as further rows, at points of the true
 * outline; not on tied or held edges, not where it jumps, not at re-entrant corners. At tied nodes the patch goes on beyond
 * the cut: elements of the other side are moved into the vertex's frame. Mid-side nodes take the mean of the polynomials of
 * their two vertices.
 *
 * Exact for stress fields of degree 3 (4 next to a boundary) whose displacements the mesh holds exactly at its nodes.
 * Where `doubt` is handed in, it is filled with what the fits say of the error. The same bits in WebAssembly and in JavaScript
 * (`kind` "plain").
 */
export function recoverStress(
  problem: Problem,
  { displacement }: Pick<Solution, "displacement">,
  doubt?: RecoveryDoubt,
  kind?: "plain",
): NodalStress {
  const { mesh } = problem;
  const { xy, elements } = mesh;
  const nodes = xy.length / 2;
  if (displacement.length !== xy.length)
    throw new Error(`recoverStress: ${displacement.length} displacements for ${nodes} nodes`);
  if (doubt && doubt.missed.length !== 2 * elements.length)
    throw new Error(`recovery: ${doubt.missed.length} missed forces for ${elements.length / 6} elements`);
  const fits = new VertexFits(problem, displacement, kind);
  const stress = new Float64Array(3 * nodes);
  const share = new Uint8Array(nodes);
  const missed = doubt ? missedForce(problem) : null;
  if (mostRound(fits.round.ptr) > MOST_ROUND)
    throw new Error(`recovery: more than ${MOST_ROUND} elements meet at a node`);
  const reads = new Uint32Array(1 + 2 * MOST_ROUND); // nodes at the first places: the vertex, then mid-sides

  for (let v = 0; v < nodes; v++) {
    if (!fits.isVertex(v)) continue;
    fits.at(v);
    const count = listReads(mesh, fits.round, v, reads);
    placeNodes(xy, reads, count, fits);
    const all = missed ? count + placePoints(missed, fits, v, count, xy) : count;
    fits.fit.stresses(all);
    addReadings(fits.fit.found, reads, count, stress, share);
    if (doubt) noteGaps(fits.fit.found, reads, count, doubt.gap);
    if (missed) gatherMissed(missed, fits, elements, v, count);
  }
  for (let i = 0; i < nodes; i++) {
    if (share[i] < 2) continue;
    stress[3 * i] /= share[i];
    stress[3 * i + 1] /= share[i];
    stress[3 * i + 2] /= share[i];
  }
  if (doubt && missed) addMissedForce(problem, missed, doubt.missed);
  return stress;
}

/** Lists the nodes whose stress vertex v has a say in: itself, then the middles of its sides. @returns their number. */
function listReads(
  { elements, neighbours }: Problem["mesh"],
  { ptr, list }: Round,
  v: number,
  reads: Uint32Array,
): number {
  let count = 0;
  reads[count++] = v;
  for (let k = ptr[v]; k < ptr[v + 1]; k++) {
    const e = list[k];
    const at = 6 * e;
    const a = elements[at] === v ? 0 : elements[at + 1] === v ? 1 : 2;
    // the side that leaves v; one that arrives leaves it in the next element, unless it lies on the boundary
    reads[count++] = elements[at + 3 + a];
    const before = a === 0 ? 2 : a - 1;
    if (neighbours[3 * e + before] < 0) reads[count++] = elements[at + 3 + before];
  }
  return count;
}

/** Makes the nodes read, the first being the vertex, the first places of its fit. */
function placeNodes(
  xy: Float64Array,
  reads: Uint32Array,
  count: number,
  { patch, fit: { places } }: VertexFits,
): void {
  const scale = 1 / patch.radius;
  const v = reads[0];
  for (let q = 0; q < count; q++) {
    places[2 * q] = (xy[2 * reads[q]] - xy[2 * v]) * scale;
    places[2 * q + 1] = (xy[2 * reads[q] + 1] - xy[2 * v + 1]) * scale;
  }
}

/** Adds what a vertex says of the stress at the nodes read, and counts that it did. */
function addReadings(
  found: Float64Array,
  reads: Uint32Array,
  count: number,
  stress: Float64Array,
  share: Uint8Array,
): void {
  for (let q = 0; q < count; q++) {
    const m = reads[q];
    for (let c = 0; c < 3; c++) stress[3 * m + c] += found[3 * q + c];
    share[m]++;
  }
}

/** Leaves at each mid-side node, once both its vertices were here, by how much they differ. */
function noteGaps(found: Float64Array, reads: Uint32Array, count: number, gap: Float64Array): void {
  for (let q = 1; q < count; q++) {
    const m = 3 * reads[q];
    for (let c = 0; c < 3; c++) gap[m + c] = found[3 * q + c] - gap[m + c];
  }
}

/** Adds the integration points of the elements round v to the places from number `from` on. @returns how many. */
function placePoints(
  { points }: MissedForce,
  { round: { ptr, list }, patch, fit: { places } }: VertexFits,
  v: number,
  from: number,
  xy: Float64Array,
): number {
  const scale = 1 / patch.radius;
  const x0 = xy[2 * v];
  const y0 = xy[2 * v + 1];
  let to = 2 * from;
  for (let k = ptr[v]; k < ptr[v + 1]; k++) {
    const at = 12 * list[k];
    for (let g = 0; g < 12; g += 2) {
      places[to++] = (points[at + g] - x0) * scale;
      places[to++] = (points[at + g + 1] - y0) * scale;
    }
  }
  return 6 * (ptr[v + 1] - ptr[v]);
}

/** Adds the fitted stresses at the points placed above, and the fitted displacements of the elements' nodes. */
function gatherMissed(
  { stress, displacement }: MissedForce,
  { round: { ptr, list }, patch, fit, perRadius }: VertexFits,
  elements: Uint32Array,
  v: number,
  from: number,
): void {
  const { found } = fit;
  let read = 3 * from;
  for (let k = ptr[v]; k < ptr[v + 1]; k++) {
    const at = 18 * list[k];
    for (let c = 0; c < 18; c++) stress[at + c] += found[read++];
  }
  // the patch lists the nodes of the vertex's own elements first
  let last = 0;
  for (let k = ptr[v]; k < ptr[v + 1]; k++) {
    const at = 6 * list[k];
    for (let a = 0; a < 6; a++) last = Math.max(last, patch.pointOf(elements[at + a]));
  }
  fit.displacements(last + 1);
  const unscaled = 1 / perRadius;
  for (let k = ptr[v]; k < ptr[v + 1]; k++) {
    const e = list[k];
    for (let a = 0; a < 6; a++) {
      const q = 2 * patch.pointOf(elements[6 * e + a]);
      displacement[12 * e + 2 * a] += found[q] * unscaled;
      displacement[12 * e + 2 * a + 1] += found[q + 1] * unscaled;
    }
  }
}

/** Most elements round one node. */
function mostRound(ptr: Uint32Array): number {
  let most = 0;
  for (let i = 1; i < ptr.length; i++) most = Math.max(most, ptr[i] - ptr[i - 1]);
  return most;
}
