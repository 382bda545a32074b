import type { Design } from "../design/index.ts";
import { aboutText, capitalised, sharedNotes } from "../report/index.ts";
import { quoted } from "./notesBlock.ts";

/** What is odd in the part file of some designs of one part, each once, with the variants where it is not all of them. */
export function sharedNotices(designs: readonly Design[]): string[] {
  const noted = designs.map(({ part, variant, notices = [] }) => ({ part, variant, notes: notices }));
  return sharedNotes(noted).map((one) =>
    one.all || designs.length === 1 ? capitalised(one.note) : `${aboutText(one, 4, quoted)}: ${one.note}`,
  );
}
