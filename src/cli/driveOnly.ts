import type { Design } from "../design/index.ts";

/** Said where answers rest on the drive's load case alone and the part file has another. */
export function driveOnly({ overRun }: Design): string[] {
  return overRun
    ? ["Judged in drive only: over-running is another load case, whose root and margin notchwright run tells"]
    : [];
}
