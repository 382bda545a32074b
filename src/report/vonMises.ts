import type { Design } from "../design/index.ts";
import type { NodalStress } from "../solver/index.ts";

/**
 * Von Mises stress at each node, MPa, from `[sxx, syy, sxy]` per node (√(3 J2)). In plane strain the stress
 * across the plane, ν (sxx + syy), counts too.
 */
export function vonMises(stress: NodalStress, material: Design["material"]): Float64Array {
  const out = new Float64Array(stress.length / 3);
  const across = material.state === "plane strain" ? material.nu : 0;
  for (let i = 0; i < out.length; i++) {
    const xx = stress[3 * i]!;
    const yy = stress[3 * i + 1]!;
    const xy = stress[3 * i + 2]!;
    const zz = across * (xx + yy);
    out[i] = Math.sqrt(((xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2) / 2 + 3 * xy * xy);
  }
  return out;
}

/** First (largest) principal stress in the plane, MPa. */
export function firstPrincipal(xx: number, yy: number, xy: number): number {
  return (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
}
