import { curvePoint, outlineEdges } from "../../geometry/index.ts";
import { nearestNode } from "../../mesh/index.ts";
import { GAUSS_POINTS, GAUSS_WEIGHTS } from "../../numerics/index.ts";
import {
  elementStress,
  type Material,
  type Problem,
  type Solution,
  shapeSlopes,
  shapes,
} from "../../solver/index.ts";
import { type CornerField, type CornerMode, cornerField, williamsExponent } from "./williams.ts";

/** A corner of a solved model: where it is, its unit bisector into the material, its angle of material. */
export interface CornerPlace {
  readonly x: number;
  readonly y: number;
  readonly bisectorX: number;
  readonly bisectorY: number;
  /** rad, π < angle ≤ 2π. */
  readonly materialAngle: number;
  /** True when only the half on one side of the bisector is modelled, the bisector being a line of symmetry. */
  readonly half?: boolean;
  /** Radius within which the field is read, mm; by default as large as nothing else comes near. */
  readonly reach?: number;
}

/**
 * Generalised stress intensities: on the bisector σ_θθ = k1 / √(2π) · r^(λ1 − 1), σ_rθ = k2 / √(2π) · r^(λ2 − 1)
 * (B. Gross and A. Mendelson, Int. J. Fract. Mech. 8, 1972; from memory). MPa·mm^(1 − λ); for a crack the K_I and
 * K_II of fracture mechanics in MPa√mm.
 */
export interface CornerIntensity {
  readonly materialAngle: number;
  readonly exponent1: number;
  readonly k1: number;
  /** Null where sliding is not singular (λ2 ≥ 1) or, in half a model, cannot be. */
  readonly exponent2: number | null;
  readonly k2: number | null;
  /** Radius within which the field was read, mm. */
  readonly reach: number;
  /** |k1 from half that radius − k1| / |k1|: what the place of reading matters. */
  readonly spread: number;
}

/**
 * Intensities of a sharp corner by reciprocal work (Betti): the solved field is put against the field of exponent −λ of the same
 * corner (J. P. Carpenter and C. Byers, Int. J. Fract. 35, 1987; G. B. Sinclair et al., 1984; both from memory). The
 * contour is smeared over a ring of elements by a cut-off q(r), 1 within a quarter of the reach and 0 beyond it:
 *
 *     H = − ∫ (σ u* − σ* u) · grad q dA + ∫ over the surfaces of q (t u* − t* u) ds
 *
 * The surfaces enter with the traction t on them and with what t* is where they bend away from the corner's straight
 * sides, so curved flanks and loads up to the corner are allowed. The error falls as that of energy does: twice as fast as that of stress.
 * @throws Error when the corner is not on the outline.
 */
export function cornerIntensity(
  problem: Problem,
  solution: Pick<Solution, "displacement">,
  corner: CornerPlace,
): CornerIntensity {
  const reach = corner.reach ?? freeReach(problem, corner);
  if (!(reach > 0)) throw new Error(`cornerIntensity: a reach of ${reach} mm`);
  const w = Math.min(corner.materialAngle, 2 * Math.PI);
  const read = (mode: CornerMode, r: number) => intensity(problem, solution, corner, w, mode, r);
  const k1 = read("opening", reach);
  const exponent2 = williamsExponent(w, "sliding");
  const singular = exponent2 < 1 && !corner.half;
  return {
    materialAngle: w,
    exponent1: williamsExponent(w),
    k1,
    exponent2: singular ? exponent2 : null,
    k2: singular ? read("sliding", reach) : null,
    reach,
    spread: Math.abs(read("opening", reach / 2) / k1 - 1),
  };
}

