import { type Design, formatForce, formatTorque } from "../design/index.ts";
import {
  type Capacity,
  clicksOverBack,
  type DriveHold,
  driveHold,
  type Holding,
  heldByDrag,
  holding,
} from "../strength/index.ts";
import { marginVerdict, UNKNOWN } from "./marginVerdict.ts";
import { frictionText } from "./overRunText.ts";
import { angleText } from "./units.ts";

/** What must be said of flanks that push the teeth apart, in drive and when the torque turns round; empty where friction or springs hold them. */
export function driveHoldNotes(design: Design): string[] {
  return [...partingNotes(design), ...backNotes(design)];
}

/** Shocks that come back harder than the ring holds are none that it stands: it lets go. */
function backNotes(design: Design): string[] {
  const found = clicksOverBack(design);
  if (!found) return [];
  const [at, back] = [found.at, found.back].map((torque) => formatTorque(torque, design.units));
  return [
    `The ring lifts off its ramps from ${at} on at μ ${frictionText(design.overRun!.friction[0])}, and the torque turned round brings ${back}: it clicks over before`,
  ];
}

function partingNotes(design: Design): string[] {
  const hold = driveHold(design);
  if (!hold || (holding(hold) === "together" && !heldByDrag(hold))) return [];
  const { units } = design;
  const { flank, angle, friction, torque, wanted, thrust, springForce, partsAt } = hold;
  const [low, high] = friction.map(frictionText);
  const { profile } = design;
  const turned = !design.overRun && profile.kind === "face tooth" && flank !== profile.loadedFlank;
  const when = turned ? "when the torque turns round" : "in drive";
  const leaning = `The ${flank} flanks lean ${angleText(angle)} and push the teeth apart ${when}`;
  if (springForce === null) {
    const held =
      thrust[1] > 0 ? `${formatForce(thrust[1], units)} at μ ${high}` : `held by friction at μ ${high}`;
    return [
      `${leaning}: with ${formatForce(thrust[0], units)} at μ ${low} under ${formatTorque(torque, units)}, ${held}. ` +
        "Nothing in the part file says what holds them in",
    ];
  }
  if (heldByDrag(hold)) {
    const springs = springForce > 0 ? `, springs hold ${formatForce(springForce, units)}` : "";
    return [
      `${leaning}: with ${formatForce(thrust[0], units)} at μ ${low} under ${formatTorque(torque, units)}${springs}. What keeps them together is ` +
        `the drag of the sliding spline alone: without it they part at ${formatTorque(hold.partsFreeAt!, units)}`,
    ];
  }
  const sticky = partsAt[1] === null ? "never" : formatTorque(partsAt[1], units);
  const asked = `must hold ${formatTorque(torque, units)}${wanted > torque ? `, ${formatTorque(wanted, units)} with its margin` : ""}`;
  return [
    `${leaning}: against springs of ${formatForce(springForce, units)} they part at ${formatTorque(partsAt[0]!, units)} at μ ${low} ` +
      `(μ ${high}: ${sticky}), and ${asked}`,
  ];
}

/** Whether the teeth stay together in drive: always, for splines. */
export function driveHolding(design: Design): Holding {
  const hold = driveHold(design);
  return hold ? holding(hold) : "together";
}

/** True where the teeth part in drive before the torque wanted, at one end of the friction or both: nothing that the root stands is enough then. */
export function partsInDrive(design: Design): boolean {
  const holds = driveHolding(design);
  return holds !== "together" && holds !== "not told";
}

/** What a torque that the root stands is worth where the teeth part before it, in few words: for places where a note has no room. */
export function partingText(design: Design): string {
  const hold = driveHold(design);
  switch (driveHolding(design)) {
    case "together":
      return "";
    case "not told":
      return "if held together";
    default:
      return `teeth part at ${formatTorque(hold!.partsAt[0]!, design.units)}`;
  }
}

/** What goes before an answer about root and flank where the teeth do not stay together for certain, whatever is answered; else empty. */
export function partingFirst(design: Design): string {
  const hold = driveHold(design);
  const alone = "For root and flank alone: ";
  switch (driveHolding(design)) {
    case "together":
      return "";
    case "not told":
      return `Nothing told holds the teeth together. ${alone}`;
    default:
      return (
        `The teeth part in drive at ${formatTorque(hold!.partsAt[0]!, design.units)} at μ ${frictionText(hold!.friction[0])}, before the ` +
        `${formatTorque(hold!.wanted, design.units)} wanted, whatever root and steel. ${alone}`
      );
  }
}

/** What keeps face teeth together as plain data, null for splines: that and `holds`, whether it does. */
export function driveHoldRecord(design: Design): (DriveHold & { readonly holds: Holding }) | null {
  const hold = driveHold(design);
  return hold && { ...hold, holds: holding(hold) };
}

/**
 * The verdict on driving: that of the margin, unless something that may come first is not counted, or the teeth part against the
 * springs before the torque with its margin is reached, at the low end of friction or at both. Where no springs are told it rests on
 * something else holding them in.
 */
export function driveVerdict(capacity: Pick<Capacity, "margin" | "vouched">, design: Design): string {
  const margin = marginVerdict(capacity.margin, design);
  const verdict = margin === "no" || capacity.vouched ? margin : UNKNOWN;
  switch (driveHolding(design)) {
    case "together":
      return verdict;
    case "parts":
      return "no, it parts";
    case "at high friction":
      return verdict === "yes" ? "not sure" : verdict;
    case "not told":
      return verdict === "yes" ? "yes, if held" : verdict;
  }
}
