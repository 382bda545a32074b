import type { Design } from "../design/index.ts";
import { driveHoldNotes, judgedIn } from "../report/index.ts";
import { evenSharing } from "../strength/index.ts";

/** What answers that rest on the drive alone must say: flanks that throw the teeth apart, and that over-running is another load case. */
export function driveOnly(design: Design): string[] {
  return [
    ...driveHoldNotes(design),
    ...(design.notices ?? []).map((text) => text[0]!.toUpperCase() + text.slice(1)),
    ...evenSharing(design).map((text) => text[0]!.toUpperCase() + text.slice(1)),
    ...judgedIn(design).map((text) => `${text}, whose root and margin notchwright run tells`),
  ];
}
