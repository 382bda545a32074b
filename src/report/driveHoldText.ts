import type { Design } from "../design/index.ts";
import { type Capacity, driveHold, partsInDrive } from "../strength/index.ts";
import { marginVerdict, UNKNOWN } from "./marginVerdict.ts";
import { frictionText } from "./overRunText.ts";
import { angleText, forceText, torqueText } from "./units.ts";

/** What must be said of drive flanks that push the teeth apart; empty where friction or springs hold them. */
export function driveHoldNotes(design: Design): string[] {
  const hold = driveHold(design);
  if (!hold || !partsInDrive(hold)) return [];
  const { units } = design;
  const { angle, friction, torque, wanted, thrust, springForce, partsAt } = hold;
  const [low, high] = friction.map(frictionText);
  const leaning = `The drive flanks lean ${angleText(angle)} and push the teeth apart in drive`;
  if (springForce === null) {
    const held =
      thrust[1] > 0 ? `${forceText(thrust[1], units)} at μ ${high}` : `held by friction at μ ${high}`;
    return [
      `${leaning}: with ${forceText(thrust[0], units)} at μ ${low} under ${torqueText(torque, units)}, ${held}. ` +
        "Nothing in the part file says what holds them in",
    ];
  }
  const sticky = partsAt[1] === null ? "never" : torqueText(partsAt[1], units);
  const asked = `${torqueText(torque, units)} is to be stood${wanted > torque ? `, ${torqueText(wanted, units)} with its margin` : ""}`;
  return [
    `${leaning}: against springs of ${forceText(springForce, units)} they part at ${torqueText(partsAt[0]!, units)} at μ ${low} ` +
      `(μ ${high}: ${sticky}), and ${asked}`,
  ];
}

/**
 * The verdict on driving: that of the margin, unless the root's fracture and fatigue are not counted, or the teeth part against the
 * springs before the torque with its margin is reached, at the low end of friction or at both. Where no springs are told nothing is known of
 * that, and the notes say so.
 */
export function driveVerdict(capacity: Pick<Capacity, "margin" | "vouched">, design: Design): string {
  const margin = marginVerdict(capacity.margin, design);
  const verdict = margin === "no" || capacity.vouched ? margin : UNKNOWN;
  const hold = driveHold(design);
  if (!hold || hold.springForce === null || !partsInDrive(hold)) return verdict;
  const sticky = hold.partsAt[1];
  if (sticky !== null && sticky < hold.torque) return "no, it parts";
  return verdict === "yes" ? "not sure" : verdict;
}
