import { aboutText, type Noted, sharedNotes } from "../report/index.ts";
import { printable } from "./printable.ts";
import { wrapWords } from "./wrapWords.ts";

/** Notes with the variants they are about, equal ones told once; empty when there are none. */
export function notesBlock(notes: readonly Noted[], width: number): string[] {
  const shared = sharedNotes(notes);
  if (shared.length === 0) return [];
  const lines = shared.flatMap((one) =>
    wrapWords("  - ", `${aboutText(one, 4, quoted)}: ${one.note}`, width),
  );
  return ["Notes", ...lines];
}

/** A variant's name as notes tell it. */
export const quoted = (name: string): string => `"${printable(name, 60)}"`;
