import type { Design } from "../design/index.ts";
import { type NodalStress, vonMises } from "../solver/index.ts";

/** Von Mises stress at each node, MPa, from `[sxx, syy, sxy]` per node; in plane strain with the stress across the plane. */
export function nodalVonMises(stress: NodalStress, material: Design["material"]): Float64Array {
  const out = new Float64Array(stress.length / 3);
  for (let i = 0; i < out.length; i++) {
    const xx = stress[3 * i]!;
    const yy = stress[3 * i + 1]!;
    out[i] = vonMises(xx, yy, stress[3 * i + 2]!, material);
  }
  return out;
}
