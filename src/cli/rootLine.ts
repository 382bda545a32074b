import type { VariantResult } from "../answer/result.ts";
import { formatStress } from "../design/index.ts";
import { errorText } from "../report/describe.ts";

/** "root 812 MPa, mesh error ±0.8 %"; a sharp root has no peak, so its average is told instead. */
export function rootLine(result: VariantResult): string {
  const { root, design } = result;
  const { units } = design;
  const error = `mesh error ${errorText(result)}`;
  return root.peakPrincipal
    ? `root ${formatStress(root.peakPrincipal.stress, units)}, ${error}`
    : `sharp root, average ${formatStress(root.average.opening, units)}, ${error}`;
}
