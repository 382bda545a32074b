import { fromPolar, type StressField } from "../model.ts";

/**
 * Wide plate with a round hole of radius a at the origin, remote stresses s1 along x, s2 along y and shear t, MPa: Kirsch
 * 1898, Timoshenko & Goodier art. 35, superposed.
 */
export function kirsch(a: number, s1: number, s2: number, t: number): StressField {
  return (x, y, out) => {
    const q = (a * a) / (x * x + y * y);
    const th = Math.atan2(y, x);
    const c2 = Math.cos(2 * th);
    const sn = Math.sin(2 * th);
    const mean = (s1 + s2) / 2;
    const half = (s1 - s2) / 2;
    const wave = half * c2 + t * sn;
    const cross = -half * sn + t * c2;
    fromPolar(
      mean * (1 - q) + (1 - 4 * q + 3 * q * q) * wave,
      mean * (1 + q) - (1 + 3 * q * q) * wave,
      (1 + 2 * q - 3 * q * q) * cross,
      x,
      y,
      out,
    );
  };
}

/**
 * Displacement of the plate under tension S along x, mm, symmetric about both axes; κ = (3 − ν)/(1 + ν), plane stress:
 * 2G (u + iv) = κ φ − z conj φ' − conj ψ with φ = S/4 (z + 2a²/z), ψ = −S/2 (z + a²/z − a⁴/z³).
 */
export function kirschDisplacement(a: number, S: number, E: number, nu: number) {
  const kappa = (3 - nu) / (1 + nu);
  const twoG = E / (1 + nu);
  return (x: number, y: number): [number, number] => {
    const r = Math.hypot(x, y);
    const th = Math.atan2(y, x);
    // powers of z as r^n (cos nθ, sin nθ)
    const p = (n: number): [number, number] => [r ** n * Math.cos(n * th), r ** n * Math.sin(n * th)];
    const [ax, ay] = p(-1);
    const [bx, by] = p(-2);
    const [cx, cy] = p(-3);
    const phi = [(S / 4) * (x + 2 * a * a * ax), (S / 4) * (y + 2 * a * a * ay)];
    const slope = [(S / 4) * (1 - 2 * a * a * bx), (S / 4) * (-2 * a * a * by)];
    const psi = [(-S / 2) * (x + a * a * ax - a ** 4 * cx), (-S / 2) * (y + a * a * ay - a ** 4 * cy)];
    // z conj(slope)
    const zx = x * slope[0]! + y * slope[1]!;
    const zy = y * slope[0]! - x * slope[1]!;
    return [(kappa * phi[0]! - zx - psi[0]!) / twoG, (kappa * phi[1]! - zy + psi[1]!) / twoG];
  };
}
