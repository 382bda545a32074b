import type { Problem, Solution } from "./problem.ts";
import { elasticity, enterElement, strainAt } from "./triangle6.ts";

/**
 * Stress of element `e` straight from its own displacements at reference point (ξ, η), MPa, written into `out` as
 * [sxx, syy, sxy]. It jumps from element to element; `recoverStress` does not.
 */
export function elementStress(
  { mesh, material }: Pick<Problem, "mesh" | "material">,
  { displacement }: Pick<Solution, "displacement">,
  e: number,
  xi: number,
  eta: number,
  out: Float64Array,
): Float64Array {
  if (!(e >= 0 && 6 * e < mesh.elements.length)) {
    throw new Error(`elementStress: element ${e} of ${mesh.elements.length / 6}`);
  }
  const { d11, d12, d33 } = elasticity(material);
  enterElement(mesh.xy, mesh.elements, displacement, e);
  strainAt(xi, eta, e, out);
  const exx = out[0];
  const eyy = out[1];
  out[0] = d11 * exx + d12 * eyy;
  out[1] = d12 * exx + d11 * eyy;
  out[2] *= d33;
  return out;
}
