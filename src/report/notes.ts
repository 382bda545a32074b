import type { VariantResult } from "../answer/result.ts";
import { addTo } from "./addTo.ts";
import { driveHoldNotes } from "./driveHoldText.ts";
import { elsewhereNotes } from "./judged.ts";

/** What must be said of one variant: its own notes, and what steel and hardness are to be watched for. */
export function notesOf(result: VariantResult): string[] {
  const { design, notes, steel, capacity } = result;
  return [
    ...(design.notices ?? []),
    ...notes,
    ...driveHoldNotes(design),
    ...elsewhereNotes(result),
    ...new Set([...(steel?.warnings ?? []), ...(capacity?.warnings ?? [])]),
  ];
}

/** A note and the variants it is about. */
export interface SharedNote {
  readonly note: string;
  readonly names: readonly string[];
  /** True when it is about all of several. */
  readonly all: boolean;
}

/** Equal notes put together, in the order in which they first come. */
export function sharedNotes(
  notes: readonly (readonly [variant: string, notes: readonly string[]])[],
): SharedNote[] {
  const about = new Map<string, string[]>();
  for (const [variant, own] of notes) {
    for (const note of own) addTo(about, note, variant);
  }
  return [...about].map(([note, names]) => ({
    note,
    names,
    all: names.length === notes.length && names.length > 1,
  }));
}