/** Opening stress (σ_θθ on a ray) at distance r and angle θ from the bisector, MPa, by the two singular terms. */
export function cornerOpening(at: CornerIntensity): (r: number, theta: number) => number {
  const one = cornerField(at.materialAngle, at.exponent1, "opening");
  const two = at.exponent2 === null ? null : cornerField(at.materialAngle, at.exponent2, "sliding");
  const out = new Float64Array(3);
  return (r, theta) => {
    one.stress(theta, out);
    let sum = at.k1 * r ** (at.exponent1 - 1) * out[1];
    if (two && at.k2 !== null) {
      two.stress(theta, out);
      sum += at.k2 * r ** (two.exponent - 1) * out[1];
    }
    return sum / Math.sqrt(2 * Math.PI);
  };
}

/** Mean of the same from 0 to r, MPa: r^(λ − 1) averages to r^(λ − 1) / λ. */
export function cornerMeanOpening(at: CornerIntensity): (r: number, theta: number) => number {
  const whole = { ...at, k1: at.k1 / at.exponent1 };
  return cornerOpening(at.exponent2 === null ? whole : { ...whole, k2: (at.k2 ?? 0) / at.exponent2 });
}

/** Shear modulus and Kolosov's constant. */
function constants({ E, nu, state }: Material): { shear: number; kappa: number } {
  return { shear: E / (2 * (1 + nu)), kappa: state === "plane strain" ? 3 - 4 * nu : (3 - nu) / (1 + nu) };
}

/** Seven points on the triangle, exact to degree 5 (J. Radon 1948): ξ, η, weight (sum ½). */
const RULE: readonly (readonly [number, number, number])[] = (() => {
  const root = Math.sqrt(15);
  const near = (6 - root) / 21;
  const far = (6 + root) / 21;
  const wNear = (155 - root) / 2400;
  const wFar = (155 + root) / 2400;
  return [
    [1 / 3, 1 / 3, 9 / 80],
    [near, near, wNear],
    [1 - 2 * near, near, wNear],
    [near, 1 - 2 * near, wNear],
    [far, far, wFar],
    [1 - 2 * far, far, wFar],
    [far, 1 - 2 * far, wFar],
  ];
})();

/** The same on each quarter of the triangle: the integrand falls steeply across an element. */
const FINE_RULE = RULE.flatMap(([xi, eta, weight]) => [
  [xi / 2, eta / 2, weight / 4] as const,
  [(1 + xi) / 2, eta / 2, weight / 4] as const,
  [xi / 2, (1 + eta) / 2, weight / 4] as const,
  [(1 - xi) / 2, (1 - eta) / 2, weight / 4] as const,
]);

function intensity(
  problem: Problem,
  solution: Pick<Solution, "displacement">,
  corner: CornerPlace,
  w: number,
  mode: CornerMode,
  outer: number,
): number {
  const { shear, kappa } = constants(problem.material);
  const exponent = williamsExponent(w, mode);
  const dual = cornerField(w, -exponent, mode);
  const work = reciprocalWork(problem, solution, corner, dual, shear, kappa, outer) * (corner.half ? 2 : 1);
  const unit = unitWork(cornerField(w, exponent, mode), dual, kappa) / (2 * shear);
  return (Math.sqrt(2 * Math.PI) * work) / unit;
}

/** Reciprocal work of a field and its dual over an arc of any radius, times 2G. */
function unitWork(field: CornerField, dual: CornerField, kappa: number): number {
  const half = field.materialAngle / 2;
  const s = new Float64Array(3);
  const sd = new Float64Array(3);
  const u = new Float64Array(2);
  const ud = new Float64Array(2);
  const panels = 32;
  let sum = 0;
  for (let k = 0; k < panels; k++) {
    for (let g = 0; g < GAUSS_POINTS.length; g++) {
      const theta = -half + (2 * half * (k + GAUSS_POINTS[g])) / panels;
      field.stress(theta, s);
      dual.stress(theta, sd);
      field.displacement(theta, kappa, u);
      dual.displacement(theta, kappa, ud);
      const c = Math.cos(theta);
      const n = Math.sin(theta);
      // on the arc only σ_rr and σ_rθ do work
      const work =
        s[0] * (c * ud[0] + n * ud[1]) +
        s[2] * (c * ud[1] - n * ud[0]) -
        sd[0] * (c * u[0] + n * u[1]) -
        sd[2] * (c * u[1] - n * u[0]);
      sum += (GAUSS_WEIGHTS[g] * work * 2 * half) / panels;
    }
  }
  return sum;
}

