import type { VariantResult } from "../answer/index.ts";
import { type Design, formatStress, significant } from "../design/index.ts";
import { allowableShear, inRow } from "../strength/splineAllowables.ts";

/**
 * What Dudley's table allows the spline's steel in tooth shear, in a sentence, and what the shear leaves out. Null for face teeth
 * and where no steel is named. @param shear Dudley's tooth shear for good alignment, MPa.
 */
export function shearAllowance(design: Design, root: VariantResult["root"], shear: number): string | null {
  const { profile, steel, units } = design;
  if (profile.kind === "face tooth" || !steel) return null;
  const allowed = allowableShear(steel.hardnessLow, steel.core !== undefined);
  const inside = inRow(steel.hardnessLow, allowed) && inRow(steel.hardnessHigh, allowed);
  const row = inside ? `for ${allowed.steel}` : `for ${allowed.steel}, the hardest row that speaks for it`;
  const peak = root.peakPrincipal;
  const corner = peak
    ? `; the computed peak there is ${significant(peak.stress / shear)} times the shear of Km 1`
    : ", which here is sharp";
  return (
    `Tooth shear: Dudley allows ${formatStress(allowed.shear, units)} ${row}, at 10,000 cycles and with shock already in the torque ` +
    `(part: ${steel.grade}, ${steel.hardnessText}). Shear at the pitch line says nothing of the root corner${corner}.`
  );
}
