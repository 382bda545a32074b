import type { Band } from "./band.ts";
import type { ToothFigures } from "./rootField.ts";

export const PLASTIC_FORMULA =
  "W h / (b t² Sy/4) + (W / (b t Sy/√3))^n = 1, T = W r; n = 2 and plane stress to n = 4 and plane strain (1.155 Sy in bending)";
export const PLASTIC_SOURCE =
  "rectangular section in bending and shear: n = 4 after D. C. Drucker, J. Appl. Mech. 23 (1956), n = 2 the safe bound (both from memory)";

/**
 * Force across a tooth, N, that makes its root section fully plastic at yield strength Sy, MPa; `n` is the shear's exponent, and
 * `hindered` what plane strain makes of Sy in bending. Shear yields at Sy/√3 in either state.
 */
export function plasticForce(
  { faceWidth, rootThickness, arm }: Pick<ToothFigures, "faceWidth" | "rootThickness" | "arm">,
  yieldStrength: number,
  n: number,
  hindered = 1,
): number {
  const shear = (faceWidth * rootThickness * yieldStrength) / Math.sqrt(3);
  const bending = (faceWidth * rootThickness ** 2 * hindered * yieldStrength) / 4;
  let low = 0;
  let high = shear;
  for (let k = 0; k < 80; k++) {
    const w = (low + high) / 2;
    if ((w * arm) / bending + (w / shear) ** n < 1) low = w;
    else high = w;
  }
  return (low + high) / 2;
}

/** Torque of the whole part at which its most loaded tooth's root section is fully plastic, N·mm. */
export function plasticTorque(tooth: ToothFigures, yieldStrength: Band): Band {
  return {
    low: plasticForce(tooth, yieldStrength.low, 2) / tooth.forcePerTorque,
    high: plasticForce(tooth, yieldStrength.high, 4, 2 / Math.sqrt(3)) / tooth.forcePerTorque,
  };
}

/**
 * Torque at which a root breaks when linear fracture alone would say `fracture` and the plastic limit alone `plastic`: strip
 * yield, T = Tp (2/π) acos exp(−π²/8 (Tk/Tp)²). It is Tk where that is small, Tp where that is large, and below both.
 * After A. R. Dowling and C. H. A. Townley, Int. J. Press. Vess. Pip. 3 (1975); from memory.
 */
export function twoCriteria(fracture: number, plastic: number): number {
  if (!(fracture > 0 && plastic > 0)) throw new Error(`twoCriteria: ${fracture} and ${plastic} N·mm`);
  const ratio = fracture / plastic;
  // acos(1 − x) loses digits for small x: there the sine of the half angle is √(x/2)
  const gone = -Math.expm1((-Math.PI * Math.PI * ratio * ratio) / 8);
  return (plastic * 4 * Math.asin(Math.sqrt(gone / 2))) / Math.PI;
}

/** Where linear fracture stands against the plastic limit. */
export type FractureRegime = "linear fracture" | "between fracture and plastic limit" | "plastic limit";

/** Below half the limit plasticity takes off at most 6 %; above 1.7 times it fracture takes off at most 2 %. */
export function fractureRegime(fracture: number, plastic: number): FractureRegime {
  const ratio = fracture / plastic;
  if (ratio < 0.5) return "linear fracture";
  return ratio < 1.7 ? "between fracture and plastic limit" : "plastic limit";
}
