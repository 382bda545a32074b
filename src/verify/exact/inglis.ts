import type { StressField } from "../model.ts";

type Complex = readonly [number, number];
const add = (a: Complex, b: Complex): Complex => [a[0] + b[0], a[1] + b[1]];
const sub = (a: Complex, b: Complex): Complex => [a[0] - b[0], a[1] - b[1]];
const mul = (a: Complex, b: Complex): Complex => [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]];
const div = (a: Complex, b: Complex): Complex => {
  const d = b[0] * b[0] + b[1] * b[1];
  return [(a[0] * b[0] + a[1] * b[1]) / d, (a[1] * b[0] - a[0] * b[1]) / d];
};
const times = (k: number, a: Complex): Complex => [k * a[0], k * a[1]];
const real = (k: number): Complex => [k, 0];
const root = (a: Complex): Complex => {
  const r = Math.sqrt(Math.hypot(a[0], a[1]));
  const th = Math.atan2(a[1], a[0]) / 2;
  return [r * Math.cos(th), r * Math.sin(th)];
};

/**
 * Wide plate with an elliptical hole (semi-axes a along x, b ≤ a along y), remote tension S along y: Inglis 1913, in the
 * potentials of Muskhelishvili 1953, § 82a. With z = w(Z) = c (Z + m/Z), φ = S c/4 (Z − (2 + m)/Z) and ψ from the free rim.
 */
export function inglis(a: number, b: number, S: number): StressField {
  const c = (a + b) / 2;
  const m = (a - b) / (a + b);
  const k = (S * c) / 4;
  return (x, y, out) => {
    const z: Complex = [x, y];
    // Z = (z + √(z − f) √(z + f)) / 2c, f the focus: the branch outside the unit circle
    const f = 2 * c * Math.sqrt(m);
    const Z = times(1 / (2 * c), add(z, mul(root([x - f, y]), root([x + f, y]))));
    const Z2 = mul(Z, Z);
    const Z3 = mul(Z2, Z);
    const w1 = sub(real(c), times(c * m, div(real(1), Z2)));
    const w2 = times(2 * c * m, div(real(1), Z3));
    const phi1 = add(real(k), times(k * (2 + m), div(real(1), Z2)));
    const phi2 = times(-2 * k * (2 + m), div(real(1), Z3));
    // g = (1/Z + m Z) / (1 − m/Z²) = (Z + m Z³)/(Z² − m) and its slope
    const den = sub(Z2, real(m));
    const num = add(Z, times(m, Z3));
    const g = div(num, den);
    const g1 = div(sub(mul(add(real(1), times(3 * m, Z2)), den), mul(num, times(2, Z))), mul(den, den));
    // ψ' = −d/dZ conj φ(1/Z) − (g φ')'
    const psi1 = sub(add(times(k, div(real(1), Z2)), real(k * (2 + m))), add(mul(g1, phi1), mul(g, phi2)));
    const Phi = div(phi1, w1);
    const Phi1 = div(sub(mul(phi2, w1), mul(phi1, w2)), mul(w1, mul(w1, w1)));
    const Psi = div(psi1, w1);
    const d = add(mul([x, -y], Phi1), Psi);
    out[0] = 2 * Phi[0] - d[0];
    out[1] = 2 * Phi[0] + d[0];
    out[2] = d[1];
  };
}
