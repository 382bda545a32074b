import type { VariantResult } from "../answer/result.ts";
import { formatStress, significant } from "../design/index.ts";

/** "root 812 MPa ± 0.8 %"; a sharp root has no peak, so its average is told instead. */
export function rootLine({ root, design: { units } }: VariantResult): string {
  const error = `± ${significant(100 * root.errorEstimate, 2)} %`;
  return root.peakPrincipal
    ? `root ${formatStress(root.peakPrincipal.stress, units)} ${error}`
    : `sharp root, average ${formatStress(root.average.principal, units)} ${error}`;
}
