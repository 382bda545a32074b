import { elementStress } from "../solver/index.ts";
import type { Model } from "./model.ts";

/** Six points on the reference triangle, exact to degree 4 (Strang & Fix 1973, from memory): a and weight of two orbits. */
const ORBITS = [
  [0.445948490915965, 0.223381589678011],
  [0.091576213509771, 0.109951743655322],
] as const;

/** Slopes of the six shape functions along ξ and η, as rows of `out` (12). */
function slopes(xi: number, eta: number, out: Float64Array): void {
  const l0 = 1 - xi - eta;
  out.set([1 - 4 * l0, 4 * xi - 1, 0, 4 * (l0 - xi), 4 * eta, -4 * eta]);
  out.set([1 - 4 * l0, 0, 4 * eta - 1, -4 * xi, 4 * xi, 4 * (l0 - eta)], 6);
}

/**
 * J of a crack along the x axis with its tip at (tipX, 0), N/mm: ∫ (σ_ij u_j,x − w δ_ix) q,i dA over the elements, with q = 1 within
 * `inner` of the tip, 0 beyond `outer`, interpolated from the nodes (domain form of J. R. Rice's integral, after C. F. Shih, B. Moran
 * and T. Nakamura, Int. J. Fract. 30, 79, 1986; from memory). Of a model that is half of a symmetric part this is half of J.
 */
export function domainJ(model: Model, tipX: number, inner: number, outer: number): number {
  const { mesh, solution, problem } = model;
  const { xy, elements } = mesh;
  const u = solution.displacement;
  const nodes = xy.length / 2;
  const q = new Float64Array(nodes);
  for (let i = 0; i < nodes; i++) {
    const r = Math.hypot(xy[2 * i]! - tipX, xy[2 * i + 1]!);
    q[i] = Math.min(1, Math.max(0, (outer - r) / (outer - inner)));
  }
  const d = new Float64Array(12);
  const s = new Float64Array(3);
  let J = 0;
  for (let e = 0; 6 * e < elements.length; e++) {
    const q0 = q[elements[6 * e]!]!;
    let flat = true;
    for (let a = 1; a < 6; a++) if (q[elements[6 * e + a]!] !== q0) flat = false;
    if (flat) continue;
    for (const [a, weight] of ORBITS) {
      for (const [xi, eta] of [
        [a, a],
        [1 - 2 * a, a],
        [a, 1 - 2 * a],
      ] as const) {
        slopes(xi, eta, d);
        // slopes of x, y, u, v, q along ξ and η
        let xXi = 0;
        let xEta = 0;
        let yXi = 0;
        let yEta = 0;
        let uXi = 0;
        let uEta = 0;
        let vXi = 0;
        let vEta = 0;
        let qXi = 0;
        let qEta = 0;
        for (let k = 0; k < 6; k++) {
          const i = elements[6 * e + k]!;
          xXi += d[k]! * xy[2 * i]!;
          xEta += d[6 + k]! * xy[2 * i]!;
          yXi += d[k]! * xy[2 * i + 1]!;
          yEta += d[6 + k]! * xy[2 * i + 1]!;
          uXi += d[k]! * u[2 * i]!;
          uEta += d[6 + k]! * u[2 * i]!;
          vXi += d[k]! * u[2 * i + 1]!;
          vEta += d[6 + k]! * u[2 * i + 1]!;
          qXi += d[k]! * q[i]!;
          qEta += d[6 + k]! * q[i]!;
        }
        const det = xXi * yEta - xEta * yXi;
        const alongX = (fXi: number, fEta: number) => (fXi * yEta - fEta * yXi) / det;
        const alongY = (fXi: number, fEta: number) => (fEta * xXi - fXi * xEta) / det;
        const ux = alongX(uXi, uEta);
        const vx = alongX(vXi, vEta);
        const uy = alongY(uXi, uEta);
        const vy = alongY(vXi, vEta);
        elementStress(problem, solution, e, xi, eta, s);
        const energy = (s[0]! * ux + s[1]! * vy + s[2]! * (uy + vx)) / 2;
        const fx = s[0]! * ux + s[2]! * vx - energy;
        const fy = s[2]! * ux + s[1]! * vx;
        J += (fx * alongX(qXi, qEta) + fy * alongY(qXi, qEta)) * (weight / 2) * det;
      }
    }
  }
  return J;
}
