import { ROOT_FINISHES } from "../../design/index.ts";
import { type Band, envelope } from "../arithmetic/band.ts";

/**
 * Textbook rules of notch and surface in fatigue. Stress MPa, radius mm. Each is refused (null) outside the range it
 * is stated for.
 */

const KSI = 6.894757;
const ROOT_INCH = Math.sqrt(25.4);

export const NOTCH_SENSITIVITY_SOURCE =
  "notch sensitivity: Neuber's constant as fitted in Shigley (public course codes) and Peterson's a = 0.0254 (2070/S)^1.8 (from memory); good to 15 %";

/** √a of Neuber, √mm, for tensile strength S MPa, 340 to 1700, in bending: Shigley's inch fit. */
export function neuberRoot(tensile: number): number | null {
  if (!(tensile >= 340 && tensile <= 1700)) return null;
  const s = tensile / KSI;
  const inch = 0.246 - 3.08e-3 * s + 1.51e-5 * s * s - 2.67e-8 * s ** 3;
  return Math.max(0, inch) * ROOT_INCH;
}

/** q = 1 / (1 + √a/√r), Neuber. */
export function neuberSensitivity(tensile: number, radius: number): number | null {
  const root = neuberRoot(tensile);
  return root === null || !(radius > 0) ? null : 1 / (1 + root / Math.sqrt(radius));
}

/** q = 1 / (1 + a/r), a = 0.0254 (2070/S)^1.8 mm: Peterson, from memory. */
export function petersonSensitivity(tensile: number, radius: number): number | null {
  if (!(tensile >= 340 && tensile <= 1700) || !(radius > 0)) return null;
  return 1 / (1 + (0.0254 * (2070 / tensile) ** 1.8) / radius);
}

/**
 * Kf = 1 + q (Kt − 1) over both rules and both ends of the tensile band. Null for a radius under 0.1 mm or a tensile strength outside
 * 340 to 1700 MPa, where q is not stated.
 */
export function fatigueNotchFactor(kt: number, tensile: Band, radius: number): Band | null {
  if (!(radius >= 0.1 - 1e-9)) return null;
  const found: Band[] = [];
  for (const s of [tensile.low, tensile.high]) {
    for (const q of [neuberSensitivity(s, radius), petersonSensitivity(s, radius)]) {
      if (q === null) return null;
      const kf = 1 + q * (kt - 1);
      found.push({ low: kf, high: kf });
    }
  }
  return envelope(found);
}

export const FINISHES = ROOT_FINISHES;
export type Finish = (typeof FINISHES)[number];

/** ka = a S^b, S MPa: two editions' sets. */
const SURFACE: Readonly<Record<Exclude<Finish, "polished">, readonly (readonly [number, number])[]>> = {
  ground: [
    [1.58, -0.085],
    [1.38, -0.067],
  ],
  machined: [
    [4.51, -0.265],
    [3.04, -0.217],
  ],
  "hot rolled": [
    [57.7, -0.718],
    [38.6, -0.65],
  ],
  "as forged": [
    [272, -0.995],
    [54.9, -0.758],
  ],
};

export const SURFACE_SOURCE =
  "surface factor: Shigley, the sets of editions 8 to 10 and 11 (ground and machined seen in public course codes, the others from memory)";

/** Surface factor of one edition's set (0: editions 8–10, 1: edition 11) at tensile strength S, MPa. At most 1. */
export function surfaceFactor(finish: Finish, tensile: number, set: 0 | 1): number {
  if (finish === "polished") return 1;
  const [a, b] = SURFACE[finish][set];
  return Math.min(1, a * tensile ** b);
}

/** Both editions' factors over a tensile band; `beyond` when it reaches outside 400 to 1600 MPa, where the rule is not stated. */
export function surfaceFactors(finish: Finish, tensile: Band): Band & { readonly beyond: boolean } {
  const all = ([0, 1] as const).flatMap((set) => {
    const one = [surfaceFactor(finish, tensile.low, set), surfaceFactor(finish, tensile.high, set)];
    return one.map((value) => ({ low: value, high: value }));
  });
  const beyond = finish !== "polished" && (tensile.low < 400 || tensile.high > 1600);
  return { ...envelope(all)!, beyond };
}

/**
 * Fatigue limit at stress ratio R over that at R = −1: ((1 − R)/2)^(0.226 + HV 10⁻⁴) (Y. Murakami and M. Endo, Int. J. Fatigue 16,
 * 1994).
 */
export function meanStressShare(hv: number, R: number): number {
  return ((1 - R) / 2) ** (0.226 + hv * 1e-4);
}

/** Amplitude that goes with a fully reversed amplitude at stress ratio R by Goodman's line through the tensile strength. */
export function goodmanAmplitude(reversed: number, tensile: number, R: number): number {
  const meanOverAmplitude = (1 + R) / (1 - R);
  return R <= -1 ? reversed : reversed / (1 + (reversed / tensile) * meanOverAmplitude);
}
