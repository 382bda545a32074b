import type { Problem } from "./problem.ts";
import { addElementForce, elasticity, enterElement, RULE6, strainAtPoint } from "./triangle6.ts";

/** A smooth elastic field round a vertex: places and results in units of the patch's radius, as `recoverStress` fits it. */
export interface FittedField {
  /** Displacement times 2G / radius, MPa, into `out`. */
  displacementAt(x: number, y: number, out: Float64Array): void;
  /** [sxx, syy, sxy], MPa, into `out`. */
  stressAt(x: number, y: number, out: Float64Array): void;
}

/**
 * Adds to `out[12 e …]` a third of ∫ Bᵀ (σ* − σ(I u*)) dA × thickness, N, over element e, with u* the field fitted at its vertex v
 * and I u* what the element's six nodes make of it: the nodal forces that interpolation misses. Returned as a function
 * that is called for each vertex of each element, so that the mean over its three vertices is what remains.
 */
export function missedForce(
  { mesh, material, thickness }: Pick<Problem, "mesh" | "material" | "thickness">,
  field: FittedField,
  out: Float64Array,
): (e: number, v: number, radius: number) => void {
  const { xy, elements } = mesh;
  if (out.length !== 2 * elements.length) {
    throw new Error(`recovery: ${out.length} missed forces for ${elements.length / 6} elements`);
  }
  const { d11, d12, d33 } = elasticity(material);
  const { weight, shape } = RULE6;
  const u = new Float64Array(xy.length); // only the six nodes at hand are read
  const pair = new Float64Array(2);
  const strain = new Float64Array(3);
  const stress = new Float64Array(3);
  return (e, v, radius) => {
    const at = 6 * e;
    const scale = 1 / radius;
    const perStress = radius / (2 * d33);
    const x0 = xy[2 * v];
    const y0 = xy[2 * v + 1];
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[at + a];
      field.displacementAt((xy[i] - x0) * scale, (xy[i + 1] - y0) * scale, pair);
      u[i] = pair[0] * perStress;
      u[i + 1] = pair[1] * perStress;
    }
    enterElement(xy, elements, u, e);
    for (let g = 0; g < 6; g++) {
      const w = (strainAtPoint(RULE6, g, e, strain) * weight[g] * thickness) / 3;
      let x = -x0;
      let y = -y0;
      for (let a = 0; a < 6; a++) {
        const i = 2 * elements[at + a];
        x += shape[6 * g + a] * xy[i];
        y += shape[6 * g + a] * xy[i + 1];
      }
      field.stressAt(x * scale, y * scale, stress);
      const sxx = stress[0] - (d11 * strain[0] + d12 * strain[1]);
      const syy = stress[1] - (d12 * strain[0] + d11 * strain[1]);
      const sxy = stress[2] - d33 * strain[2];
      addElementForce(w, sxx, syy, sxy, out, 12 * e);
    }
  };
}