/** H of the doc comment above, for one dual field. */
function reciprocalWork(
  problem: Problem,
  solution: Pick<Solution, "displacement">,
  corner: CornerPlace,
  dual: CornerField,
  shear: number,
  kappa: number,
  outer: number,
): number {
  const { mesh } = problem;
  const { xy, elements } = mesh;
  const { displacement: d } = solution;
  const { x: x0, y: y0, bisectorX: bx, bisectorY: by } = corner;
  const inner = outer / 4;
  const motion = rigidMotion(problem, d, corner, outer);
  const l = dual.exponent;
  const n = new Float64Array(6);
  const nXi = new Float64Array(6);
  const nEta = new Float64Array(6);
  const stress = new Float64Array(3);
  const sd = new Float64Array(3);
  const ud = new Float64Array(2);
  let reference = 0;

  /** Place and displacement at local (ξ, η) of element e: [x, y from the corner, in its frame; r; θ; u, v in its frame]. */
  const at = new Float64Array(6);
  const place = (e: number, xi: number, eta: number): void => {
    shapes(xi, eta, n);
    let x = 0;
    let y = 0;
    let u = -motion.u;
    let v = -motion.v;
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[6 * e + a];
      x += n[a] * (xy[i] - x0);
      y += n[a] * (xy[i + 1] - y0);
      u += n[a] * d[i];
      v += n[a] * d[i + 1];
    }
    u += motion.turn * y;
    v -= motion.turn * x;
    at[0] = bx * x + by * y;
    at[1] = bx * y - by * x;
    at[2] = Math.hypot(x, y);
    // on the faces of a crack the side of the line is the element's, not the rounding's
    const theta = Math.atan2(at[1], at[0]);
    at[3] = theta - 2 * Math.PI * Math.round((theta - reference) / (2 * Math.PI));
    at[4] = bx * u + by * v;
    at[5] = bx * v - by * u;
  };
  const enter = (e: number): void => {
    place(e, 1 / 3, 1 / 3);
    reference = Math.atan2(at[1], at[0]);
  };
  /** Dual stress [xx, yy, xy] and displacement at the place, in the corner's frame. */
  const dualAt = (): void => {
    const r = at[2];
    dual.stress(at[3], sd);
    dual.displacement(at[3], kappa, ud);
    const c = Math.cos(at[3]);
    const s = Math.sin(at[3]);
    const rr = sd[0];
    const tt = sd[1];
    const rt = sd[2];
    const grow = r ** (l - 1);
    sd[0] = grow * (c * c * rr + s * s * tt - 2 * s * c * rt);
    sd[1] = grow * (s * s * rr + c * c * tt + 2 * s * c * rt);
    sd[2] = grow * (s * c * (rr - tt) + (c * c - s * s) * rt);
    const lift = r ** l / (2 * shear);
    ud[0] *= lift;
    ud[1] *= lift;
  };

  let ring = 0;
  for (let e = 0; e < elements.length / 6; e++) {
    if (!meets(problem, e, x0, y0, inner, outer)) continue;
    enter(e);
    for (const [xi, eta, weight] of FINE_RULE) {
      place(e, xi, eta);
      const r = at[2];
      if (r <= inner || r >= outer) continue;
      const slope = ((-Math.PI / 2) * Math.sin((Math.PI * (r - inner)) / (outer - inner))) / (outer - inner);
      const qx = (slope * at[0]) / r;
      const qy = (slope * at[1]) / r;
      dualAt();
      elementStress(problem, solution, e, xi, eta, stress);
      // the element's stress, turned into the corner's frame
      const sxx = bx * bx * stress[0] + by * by * stress[1] + 2 * bx * by * stress[2];
      const syy = by * by * stress[0] + bx * bx * stress[1] - 2 * bx * by * stress[2];
      const sxy = bx * by * (stress[1] - stress[0]) + (bx * bx - by * by) * stress[2];
      const fx = sxx * ud[0] + sxy * ud[1] - sd[0] * at[4] - sd[2] * at[5];
      const fy = sxy * ud[0] + syy * ud[1] - sd[2] * at[4] - sd[1] * at[5];
      shapeSlopes(xi, eta, nXi, nEta);
      ring += weight * jacobian(problem, e, nXi, nEta) * (fx * qx + fy * qy);
    }
  }

  let surface = 0;
  const edges = outlineEdges(problem.outline);
  const traction = new Float64Array(2);
  const one = new Float64Array(2);
  for (let b = 0; b < mesh.sideElement.length; b++) {
    const e = mesh.sideElement[b];
    if (!meets(problem, e, x0, y0, 0, outer)) continue;
    enter(e);
    const s = mesh.sideLocal[b];
    const loads = problem.loads.filter((load) => load.edges.includes(edges[mesh.sideEdge[b]].name));
    for (let g = 0; g < GAUSS_POINTS.length; g++) {
      const t = GAUSS_POINTS[g];
      const xi = s === 0 ? t : s === 1 ? 1 - t : 0;
      const eta = s === 0 ? 0 : s === 1 ? t : 1 - t;
      place(e, xi, eta);
      const r = at[2];
      if (r >= outer) continue;
      const q = r <= inner ? 1 : (1 + Math.cos((Math.PI * (r - inner)) / (outer - inner))) / 2;
      dualAt();
      shapeSlopes(xi, eta, nXi, nEta);
      let tx = 0;
      let ty = 0;
      for (let a = 0; a < 6; a++) {
        const i = 2 * elements[6 * e + a];
        const along = s === 0 ? nXi[a] : s === 1 ? nEta[a] - nXi[a] : -nEta[a];
        tx += along * xy[i];
        ty += along * xy[i + 1];
      }
      // outward normal times length, global and in the corner's frame; material is on the left
      const gx = ty;
      const gy = -tx;
      const nx = bx * gx + by * gy;
      const ny = bx * gy - by * gx;
      let work = -(sd[0] * nx + sd[2] * ny) * at[4] - (sd[2] * nx + sd[1] * ny) * at[5];
      if (loads.length > 0) {
        const length = Math.hypot(gx, gy);
        traction.fill(0);
        for (const load of loads) {
          if (typeof load.traction === "function") {
            const px = x0 + bx * at[0] - by * at[1];
            const py = y0 + by * at[0] + bx * at[1];
            load.traction(px, py, gx / length, gy / length, one);
          } else if (load.traction) {
            one[0] = load.traction[0];
            one[1] = load.traction[1];
          } else one.fill(0);
          traction[0] += one[0] - ((load.pressure ?? 0) * gx) / length;
          traction[1] += one[1] - ((load.pressure ?? 0) * gy) / length;
        }
        work +=
          length *
          ((bx * traction[0] + by * traction[1]) * ud[0] + (bx * traction[1] - by * traction[0]) * ud[1]);
      }
      surface += GAUSS_WEIGHTS[g] * q * work;
    }
  }
  return surface - ring;
}

