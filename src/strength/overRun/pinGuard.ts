import { type Design, largestPin } from "../../design/index.ts";
import type { OverRun } from "./overRun.ts";

/** Pins as a fuse in over-running: whether they part before the root can break, and which would. */
export interface PinGuard {
  /** "yes": even the strongest of them part before the root at its weakest; "no": even the weakest outlast it at its strongest. */
  readonly guards: "yes" | "not sure" | "no";
  /**
   * Diameters, mm, of as many pins on the same circle that stand what comes on them, with the margin wanted, at their weakest, and at their
   * strongest still part before the root at its weakest; null where none that fit do both.
   */
  readonly both: readonly [number, number] | null;
  /** Where none do: the root is too weak for any, there is no room for pins that stand what comes on them, or their strength is known too poorly. */
  readonly lacks: "room" | "known strength" | "root" | null;
}

/** Share of the largest pins that fit at all: holes that all but meet, or reach the edge, hold none. */
const ROOM = 0.9;

/** Null without pins, or where the root is not known or not vouched for. */
export function pinGuard(
  { pins, root, verdict, clickOver, torque }: OverRun,
  { pins: choice, profile, strength }: Design,
): PinGuard | null {
  if (!pins || !choice || !root?.vouched) return null;
  const { diameter } = choice;
  const { margin: wanted = 1 } = strength ?? {};
  // a ring that lets go loads its pins no further than that takes
  const comes = verdict === "lets go" ? Math.min(torque, clickOver.high!) : torque;
  // the torque of pins grows with the square of their diameter
  const at = (needed: number, stands: number) => diameter * Math.sqrt(needed / stands);
  const least = at(wanted * comes, pins.low);
  const weakEnough = at(root.torque.low, pins.high);
  const room = ROOM * largestPin(choice, profile);
  const most = Math.min(weakEnough, room);
  return {
    guards: pins.high <= root.torque.low ? "yes" : pins.low > root.torque.high ? "no" : "not sure",
    both: least <= most ? [least, most] : null,
    lacks:
      least <= most
        ? null
        : wanted * comes > root.torque.low
          ? "root"
          : room < least
            ? "room"
            : "known strength",
  };
}
