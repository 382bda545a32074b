import { type Band, leastBand } from "../arithmetic/band.ts";
import type { ToothFigures } from "./rootField.ts";
import type { ToothSection } from "./toothSections.ts";

export const PLASTIC_FORMULA =
  "W h / (b t² Sy/4) + (N / (b t Sy))² + (W / (b t Sy/√3))^n = 1, T = W r, of the weakest section between root and contact, W what is pressed on above it, " +
  "N its pull towards the tip where it has one, whose moment h then holds too; " +
  "n = 2 and plane stress to n = 4 and plane strain (1.155 Sy in bending)";
export const PLASTIC_SOURCE =
  "rectangular section in bending and shear: n = 4 after D. C. Drucker, J. Appl. Mech. 23 (1956), n = 2 the safe bound (both from memory)";

/**
 * Force across a tooth, N, that makes a section fully plastic at yield strength Sy, MPa; `n` is the shear's exponent, and
 * `hindered` what plane strain makes of Sy in bending. Shear yields at Sy/√3 in either state.
 */
export function plasticForce(
  faceWidth: number,
  { thickness, arm, pull }: Pick<ToothSection, "thickness" | "arm" | "pull">,
  yieldStrength: number,
  n: number,
  hindered = 1,
): number {
  const shear = (faceWidth * thickness * yieldStrength) / Math.sqrt(3);
  const bending = (faceWidth * thickness ** 2 * hindered * yieldStrength) / 4;
  const stretch = pull / (faceWidth * thickness * yieldStrength);
  // Newton's steps on a convex function come down from a force that bending or shear alone would not bear
  let w = arm > 0 ? Math.min(shear, bending / arm) : shear;
  for (let k = 0; k < 50; k++) {
    const off = (w * arm) / bending + (w * stretch) ** 2 + (w / shear) ** n - 1;
    const step = off / (arm / bending + 2 * w * stretch ** 2 + (n / shear) * (w / shear) ** (n - 1));
    w -= step;
    if (!(step > 1e-16 * w)) break;
  }
  return w;
}

/** What the plastic limit reads of a tooth. */
export type PlasticFigures = Pick<ToothFigures, "faceWidth" | "sections" | "forcePerTorque">;

/** Torque of the whole part at which a section of its most loaded tooth is fully plastic, N·mm. */
function sectionTorque(tooth: PlasticFigures, section: ToothSection, yieldStrength: Band): Band {
  const perTorque = tooth.forcePerTorque * section.share;
  return {
    low: plasticForce(tooth.faceWidth, section, yieldStrength.low, 2) / perTorque,
    high: plasticForce(tooth.faceWidth, section, yieldStrength.high, 4, 2 / Math.sqrt(3)) / perTorque,
  };
}

/**
 * The section of the most loaded tooth that is fully plastic first, and the torque of the whole part at which it is, N·mm. `gone` mm of
 * the root's own thickness do not count: a crack.
 */
export function plasticTooth(
  tooth: PlasticFigures,
  yieldStrength: Band,
  gone = 0,
): { readonly torque: Band; readonly section: ToothSection } {
  const [root, ...others] = tooth.sections as [ToothSection, ...ToothSection[]];
  let section: ToothSection = { ...root, thickness: root.thickness - gone };
  let torque = sectionTorque(tooth, section, yieldStrength);
  for (const other of others) {
    const found = sectionTorque(tooth, other, yieldStrength);
    if (found.low < torque.low) section = other;
    torque = leastBand(torque, found);
  }
  return { torque, section };
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