/**
 * What the surroundings of a corner do as a rigid body: the displacement of the mesh node at the corner, mm, and the turn about it that
 * fits best what lies within `outer`. Exactly it does no work on the dual field; by quadrature it does, and all the more of a sliding field
 * whose exponent is near 1, which is all but a turn itself.
 */
function rigidMotion(
  problem: Problem,
  d: Float64Array,
  corner: CornerPlace,
  outer: number,
): { readonly u: number; readonly v: number; readonly turn: number } {
  const [u, v] = cornerShift(problem, d, corner);
  const { xy, elements } = problem.mesh;
  let moment = 0;
  let spread = 0;
  for (let e = 0; e < elements.length / 6; e++) {
    if (!meets(problem, e, corner.x, corner.y, 0, outer)) continue;
    for (let k = 6 * e; k < 6 * e + 6; k++) {
      const i = 2 * elements[k];
      const x = xy[i] - corner.x;
      const y = xy[i + 1] - corner.y;
      moment += x * (d[i + 1] - v) - y * (d[i] - u);
      spread += x * x + y * y;
    }
  }
  return { u, v, turn: moment / spread };
}

/** Displacement of the mesh node at the corner. */
function cornerShift({ mesh }: Problem, d: Float64Array, corner: CornerPlace): readonly [number, number] {
  const at = nearestNode(mesh, corner.x, corner.y);
  const away = Math.hypot(mesh.xy[2 * at] - corner.x, mesh.xy[2 * at + 1] - corner.y);
  if (!(away <= 1e-6 * Math.max(1, Math.hypot(corner.x, corner.y))))
    throw new Error(`cornerIntensity: no node at (${corner.x}, ${corner.y}); the nearest is ${away} mm away`);
  return [d[2 * at], d[2 * at + 1]];
}

