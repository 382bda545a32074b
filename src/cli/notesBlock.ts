import { sharedNotes } from "../report/index.ts";
import { nameList } from "./defaultsEcho.ts";
import { wrapWords } from "./wrapWords.ts";

/** Notes with the variants they are about, equal ones told once; empty when there are none. */
export function notesBlock(
  notes: readonly (readonly [variant: string, notes: readonly string[]])[],
  width: number,
): string[] {
  const shared = sharedNotes(notes);
  if (shared.length === 0) return [];
  const lines = shared.flatMap(({ note, names, all }) =>
    wrapWords("  - ", `${all ? "all" : nameList(names)}: ${note}`, width),
  );
  return ["Notes", ...lines];
}
