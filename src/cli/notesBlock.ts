import { nameList } from "./defaultsEcho.ts";
import { wrapWords } from "./wrapWords.ts";

/** Notes with the variants they are about, equal ones told once; empty when there are none. */
export function notesBlock(
  notes: readonly (readonly [variant: string, notes: readonly string[]])[],
  width: number,
): string[] {
  const about = new Map<string, string[]>();
  for (const [variant, own] of notes) {
    for (const note of own) about.set(note, [...(about.get(note) ?? []), variant]);
  }
  if (about.size === 0) return [];
  const lines = [...about].flatMap(([note, names]) => {
    const who = names.length === notes.length && names.length > 1 ? "all" : nameList(names);
    return wrapWords("  - ", `${who}: ${note}`, width);
  });
  return ["Notes", ...lines];
}
