/**
 * Six-node triangle: shape functions, integration rules and element stiffness.
 *
 * Reference corners (0, 0), (1, 0), (0, 1); with L0 = 1 − ξ − η, L1 = ξ, L2 = η the corner functions are
 * L (2 L − 1) and the mid-side ones 4 L L' (nodes 3: 01, 4: 12, 5: 20).
 */

/** Points and weights on the reference triangle; the weights sum to its area ½. */
export interface TriangleRule {
  readonly count: number;
  readonly xi: Float64Array;
  readonly eta: Float64Array;
  readonly weight: Float64Array;
  /** Tables with six entries a point: N, ∂N/∂ξ, ∂N/∂η of local node a at `6 * g + a`. */
  readonly shape: Float64Array;
  readonly dXi: Float64Array;
  readonly dEta: Float64Array;
}

/** Writes N of the six nodes at (ξ, η) into `out[at …]`. */
export function shapes(xi: number, eta: number, out: Float64Array, at = 0): void {
  const l0 = 1 - xi - eta;
  out[at] = l0 * (2 * l0 - 1);
  out[at + 1] = xi * (2 * xi - 1);
  out[at + 2] = eta * (2 * eta - 1);
  out[at + 3] = 4 * l0 * xi;
  out[at + 4] = 4 * xi * eta;
  out[at + 5] = 4 * eta * l0;
}

/** Writes ∂N/∂ξ and ∂N/∂η of the six nodes at (ξ, η). */
export function shapeSlopes(xi: number, eta: number, dXi: Float64Array, dEta: Float64Array, at = 0): void {
  const l0 = 1 - xi - eta;
  dXi[at] = 1 - 4 * l0;
  dXi[at + 1] = 4 * xi - 1;
  dXi[at + 2] = 0;
  dXi[at + 3] = 4 * (l0 - xi);
  dXi[at + 4] = 4 * eta;
  dXi[at + 5] = -4 * eta;
  dEta[at] = 1 - 4 * l0;
  dEta[at + 1] = 0;
  dEta[at + 2] = 4 * eta - 1;
  dEta[at + 3] = -4 * xi;
  dEta[at + 4] = 4 * xi;
  dEta[at + 5] = 4 * (l0 - eta);
}

/** A rule from points (L0, L1, L2 by cyclic turns of (1 − 2a, a, a)), each orbit with one weight. */
function symmetricRule(orbits: readonly (readonly [a: number, weight: number])[]): TriangleRule {
  const count = 3 * orbits.length;
  const rule = {
    count,
    xi: new Float64Array(count),
    eta: new Float64Array(count),
    weight: new Float64Array(count),
    shape: new Float64Array(6 * count),
    dXi: new Float64Array(6 * count),
    dEta: new Float64Array(6 * count),
  };
  let g = 0;
  for (const [a, weight] of orbits) {
    const far = 1 - 2 * a;
    for (const [xi, eta] of [
      [a, a],
      [far, a],
      [a, far],
    ] as const) {
      rule.xi[g] = xi;
      rule.eta[g] = eta;
      rule.weight[g] = weight / 2;
      shapes(xi, eta, rule.shape, 6 * g);
      shapeSlopes(xi, eta, rule.dXi, rule.dEta, 6 * g);
      g++;
    }
  }
  return rule;
}

/** Three interior points, exact to degree 2: Strang & Fix 1973, table 4.1 (from memory; checked on monomials). */
export const RULE3: TriangleRule = symmetricRule([[1 / 6, 1 / 3]]);

/**
 * Six points, exact to degree 4: Strang & Fix 1973 / Dunavant 1985 (from memory), written in closed form so
 * that every digit is there; checked on monomials.
 */
