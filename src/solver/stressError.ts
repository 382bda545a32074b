import type { NodalStress, Problem, Solution } from "./problem.ts";
import { elasticity, enterElement, RULE6, strainAtPoint } from "./triangle6.ts";

/**
 * Estimated error of each element in the energy norm, √(N·mm): √∫ (σ* − σ):C⁻¹:(σ* − σ) dA × thickness, with σ* the
 * recovered and σ the element's own stress (O. C. Zienkiewicz and J. Z. Zhu, Int. J. Numer. Methods Eng. 24, 337, 1987; from
 * memory). Squares add up over elements; twice the strain energy is the square to hold them against.
 */
export function stressError(
  problem: Pick<Problem, "mesh" | "material" | "thickness">,
  { displacement }: Pick<Solution, "displacement">,
  nodal: NodalStress,
): Float64Array {
  const { mesh, material, thickness } = problem;
  const { xy, elements } = mesh;
  if (nodal.length !== 1.5 * xy.length) {
    throw new Error(`stressError: ${nodal.length} stresses for ${xy.length / 2} nodes`);
  }
  const { d11, d12, d33 } = elasticity(material);
  const det = d11 * d11 - d12 * d12;
  const c11 = d11 / det;
  const c12 = -d12 / det;
  const c33 = 1 / d33;
  const count = elements.length / 6;
  const error = new Float64Array(count);
  const strain = new Float64Array(3);
  const { weight, shape } = RULE6;
  for (let e = 0; e < count; e++) {
    enterElement(xy, elements, displacement, e);
    let sum = 0;
    for (let g = 0; g < 6; g++) {
      const w = strainAtPoint(RULE6, g, e, strain) * weight[g];
      let sxx = -(d11 * strain[0] + d12 * strain[1]);
      let syy = -(d12 * strain[0] + d11 * strain[1]);
      let sxy = -d33 * strain[2];
      for (let a = 0; a < 6; a++) {
        const n = shape[6 * g + a];
        const i = 3 * elements[6 * e + a];
        sxx += n * nodal[i];
        syy += n * nodal[i + 1];
        sxy += n * nodal[i + 2];
      }
      sum += w * (c11 * (sxx * sxx + syy * syy) + 2 * c12 * sxx * syy + c33 * sxy * sxy);
    }
    error[e] = Math.sqrt(Math.max(0, sum) * thickness);
  }
  return error;
}
