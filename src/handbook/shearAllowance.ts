import type { VariantResult } from "../answer/index.ts";
import { type Design, formatStress, significant } from "../design/index.ts";
import { allowableShear, fatigueLifeFactor, inRow } from "../strength/modes/splineAllowables.ts";

/**
 * What Dudley's table allows the spline's steel in shear of the teeth, in a sentence, what that leaves out, and whether a shaft's torsion
 * is within it. Null for face teeth and where no steel is named.
 * @param shear Dudley's tooth shear for good alignment, MPa. @param torsion shear of the shaft at the roots, MPa; null where there is none.
 */
export function shearAllowance(
  design: Design,
  root: VariantResult["root"],
  shear: number,
  torsion: number | null,
): string | null {
  const { profile, steel, strength, units } = design;
  if (profile.kind === "face tooth" || !steel) return null;
  const allowed = allowableShear(steel.hardnessLow, steel.core !== undefined);
  const inside = inRow(steel.hardnessLow, allowed) && inRow(steel.hardnessHigh, allowed);
  const row = inside ? `for ${allowed.steel}` : `for ${allowed.steel}, the hardest row that speaks for it`;
  const peak = root.peakPrincipal;
  const corner = peak
    ? `; the computed peak there is ${significant(peak.stress / shear)} times the shear of Km 1`
    : ", which here is sharp";
  // without a strength section nobody said how often: the factor is 1 at 10,000
  const { shocks, torqueRatio } = strength ?? { shocks: 1e4, torqueRatio: 0 };
  const life = fatigueLifeFactor(shocks, torqueRatio < 0);
  const often = strength
    ? `at ${shocks} ${shocks === 1 ? "shock" : "shocks"}${torqueRatio < 0 ? " either way" : ""} (life factor ${significant(life, 2)})`
    : "at 10,000 cycles";
  const allowance = allowed.shear * life;
  const shaft =
    torsion === null
      ? ""
      : ` The shaft's torsion may be as much: its ${formatStress(torsion, units)} is ${torsion > allowance ? "over" : "within"} that.`;
  return (
    `Tooth shear: Dudley allows ${formatStress(allowance, units)} ${row}, ${often} and with shock already in the torque ` +
    `(part: ${steel.grade}, ${steel.hardnessText}). Shear at the pitch line says nothing of the root corner${corner}.${shaft}`
  );
}
