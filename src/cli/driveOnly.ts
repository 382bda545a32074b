import type { Design } from "../design/index.ts";
import { driveHoldNotes } from "../report/index.ts";

/** Drive flanks that throw the teeth apart; and said where answers rest on the drive's load case alone and the part file has another. */
export function driveOnly(design: Design): string[] {
  const { overRun } = design;
  const apart = driveHoldNotes(design);
  return overRun
    ? [
        ...apart,
        "Judged in drive only: over-running is another load case, whose root and margin notchwright run tells",
      ]
    : apart;
}
