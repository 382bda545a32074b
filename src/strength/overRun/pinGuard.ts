import { type Design, largestPin } from "../../design/index.ts";
import type { OverRun } from "./overRun.ts";

/** Pins as a fuse in over-running: whether they part before the root can break, and which would. */
export interface PinGuard {
  /** "yes": even the strongest of them part before the root at its weakest; "no": even the weakest outlast it at its strongest. */
  readonly guards: "yes" | "not sure" | "no";
  /** Of as many pins on the same circle, mm: the thinnest that stand what comes on them, with the margin wanted, at their weakest, */
  readonly stands: number;
  /** the thickest that at their strongest still part before the root at its weakest, */
  readonly parts: number;
  /** and the thickest that fit. */
  readonly fits: number;
}

/** Share of the largest pins that fit at all: holes that all but meet, or reach the edge, hold none. */
const ROOM = 0.9;

/** Null without pins, or where the root is not known or not vouched for. */
export function pinGuard(
  { pins, root, verdict, clickOver, torque }: OverRun,
  { pins: choice, profile, strength, overRun }: Design,
): PinGuard | null {
  if (!pins || !choice || !root?.vouched) return null;
  const { diameter } = choice;
  const { margin: wanted = 1 } = strength ?? {};
  // a ring that lets go loads its pins no further than that takes
  const comes = verdict === "lets go" ? Math.min(torque, clickOver.high!) : torque;
  // the torque of pins grows with the square of their diameter
  const at = (needed: number, stands: number) => diameter * Math.sqrt(needed / stands);
  return {
    guards: pins.high <= root.torque.low ? "yes" : pins.low > root.torque.high ? "no" : "not sure",
    stands: at(wanted * comes, pins.low),
    parts: at(root.torque.low, pins.high),
    fits: ROOM * largestPin(choice, profile, overRun?.meanRadius ?? Number.NaN),
  };
}
