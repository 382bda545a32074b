import { type Equations, NO_NODE } from "./equations.ts";
import type { Problem } from "./problem.ts";
import { type ElementPattern, type NodeMatrix, patternFromElements } from "./sparse/index.ts";
import { addBlocks, addStraightElements } from "./straightElements.ts";
import { ELEMENT_BLOCKS, elasticity, elementBlocks } from "./triangle6.ts";

/** The matrix's pattern for a mesh whose nodes stand on the given equations. */
export function equationPattern(mesh: Problem["mesh"], eq: Equations): ElementPattern {
  const { elements } = mesh;
  const nodes = new Uint32Array(elements.length);
  for (let k = 0; k < elements.length; k++) nodes[k] = eq.equation[eq.classOf[elements[k]]];
  return patternFromElements(eq.count, nodes, 6);
}

/** A stiffness matrix in the equations' own frames, and what prescribed displacements bring to the other side. */
export interface Assembled {
  readonly matrix: NodeMatrix;
  /** To be added to every load: −K × prescribed values at free rows, the value × its unit diagonal at held ones. */
  readonly lift: Float64Array;
}

/**
 * Sums the element stiffnesses into a `NodeMatrix`, N/mm. Element blocks are turned into the frames of their nodes.
 * Held unknowns keep a diagonal of the mean size of the others and lose their row and column, so the matrix
 * stays symmetric, positive definite and made of 2×2 blocks.
 *
 * `values` may be handed in to be used again (4 × blocks). The same bits with `kind` "plain", which keeps to JavaScript.
 */
export function assemble(
  problem: Problem,
  eq: Equations,
  { pattern, elementPlace }: ElementPattern,
  values: Float64Array = new Float64Array(4 * pattern.rowIdx.length),
  kind?: "plain",
): Assembled {
  const { mesh, thickness, material } = problem;
  if (!(thickness > 0 && Number.isFinite(thickness)))
    throw new Error(`assemble: thickness ${thickness} mm must be positive`);
  const { xy, elements } = mesh;
  const { classOf, cos, sin, held, value, equation } = eq;
  const moduli = elasticity(material);
  const k = new Float64Array(ELEMENT_BLOCKS);
  const lift = new Float64Array(2 * eq.count);
  values.fill(0);

  // nodes whose element needs more than plain adding: turned, or with something held
  const special = new Uint8Array(xy.length / 2);
  for (let i = 0; i < special.length; i++) {
    const c = classOf[i];
    if (sin[i] !== 0 || cos[i] !== 1 || held[2 * c] || held[2 * c + 1]) special[i] = 1;
  }

  // first what is plain, whatever it is done in, so that the order of all sums is one
  const rest = addStraightElements(xy, elements, special, moduli, thickness, elementPlace, values, kind);
  for (const e of rest) {
    elementBlocks(xy, elements, e, moduli, thickness, k);
    const at = 6 * e;
    if (
      special[elements[at]] |
      special[elements[at + 1]] |
      special[elements[at + 2]] |
      special[elements[at + 3]] |
      special[elements[at + 4]] |
      special[elements[at + 5]]
    ) {
      turnBlocks(elements, at, cos, sin, k);
      holdBlocks(elements, at, classOf, equation, held, value, k, lift);
    }
    addBlocks(values, elementPlace, e, k);
  }

  let sum = 0;
  for (let j = 0; j < eq.count; j++) {
    const p = 4 * pattern.colPtr[j];
    sum += values[p] + values[p + 3];
  }
  const unit = eq.count > 0 ? sum / (2 * eq.count) : 1;
  for (let c = 0; c < eq.classes; c++) {
    const j = equation[c];
    if (j === NO_NODE) continue;
    const p = 4 * pattern.colPtr[j];
    for (let d = 0; d < 2; d++) {
      if (!held[2 * c + d]) continue;
      values[p + 3 * d] = unit;
      lift[2 * j + d] = unit * value[2 * c + d];
    }
  }
  return { matrix: { ...pattern, values }, lift };
}

/** Each block K_ab becomes R_aᵀ K_ab R_b. */
function turnBlocks(
  elements: Uint32Array,
  at: number,
  cos: Float64Array,
  sin: Float64Array,
  k: Float64Array,
): void {
  let q = 0;
  for (let a = 0; a < 6; a++) {
    const ca = cos[elements[at + a]];
    const sa = sin[elements[at + a]];
    for (let b = 0; b <= a; b++, q += 4) {
      const cb = cos[elements[at + b]];
      const sb = sin[elements[at + b]];
      if (sa === 0 && sb === 0 && ca === 1 && cb === 1) continue;
      const xx = ca * k[q] + sa * k[q + 1];
      const yx = ca * k[q + 1] - sa * k[q];
      const xy = ca * k[q + 2] + sa * k[q + 3];
      const yy = ca * k[q + 3] - sa * k[q + 2];
      k[q] = xx * cb + xy * sb;
      k[q + 1] = yx * cb + yy * sb;
      k[q + 2] = xy * cb - xx * sb;
      k[q + 3] = yy * cb - yx * sb;
    }
  }
}

/** Moves the columns of held unknowns to the other side and clears them and their rows. */
function holdBlocks(
  elements: Uint32Array,
  at: number,
  classOf: Uint32Array,
  equation: Uint32Array,
  held: Uint8Array,
  value: Float64Array,
  k: Float64Array,
  lift: Float64Array,
): void {
  let q = 0;
  for (let a = 0; a < 6; a++) {
    const ka = classOf[elements[at + a]];
    for (let b = 0; b <= a; b++, q += 4) {
      const kb = classOf[elements[at + b]];
      for (let c = 0; c < 2; c++) {
        for (let r = 0; r < 2; r++) {
          const row = 2 * ka + r;
          const col = 2 * kb + c;
          if (!held[row] && !held[col]) continue;
          const kk = k[q + 2 * c + r];
          k[q + 2 * c + r] = 0;
          if (!held[row]) lift[2 * equation[ka] + r] -= kk * value[col];
          // the mirrored entry, which is not stored, unless it is this same block
          if (!held[col] && a !== b) lift[2 * equation[kb] + c] -= kk * value[row];
        }
      }
    }
  }
}

/** Sums nodal forces (2 × mesh nodes, global frame) into the equations' unknowns, each in its frame. */
export function gather(eq: Equations, f: Float64Array, out: Float64Array): void {
  const { classOf, cos, sin, held, equation } = eq;
  for (let i = 0; i < classOf.length; i++) {
    const c = classOf[i];
    const j = equation[c];
    if (j === NO_NODE) continue;
    const fx = f[2 * i];
    const fy = f[2 * i + 1];
    if (!held[2 * c]) out[2 * j] += cos[i] * fx + sin[i] * fy;
    if (!held[2 * c + 1]) out[2 * j + 1] += cos[i] * fy - sin[i] * fx;
  }
}

/** Mesh displacements (2 × nodes, global frame) from the equations' unknowns. */
export function spread(eq: Equations, q: Float64Array, u: Float64Array): void {
  const { classOf, cos, sin, held, value, equation } = eq;
  for (let i = 0; i < classOf.length; i++) {
    const c = classOf[i];
    const j = equation[c];
    // held values are set, not read back from the solve, so that supports are met to the last digit
    const qx = held[2 * c] ? value[2 * c] : q[2 * j];
    const qy = held[2 * c + 1] ? value[2 * c + 1] : q[2 * j + 1];
    u[2 * i] = cos[i] * qx - sin[i] * qy;
    u[2 * i + 1] = sin[i] * qx + cos[i] * qy;
  }
}