export const RULE6: TriangleRule = (() => {
  const root = Math.sqrt(38 - 44 * Math.sqrt(2 / 5));
  const spread = Math.sqrt(213125 - 53320 * Math.sqrt(10));
  return symmetricRule([
    [(8 - Math.sqrt(10) + root) / 18, (620 + spread) / 3720],
    [(8 - Math.sqrt(10) - root) / 18, (620 - spread) / 3720],
  ]);
})();

/** Points and weights on −1 … 1, exact to degree 9 (Gauss–Legendre, five points). */
export const SIDE_POINTS: Float64Array = (() => {
  const near = Math.sqrt(5 - 2 * Math.sqrt(10 / 7)) / 3;
  const far = Math.sqrt(5 + 2 * Math.sqrt(10 / 7)) / 3;
  return Float64Array.of(-far, -near, 0, near, far);
})();
export const SIDE_WEIGHTS: Float64Array = (() => {
  const near = (322 + 13 * Math.sqrt(70)) / 900;
  const far = (322 - 13 * Math.sqrt(70)) / 900;
  return Float64Array.of(far, near, 128 / 225, near, far);
})();

/**
 * True when every mid-side node of element `e` lies midway between its corners, so that the Jacobian is constant
 * and three points (or the closed form below) integrate the stiffness exactly. A node off by 1e-12 of the
 * side moves the stiffness by as much, which is below what assembly rounds away.
 */
export function isStraight(xy: Float64Array, elements: Uint32Array, e: number): boolean {
  const at = 6 * e;
  for (let s = 0; s < 3; s++) {
    const a = 2 * elements[at + s];
    const b = 2 * elements[at + (s === 2 ? 0 : s + 1)];
    const m = 2 * elements[at + 3 + s];
    const dx = xy[b] - xy[a];
    const dy = xy[b + 1] - xy[a + 1];
    const ox = xy[m] - xy[a] - 0.5 * dx;
    const oy = xy[m + 1] - xy[a + 1] - 0.5 * dy;
    if (ox * ox + oy * oy > 1e-24 * (dx * dx + dy * dy)) return false;
  }
  return true;
}

/**
 * Stress from strain of an isotropic plane: sxx = d11 exx + d12 eyy, syy = d12 exx + d11 eyy, sxy = d33 gxy. MPa.
 * Plane strain is plane stress with E/(1 − ν²) and ν/(1 − ν) (Timoshenko & Goodier, arts. 11, 12, from memory).
 */
export interface Elasticity {
  readonly d11: number;
  readonly d12: number;
  readonly d33: number;
}

/** Moduli of a material. Throws when E or ν cannot be. */
export function elasticity(material: {
  readonly E: number;
  readonly nu: number;
  readonly state: "plane stress" | "plane strain";
}): Elasticity {
  const { E, nu, state } = material;
  if (!(E > 0 && Number.isFinite(E))) throw new Error(`material: E = ${E} MPa must be positive`);
  if (!(nu > -1 && nu < 0.5)) throw new Error(`material: nu = ${nu} must lie between -1 and 0.5`);
  if (state !== "plane stress" && state !== "plane strain")
    throw new Error(`material: state "${state}" is neither "plane stress" nor "plane strain"`);
  const e1 = state === "plane strain" ? E / (1 - nu * nu) : E;
  const nu1 = state === "plane strain" ? nu / (1 - nu) : nu;
  const d11 = e1 / (1 - nu1 * nu1);
  return { d11, d12: nu1 * d11, d33: E / (2 * (1 + nu)) };
}

/** Room for the 21 blocks of one element. */
export const ELEMENT_BLOCKS = 84;

const gx = new Float64Array(6);
const gy = new Float64Array(6);
const ex = new Float64Array(6);
const ey = new Float64Array(6);