/** True when element e may reach into inner < r < outer. */
function meets({ mesh }: Problem, e: number, x0: number, y0: number, inner: number, outer: number): boolean {
  const { xy, elements } = mesh;
  let nearest = Infinity;
  let farthest = 0;
  let span = 0;
  const ax = xy[2 * elements[6 * e]];
  const ay = xy[2 * elements[6 * e] + 1];
  for (let a = 0; a < 6; a++) {
    const i = 2 * elements[6 * e + a];
    const r = Math.hypot(xy[i] - x0, xy[i + 1] - y0);
    nearest = Math.min(nearest, r);
    farthest = Math.max(farthest, r);
    span = Math.max(span, Math.hypot(xy[i] - ax, xy[i + 1] - ay));
  }
  return nearest - span < outer && farthest + span > inner;
}

/** Nine tenths of the distance to the nearest edge that does not end at the corner, and of the two edges that do. */
function freeReach({ outline }: Problem, corner: CornerPlace): number {
  const p = new Float64Array(2);
  const away = (u: number, curve: Parameters<typeof curvePoint>[0]) => {
    curvePoint(curve, u, p);
    return Math.hypot(p[0] - corner.x, p[1] - corner.y);
  };
  const touching = 1e-6 * Math.max(1, Math.hypot(corner.x, corner.y));
  let reach = Infinity;
  let ends = 0;
  for (const { curve } of outlineEdges(outline)) {
    const start = away(0, curve);
    const end = away(1, curve);
    if (Math.min(start, end) <= touching) {
      ends++;
      reach = Math.min(reach, Math.max(start, end));
      continue;
    }
    for (let k = 0; k <= 64; k++) reach = Math.min(reach, away(k / 64, curve));
  }
  if (ends === 0) throw new Error(`cornerIntensity: no edge ends at (${corner.x}, ${corner.y})`);
  return 0.9 * reach;
}

function jacobian({ mesh }: Problem, e: number, dXi: Float64Array, dEta: Float64Array): number {
  const { xy, elements } = mesh;
  let xXi = 0;
  let xEta = 0;
  let yXi = 0;
  let yEta = 0;
  for (let a = 0; a < 6; a++) {
    const i = 2 * elements[6 * e + a];
    xXi += dXi[a] * xy[i];
    xEta += dEta[a] * xy[i];
    yXi += dXi[a] * xy[i + 1];
    yEta += dEta[a] * xy[i + 1];
  }
  return xXi * yEta - xEta * yXi;
}
