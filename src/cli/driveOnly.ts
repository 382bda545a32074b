import type { Design } from "../design/index.ts";
import { capitalised, driveHoldNotes, judgedIn } from "../report/index.ts";
import { evenSharing } from "../strength/index.ts";
import { sharedNotices } from "./sharedNotices.ts";

/**
 * What answers that rest on the drive alone must say of designs that differ in steel and hardness only: flanks that throw the teeth apart,
 * what is odd in the part file, and that over-running is another load case.
 */
export function driveOnly(designs: readonly Design[]): string[] {
  const design = designs[0]!;
  return [
    ...driveHoldNotes(design),
    ...sharedNotices(designs),
    ...evenSharing(design).map(capitalised),
    ...judgedIn(design).map((text) => `${text}, whose root and margin notchwright run tells`),
  ];
}
