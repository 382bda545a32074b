import type { VariantResult } from "../answer/result.ts";
import { shareText } from "./units.ts";

/** Stress that is held against yield, MPa: the highest von Mises stress of any root, or the averaged one where the root read is sharp. */
export function judgedStress({ root }: Pick<VariantResult, "root">): number {
  return (root.highestVonMises ?? root.peakVonMises)?.stress ?? root.average.opening;
}

/**
 * "81 %", "199 % core" of a case-hardened steel, whose strength is the core's; null without a steel. Where any root is sharp there is no
 * share: an average beside the peaks of rounded roots would look like strength.
 */
export function yieldShareText(result: Pick<VariantResult, "design" | "root" | "steel">): string | null {
  const { design, root, steel } = result;
  if (!steel) return null;
  if (root.sharp || root.highestVonMises === null) return "tip yields";
  return shareText(judgedStress(result) / steel.yieldLow) + (design.steel?.core ? " core" : "");
}

/** True where a root that is pushed has a higher von Mises stress than the pulled one that is read, by that factor. */
const pushedBy =
  (factor: number) =>
  ({ root }: Pick<VariantResult, "root">): boolean => {
    const [read, highest] = [root.peakVonMises, root.highestVonMises];
    return read !== null && highest !== null && highest.stress > factor * read.stress;
  };

/** Beyond what the meshes of two like roots differ by. */
export const pushedHigher = pushedBy(1.01);
/** So much that what the pulled root sees says little of the part. */
export const pushedFarHigher = pushedBy(2);

const PUSHED_HIGHER =
  "The root that is pushed has a higher von Mises stress than the pulled one: yielding begins there";
const PUSHED_JUDGED = ", and the share of yield is its. Fracture and fatigue are those of the pulled root";
const PUSHED_COUNTED =
  ", and the share of yield is its. Fracture is that of the pulled root; in fatigue the torque that reverses pulls the pushed one, and its push counts";
const OTHER_SHARP =
  "Another root than the one whose peak is told is sharp: it yields at its tip under any torque, and no share of yield is told";
const BORE_HIGHER =
  "The stress at the bore is that of the model's reaction, put there in place of the shaft that carries the torque on " +
  "along its length, and not to be judged by";
const TWIST_JUDGED = ". The shaft's own twist is judged by hand formula";

/** True where the reaction at an external spline's bore brings more stress than any root has. */
export function boreHigher(result: Pick<VariantResult, "design" | "root" | "zones">): boolean {
  const bore = result.zones.find(({ zone }) => zone === "rim");
  return (
    result.design.profile.kind === "external spline" &&
    bore !== undefined &&
    bore.vonMises.stress > judgedStress(result)
  );
}

/** What must be said of stresses that are higher than the root's own. */
export function elsewhereNotes(result: Pick<VariantResult, "design" | "root" | "steel" | "zones">): string[] {
  const judged = result.steel !== null;
  const otherSharp = !result.root.sharp && result.root.highestVonMises === null;
  const reverses = (result.design.strength?.torqueRatio ?? 0) < 0;
  return [
    ...(otherSharp ? [OTHER_SHARP] : []),
    ...(pushedHigher(result)
      ? [PUSHED_HIGHER + (judged ? (reverses ? PUSHED_COUNTED : PUSHED_JUDGED) : "")]
      : []),
    ...(boreHigher(result) ? [BORE_HIGHER + (judged ? TWIST_JUDGED : "")] : []),
  ];
}
