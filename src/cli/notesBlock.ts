import { nameList } from "./defaultsEcho.ts";

/** Notes with the variants they are about, equal ones told once; empty when there are none. */
export function notesBlock(
  notes: readonly (readonly [variant: string, notes: readonly string[]])[],
): string[] {
  const about = new Map<string, string[]>();
  for (const [variant, own] of notes) {
    for (const note of own) about.set(note, [...(about.get(note) ?? []), variant]);
  }
  if (about.size === 0) return [];
  return [
    "Notes",
    ...[...about].map(([note, names]) =>
      names.length === notes.length && names.length > 1 ? `  all: ${note}` : `  ${nameList(names)}: ${note}`,
    ),
  ];
}
