import { fromPolar, type StressField } from "../model.ts";

/**
 * Symmetric stress near a sharp corner at the origin, material |θ| ≤ w/2 about +x, flanks free, scaled to σθ(1, 0) = 1: Williams,
 * J. Appl. Mech. 19, 526, 1952. `lambda` must satisfy sin(λ w) + λ sin w = 0.
 */
export function williamsField(w: number, lambda: number): StressField {
  const k = Math.cos(((lambda - 1) * w) / 2) / Math.cos(((lambda + 1) * w) / 2);
  const A = 1 / (lambda * (lambda + 1) * (1 - k));
  return (x, y, out) => {
    const r = Math.hypot(x, y);
    const th = Math.atan2(y, x);
    const near = lambda - 1;
    const far = lambda + 1;
    const f = Math.cos(near * th) - k * Math.cos(far * th);
    const f1 = -near * Math.sin(near * th) + k * far * Math.sin(far * th);
    const f2 = -near * near * Math.cos(near * th) + k * far * far * Math.cos(far * th);
    const p = A * r ** (lambda - 1);
    fromPolar(p * (f2 + far * f), p * lambda * far * f, -p * lambda * f1, x, y, out);
  };
}
