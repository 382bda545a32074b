import type { Problem } from "./problem.ts";
import {
  addPointForce,
  elasticity,
  enterElement,
  isStraight,
  RULE3,
  RULE6,
  strainAtPoint,
} from "./triangle6.ts";

/**
 * Adds ∫ Bᵀσ dA × thickness of displacements `u` (2 × nodes, mm) to `f` (2 × nodes, N) element by element and returns
 * the strain energy ½∫ σ:ε dA × thickness, N·mm. No assembled matrix enters: this is the check of it.
 */
export function internalForces(problem: Problem, u: Float64Array, f: Float64Array): number {
  const { mesh, thickness } = problem;
  const { xy, elements } = mesh;
  const { d11, d12, d33 } = elasticity(problem.material);
  const strain = new Float64Array(3);
  const count = elements.length / 6;
  let energy = 0;
  for (let e = 0; e < count; e++) {
    const rule = isStraight(xy, elements, e) ? RULE3 : RULE6;
    enterElement(xy, elements, u, e);
    for (let g = 0; g < rule.count; g++) {
      const w = strainAtPoint(rule, g, e, strain) * rule.weight[g] * thickness;
      const exx = strain[0];
      const eyy = strain[1];
      const gxy = strain[2];
      const sxx = d11 * exx + d12 * eyy;
      const syy = d12 * exx + d11 * eyy;
      const sxy = d33 * gxy;
      energy += 0.5 * w * (sxx * exx + syy * eyy + sxy * gxy);
      addPointForce(elements, e, w, sxx, syy, sxy, f);
    }
  }
  return energy;
}