/**
 * Stiffness of element `e`, N/mm, as 21 blocks of 2×2 in the order of local pairs (a, b), b ≤ a: pair q = a (a + 1)/2
 * + b at `out[4 q …]` = K[ax, bx], K[ay, bx], K[ax, by], K[ay, by] (columns first, as `NodeMatrix` has them).
 *
 * ∫ ∇N_a ⊗ ∇N_b is gathered first (the material enters once, after the sum): in closed form for straight sides, by the
 * six-point rule for curved ones. Coordinates are counted from the element's first node, since their absolute size
 * would cancel in the Jacobian at a cost of digits. Throws when the element is inside out at an integration point.
 */
export function elementBlocks(
  xy: Float64Array,
  elements: Uint32Array,
  e: number,
  { d11, d12, d33 }: Elasticity,
  thickness: number,
  out: Float64Array,
): void {
  const a11 = d11 * thickness;
  const a12 = d12 * thickness;
  const a33 = d33 * thickness;
  if (isStraight(xy, elements, e)) {
    straightProducts(xy, elements, e);
    applyModuli(products, 36, a11, a12, a33);
    combineProducts(out);
  } else {
    curvedProducts(xy, elements, e, out);
    applyModuli(out, ELEMENT_BLOCKS, a11, a12, a33);
  }
}

/** Turns blocks ∫ ∇N_a ⊗ ∇N_b (xx, yx, xy, yy: the letter of N_a first) into stiffness, in place. */
function applyModuli(blocks: Float64Array, length: number, a11: number, a12: number, a33: number): void {
  for (let q = 0; q < length; q += 4) {
    const xx = blocks[q];
    const yx = blocks[q + 1];
    const xy = blocks[q + 2];
    const yy = blocks[q + 3];
    blocks[q] = a11 * xx + a33 * yy;
    blocks[q + 1] = a12 * yx + a33 * xy;
    blocks[q + 2] = a12 * xy + a33 * yx;
    blocks[q + 3] = a11 * yy + a33 * xx;
  }
}

function curvedProducts(xy: Float64Array, elements: Uint32Array, e: number, out: Float64Array): void {
  out.fill(0);
  const { count, weight, dXi, dEta } = RULE6;
  shiftedCorners(xy, elements, e);
  for (let g = 0; g < count; g++) {
    const w = slopesAt(dXi, dEta, 6 * g, e) * weight[g];
    let q = 0;
    for (let a = 0; a < 6; a++) {
      const ax = w * gx[a];
      const ay = w * gy[a];
      for (let b = 0; b <= a; b++, q += 4) {
        out[q] += ax * gx[b];
        out[q + 1] += ay * gx[b];
        out[q + 2] += ax * gy[b];
        out[q + 3] += ay * gy[b];
      }
    }
  }
}

/** Coordinates of the six nodes from the first one, into ex, ey. */
function shiftedCorners(xy: Float64Array, elements: Uint32Array, e: number): void {
  const at = 6 * e;
  const x0 = xy[2 * elements[at]];
  const y0 = xy[2 * elements[at] + 1];
  for (let a = 0; a < 6; a++) {
    const i = 2 * elements[at + a];
    ex[a] = xy[i] - x0;
    ey[a] = xy[i + 1] - y0;
  }
}

/** ∂N/∂x, ∂N/∂y of the six nodes from row `at` of slope tables into gx, gy; returns the Jacobian determinant, mm². */
function slopesAt(dXi: Float64Array, dEta: Float64Array, at: number, e: number): number {
  let xXi = 0;
  let xEta = 0;
  let yXi = 0;
  let yEta = 0;
  for (let a = 0; a < 6; a++) {
    const p = dXi[at + a];
    const r = dEta[at + a];
    xXi += p * ex[a];
    xEta += r * ex[a];
    yXi += p * ey[a];
    yEta += r * ey[a];
  }
  const det = xXi * yEta - xEta * yXi;
  if (!(det > 0)) throw new Error(`element ${e} is inside out: its Jacobian is ${det} mm² at a point`);
  const inv = 1 / det;
  for (let a = 0; a < 6; a++) {
    const p = dXi[at + a];
    const r = dEta[at + a];
    gx[a] = (yEta * p - yXi * r) * inv;
    gy[a] = (xXi * r - xEta * p) * inv;
  }
  return det;
}

