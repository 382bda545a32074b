/**
 * The elastic field at the tip of a corner whose two surfaces are free: stress ∝ r^(λ − 1).
 *
 * M. L. Williams, J. Appl. Mech. 19 (1952) 526. Frame: origin at the corner, x along the bisector into the
 * material, which fills |θ| ≤ w/2; w is the material angle, π ≤ w ≤ 2π (2π: a crack; π: no corner).
 */

import { halve } from "../../numerics/index.ts";

export type CornerMode = "opening" | "sliding";

/**
 * Smallest exponent λ of the mode at a corner of material angle `w`, rad: opening, sin λw + λ sin w = 0; sliding,
 * sin λw − λ sin w = 0 (its root other than 1). Opening: ½ ≤ λ < 1. Sliding reaches above 1, where the mode is no
 * longer singular, for notch openings wider than 102.55°. Good to 1e-14.
 * @throws Error unless π ≤ w ≤ 2π.
 */
export function williamsExponent(w: number, mode: CornerMode = "opening"): number {
  // 2π may come out of degrees a rounding too large
  if (!(w >= Math.PI && w <= 2 * Math.PI * (1 + 1e-12)))
    throw new Error(`williamsExponent: a material angle of ${w} rad is not between π and 2π`);
  if (w === Math.PI) return mode === "opening" ? 1 : 2;
  const sinW = Math.sin(w);
  if (mode === "opening") {
    // positive at 0.4; at λw = 3π/2, or at 1, negative; one root between
    return crossing((l) => Math.sin(l * w) + l * sinW, 0.4, Math.min(1, (1.5 * Math.PI) / w));
  }
  // λ = 1 (a turn of the body) is divided out; the quotient rises from λw = 0.9π to 2π
  const quotient = (l: number) =>
    Math.abs(l - 1) < 1e-7 ? w * Math.cos(w) - sinW : (Math.sin(l * w) - l * sinW) / (l - 1);
  return crossing((l) => -quotient(l), (0.9 * Math.PI) / w, (2 * Math.PI) / w);
}

/** Root of a function positive at `low` and negative at `high`, to the last bit. */
function crossing(f: (x: number) => number, low: number, high: number): number {
  // numbers from 0.4 to 2 that enclose it are neighbours after 55 halvings
  const [above, below] = halve((x) => f(x) > 0, low, high, 60);
  return (above + below) / 2;
}

/** One power of the corner's expansion, with free surfaces. */
export interface CornerField {
  readonly mode: CornerMode;
  readonly materialAngle: number;
  readonly exponent: number;
  /** Writes [σ_rr, σ_θθ, σ_rθ] at r = 1; elsewhere times r^(exponent − 1). */
  stress(theta: number, out: Float64Array): void;
  /** Writes 2G [u_x, u_y] at r = 1 in the corner's frame; elsewhere times r^exponent. `kappa`: 3 − 4ν, or (3 − ν)/(1 + ν). */
  displacement(theta: number, kappa: number, out: Float64Array): void;
}

/**
 * The field of the given exponent λ, which must be a root of its mode's equation (then −λ is one too: the field that
 * extracts λ's intensity). Scaled so that σ_θθ (opening) or σ_rθ (sliding) is 1 at r = 1 on the bisector.
 *
 * Airy function r^(λ + 1) f(θ), f = cos (λ − 1)θ − k cos (λ + 1)θ (sliding: sin for cos), with f = f' = 0 at θ = ±w/2;
 * displacement from the complex potentials A z^λ and (λ + 1) B z^λ (Kolosov and Muskhelishvili).
 */
export function cornerField(w: number, exponent: number, mode: CornerMode): CornerField {
  const l = exponent;
  const half = w / 2;
  const minus = (l - 1) * half;
  const plus = (l + 1) * half;
  const sliding = mode === "sliding";
  // both conditions give k; where one is 0/0 the other is not
  const byValue = sliding ? [Math.sin(minus), Math.sin(plus)] : [Math.cos(minus), Math.cos(plus)];
  const bySlope = sliding
    ? [(l - 1) * Math.cos(minus), (l + 1) * Math.cos(plus)]
    : [(l - 1) * Math.sin(minus), (l + 1) * Math.sin(plus)];
  const [over, under] = Math.abs(byValue[1]) * Math.abs(l + 1) > Math.abs(bySlope[1]) ? byValue : bySlope;
  const k = over / under;
  const onBisector = sliding ? -l * (l - 1 - k * (l + 1)) : l * (l + 1) * (1 - k);
  const scale = 1 / onBisector;
  return {
    mode,
    materialAngle: w,
    exponent,
    stress(theta, out) {
      const a = (l - 1) * theta;
      const b = (l + 1) * theta;
      const ca = Math.cos(a);
      const cb = Math.cos(b);
      const sa = Math.sin(a);
      const sb = Math.sin(b);
      const f = sliding ? sa - k * sb : ca - k * cb;
      const f1 = sliding ? (l - 1) * ca - k * (l + 1) * cb : -(l - 1) * sa + k * (l + 1) * sb;
      const f2 = sliding
        ? -(l - 1) * (l - 1) * sa + k * (l + 1) * (l + 1) * sb
        : -(l - 1) * (l - 1) * ca + k * (l + 1) * (l + 1) * cb;
      out[0] = scale * (f2 + (l + 1) * f);
      out[1] = scale * l * (l + 1) * f;
      out[2] = -scale * l * f1;
    },
    displacement(theta, kappa, out) {
      const c = Math.cos(l * theta);
      const s = Math.sin(l * theta);
      const c2 = Math.cos((2 - l) * theta);
      const s2 = Math.sin((2 - l) * theta);
      const b = k * (l + 1);
      if (sliding) {
        out[0] = scale * ((kappa + b) * s + l * s2);
        out[1] = scale * ((b - kappa) * c - l * c2);
      } else {
        out[0] = scale * ((kappa + b) * c - l * c2);
        out[1] = scale * ((kappa - b) * s - l * s2);
      }
    },
  };
}
