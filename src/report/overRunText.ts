import { type Design, formatTorque, type UnitChoice } from "../design/index.ts";
import { type Giving, type OverRun, type OverRunEnd, ringOutcome } from "../strength/index.ts";
import { torqueBandText } from "./capacityText.ts";
import { lengthText } from "./units.ts";

/** "0.08", "0.195": a friction, at least two places. */
export const frictionText = (mu: number): string =>
  mu.toFixed(Math.min(3, Math.max(2, (/\.(\d*?)0*$/.exec(mu.toFixed(3))?.[1] ?? "").length)));

/** "never" where no torque lifts the ring. */
export const clickText = (torque: number | null, units: UnitChoice): string =>
  torque === null ? "never" : formatTorque(torque, units);

/** "pins shear", "root, fatigue". */
export const givingName = ({ what }: Giving, { root }: Pick<OverRun, "root">): string =>
  what === "root breaks" && root ? `root, ${root.mode}` : what;

/** "pins shear at 327 N·m (241 lbf·ft)". */
function givingText(giving: Giving, units: UnitChoice): string {
  return `${giving.what} at ${torqueBandText(giving.torque, units)}`;
}

/** What gives first at one end of the friction, and what would come next. */
function endText(end: OverRunEnd, units: UnitChoice, withNext: boolean): string {
  if (!end.first) return "holds, and nothing is known that gives";
  const next = withNext && end.next ? `, then ${givingText(end.next, units)}` : "";
  return givingText(end.first, units) + next;
}

/** "self-holding: pins shear at 327 N·m (241 lbf·ft)": the whole band in one line. */
export function overRunText(overRun: OverRun, units: UnitChoice, withNext = false): string {
  const { slippery, sticky, friction } = overRun;
  const outcome = ringOutcome(overRun);
  const frees = slippery.first?.what === "ring lets go" && sticky.first?.what === "ring lets go";
  if (frees) {
    const band = { low: slippery.first.torque.low, high: sticky.first.torque.high };
    const at = `lets go at ${torqueBandText(band, units)}`;
    return outcome === "lets go" ? at : `${outcome}: ring ${at}`;
  }
  const [easy, hard] = [endText(slippery, units, withNext), endText(sticky, units, withNext)];
  if (easy === hard) return `${outcome}: ${hard}`;
  return `${outcome}: ${easy} (μ ${frictionText(friction.low)}), ${hard} (μ ${frictionText(friction.high)})`;
}

/** "lets go at 12.7 N·m (μ 0.08), pins shear at 327 N·m (μ 0.20)": in the user's first unit, where room is short. */
export function shortOverRunText(overRun: OverRun, units: UnitChoice): string {
  const text = overRunText(overRun, units === "inch" ? "inch" : "metric");
  return text.replace("depends on μ: ring ", "");
}

/** "3 × Ø4 mm on R22 mm"; empty without pins. */
export function pinsText({ pins, units }: Design): string {
  if (!pins) return "";
  const shear = pins.planes === 1 ? "" : ", double shear";
  return `${pins.count} × Ø${lengthText(pins.diameter, units)} on R${lengthText(pins.radius, units)}${shear}`;
}