/**
 * For straight sides ∇N_a = Σ_i c_ai ∇L_i with c linear in the area coordinates, so ∫ ∇N_a ⊗ ∇N_b = Σ_ij m_ij P_ij with
 * P_ij = A ∇L_i ⊗ ∇L_j and m_ij the mean of c_ai c_bj over the element: numbers that no geometry enters, since L_i,
 * L_i L_j and L_i² have the means 1/3, 1/12 and 1/6. Of the 21 pairs 12 take a single P, 6 take four, and 3 (a corner
 * and the mid-side facing it) vanish.
 */
const THIRD = 1 / 3;
const FOUR_THIRDS = 4 / 3;
const EIGHT_THIRDS = 8 / 3;

/** P_ij at `4 * (3 i + j)` as xx, yx, xy, yy. */
const products = new Float64Array(36);

function straightProducts(xy: Float64Array, elements: Uint32Array, e: number): void {
  const at = 6 * e;
  const n0 = 2 * elements[at];
  const n1 = 2 * elements[at + 1];
  const n2 = 2 * elements[at + 2];
  const ax = xy[n1] - xy[n0];
  const ay = xy[n1 + 1] - xy[n0 + 1];
  const bx = xy[n2] - xy[n0];
  const by = xy[n2 + 1] - xy[n0 + 1];
  const det = ax * by - ay * bx; // twice the area
  if (!(det > 0)) throw new Error(`element ${e} is inside out: its Jacobian is ${det} mm²`);
  // ∇L_i times det; the products then carry A / det² = 1 / (2 det)
  gx[1] = by;
  gy[1] = -bx;
  gx[2] = -ay;
  gy[2] = ax;
  gx[0] = ay - by;
  gy[0] = bx - ax;
  const f = 1 / (2 * det);
  for (let i = 0, p = 0; i < 3; i++) {
    const x = f * gx[i];
    const y = f * gy[i];
    for (let j = 0; j < 3; j++, p += 4) {
      products[p] = x * gx[j];
      products[p + 1] = y * gx[j];
      products[p + 2] = x * gy[j];
      products[p + 3] = y * gy[j];
    }
  }
}

/**
 * The 21 blocks from `products`, to which the moduli may already have been applied: both are linear. Written out, one of
 * the four numbers of a block a turn: by tables of factors it takes ten times as long.
 */
function combineProducts(out: Float64Array): void {
  for (let c = 0; c < 4; c++) {
    const p00 = products[c];
    const p01 = products[4 + c];
    const p02 = products[8 + c];
    const p10 = products[12 + c];
    const p11 = products[16 + c];
    const p12 = products[20 + c];
    const p20 = products[24 + c];
    const p21 = products[28 + c];
    const p22 = products[32 + c];
    out[c] = p00;
    out[4 + c] = -THIRD * p10;
    out[8 + c] = p11;
    out[12 + c] = -THIRD * p20;
    out[16 + c] = -THIRD * p21;
    out[20 + c] = p22;
    out[24 + c] = FOUR_THIRDS * p10; // node 3, between 0 and 1
    out[28 + c] = FOUR_THIRDS * p01;
    out[32 + c] = 0;
    out[36 + c] = EIGHT_THIRDS * p00 + FOUR_THIRDS * p01 + FOUR_THIRDS * p10 + EIGHT_THIRDS * p11;
    out[40 + c] = 0; // node 4, between 1 and 2
    out[44 + c] = FOUR_THIRDS * p21;
    out[48 + c] = FOUR_THIRDS * p12;
    out[52 + c] = FOUR_THIRDS * p10 + FOUR_THIRDS * p11 + EIGHT_THIRDS * p20 + FOUR_THIRDS * p21;
    out[56 + c] = EIGHT_THIRDS * p11 + FOUR_THIRDS * p12 + FOUR_THIRDS * p21 + EIGHT_THIRDS * p22;
    out[60 + c] = FOUR_THIRDS * p20; // node 5, between 2 and 0
    out[64 + c] = 0;
    out[68 + c] = FOUR_THIRDS * p02;
    out[72 + c] = FOUR_THIRDS * p00 + FOUR_THIRDS * p01 + FOUR_THIRDS * p20 + EIGHT_THIRDS * p21;
    out[76 + c] = EIGHT_THIRDS * p01 + FOUR_THIRDS * p02 + FOUR_THIRDS * p21 + FOUR_THIRDS * p22;
    out[80 + c] = EIGHT_THIRDS * p00 + FOUR_THIRDS * p02 + FOUR_THIRDS * p20 + EIGHT_THIRDS * p22;
  }
}

