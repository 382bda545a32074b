import type { Material } from "./problem.ts";

/** Stress across the plane, MPa: ν (sxx + syy) in plane strain, 0 in plane stress. */
export function outOfPlaneStress(material: Material, sxx: number, syy: number): number {
  return material.state === "plane strain" ? material.nu * (sxx + syy) : 0;
}

/** Larger in-plane principal stress, MPa. */
export function firstPrincipal(sxx: number, syy: number, sxy: number): number {
  return 0.5 * (sxx + syy) + radius(sxx, syy, sxy);
}

/** Smaller in-plane principal stress, MPa. */
export function secondPrincipal(sxx: number, syy: number, sxy: number): number {
  return 0.5 * (sxx + syy) - radius(sxx, syy, sxy);
}

/** Of Mohr's circle, MPa. `Math.hypot` is many times slower. */
function radius(sxx: number, syy: number, sxy: number): number {
  const half = 0.5 * (sxx - syy);
  return Math.sqrt(half * half + sxy * sxy);
}

/** Angle of the direction in which the first principal stress pulls, rad from +x, in (−π/2, π/2]. */
export function principalAngle(sxx: number, syy: number, sxy: number): number {
  return 0.5 * Math.atan2(2 * sxy, sxx - syy);
}

/** Von Mises stress, MPa, with the stress across the plane that the material's state brings. */
export function vonMises(sxx: number, syy: number, sxy: number, material: Material): number {
  const szz = outOfPlaneStress(material, sxx, syy);
  const a = sxx - syy;
  const b = syy - szz;
  const c = szz - sxx;
  return Math.sqrt(0.5 * (a * a + b * b + c * c) + 3 * sxy * sxy);
}
