import type { OverRun, OverRunEnd } from "./overRun.ts";

/**
 * What becomes of the ring over the whole band of friction. Where something gives first at low friction it does so at any; "at high μ"
 * the ring still lets go where friction is low.
 */
export type RingOutcome =
  | "lets go"
  | "lets go if root holds"
  | "depends on μ"
  | "pins first at high μ"
  | "root first at high μ"
  | "not at its torque"
  | "pins first"
  | "root first"
  | "self-holding";

/**
 * The verdict of friction, put right where something gives before the ring lets go, or over-running brings less torque than that takes:
 * a ring whose pins shear first is none that lets go. "If root holds" where nothing is known of the root that was asked for, or what is told of
 * it leaves something out that may come before.
 */
export function ringOutcome({
  verdict,
  slippery,
  sticky,
  clickOver,
  torque,
  root,
  rootMissed,
}: Pick<
  OverRun,
  "verdict" | "slippery" | "sticky" | "clickOver" | "torque" | "root" | "rootMissed"
>): RingOutcome {
  if (verdict === "self-holding") return verdict;
  const frees = ({ first }: OverRunEnd) => first?.what === "ring lets go";
  const before = ({ first }: OverRunEnd) => (first!.what === "pins shear" ? "pins" : "root");
  if (!frees(slippery)) return `${before(slippery)} first`;
  if (clickOver.low! > torque) return "not at its torque";
  if (verdict === "depends on friction" || clickOver.high! > torque) return "depends on μ";
  if (!frees(sticky)) return `${before(sticky)} first at high μ`;
  // a shaft is vouched for in twist up to some torque
  const { allowedTwist = 0 } = root ?? {};
  const first = root?.uncounted?.some((one) => one !== "twist" || allowedTwist < clickOver.high!);
  return rootMissed || first ? "lets go if root holds" : verdict;
}