const uxLocal = new Float64Array(6);
const uyLocal = new Float64Array(6);
const dXiHere = new Float64Array(6);
const dEtaHere = new Float64Array(6);

/** Makes element `e` the one that `strainAt` speaks of; `u` is 2 × nodes, or null for geometry alone. */
export function enterElement(
  xy: Float64Array,
  elements: Uint32Array,
  u: Float64Array | null,
  e: number,
): void {
  shiftedCorners(xy, elements, e);
  if (u === null) return;
  // a shift of the whole element strains nothing: taking the first node's share off saves digits
  const at = 6 * e;
  const u0 = u[2 * elements[at]];
  const v0 = u[2 * elements[at] + 1];
  for (let a = 0; a < 6; a++) {
    const i = 2 * elements[at + a];
    uxLocal[a] = u[i] - u0;
    uyLocal[a] = u[i + 1] - v0;
  }
}

/** Strain [exx, eyy, gxy] of the entered element at point g of a rule, into `out`; returns the Jacobian, mm². */
export function strainAtPoint(rule: TriangleRule, g: number, e: number, out: Float64Array): number {
  const det = slopesAt(rule.dXi, rule.dEta, 6 * g, e);
  sumStrain(out);
  return det;
}

/** The same at any (ξ, η). */
export function strainAt(xi: number, eta: number, e: number, out: Float64Array): number {
  shapeSlopes(xi, eta, dXiHere, dEtaHere);
  const det = slopesAt(dXiHere, dEtaHere, 0, e);
  sumStrain(out);
  return det;
}

function sumStrain(out: Float64Array): void {
  let exx = 0;
  let eyy = 0;
  let gxy = 0;
  for (let a = 0; a < 6; a++) {
    exx += gx[a] * uxLocal[a];
    eyy += gy[a] * uyLocal[a];
    gxy += gy[a] * uxLocal[a] + gx[a] * uyLocal[a];
  }
  out[0] = exx;
  out[1] = eyy;
  out[2] = gxy;
}

/** Adds w Bᵀσ of the point last evaluated to the nodal forces `f` (2 × nodes). */
export function addPointForce(
  elements: Uint32Array,
  e: number,
  w: number,
  sxx: number,
  syy: number,
  sxy: number,
  f: Float64Array,
): void {
  const at = 6 * e;
  for (let a = 0; a < 6; a++) {
    const i = 2 * elements[at + a];
    f[i] += w * (gx[a] * sxx + gy[a] * sxy);
    f[i + 1] += w * (gy[a] * syy + gx[a] * sxy);
  }
}

/** The same for one element's own twelve forces, at `f[at …]`, two a local node. */
export function addElementForce(
  w: number,
  sxx: number,
  syy: number,
  sxy: number,
  f: Float64Array,
  at: number,
): void {
  for (let a = 0; a < 6; a++) {
    f[at + 2 * a] += w * (gx[a] * sxx + gy[a] * sxy);
    f[at + 2 * a + 1] += w * (gy[a] * syy + gx[a] * sxy);
  }
}
