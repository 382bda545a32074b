import type { VariantResult } from "../answer/result.ts";
import { addTo } from "./addTo.ts";
import { driveHoldNotes } from "./driveHoldText.ts";
import { someNames } from "./firstNames.ts";
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

/** The notes of one variant of a part. */
export interface Noted {
  readonly part: string;
  readonly variant: string;
  readonly notes: readonly string[];
}

/** One result's notes with the names it goes by. */
export const notedOf = (result: VariantResult): Noted => ({
  part: result.design.part,
  variant: result.design.variant,
  notes: notesOf(result),
});

/** A note and what it is about. */
export interface SharedNote {
  readonly note: string;
  /** True when it is about all of several variants. */
  readonly all: boolean;
  /** Parts among several that it is about as a whole. */
  readonly parts: readonly string[];
  /** Variants beside them; the part is told where the same name stands in another part too, which the note is not about. */
  readonly variants: readonly { readonly variant: string; readonly part: string | null }[];
}

/** Equal notes put together, in the order in which they first come. */
export function sharedNotes(notes: readonly Noted[]): SharedNote[] {
  const about = new Map<string, Noted[]>();
  const ofPart = new Map<string, Noted[]>();
  const ofName = new Map<string, Noted[]>();
  for (const one of notes) {
    addTo(ofPart, one.part, one);
    addTo(ofName, one.variant, one);
    for (const note of one.notes) addTo(about, note, one);
  }
  return [...about].map(([note, noted]) => {
    const within = new Set(noted);
    const whole = (many: readonly Noted[]) => many.every((one) => within.has(one));
    const all = noted.length === notes.length && noted.length > 1;
    const parts = [...ofPart].filter(([, many]) => many.length > 1 && whole(many)).map(([part]) => part);
    const told = all || ofPart.size === 1 ? [] : parts;
    const beside = all ? [] : noted.filter(({ part }) => !told.includes(part));
    const variants = new Map<string, { variant: string; part: string | null }>();
    for (const { variant, part } of beside) {
      if (whole(ofName.get(variant)!)) variants.set(variant, { variant, part: null });
      else variants.set(`${variant}\n${part}`, { variant, part });
    }
    return { note, all, parts: told, variants: [...variants.values()] };
  });
}

/** Whom a note is about, `most` names before the rest are counted; `name` writes a name as it is to stand. */
export function aboutText(
  { all, parts, variants }: SharedNote,
  most: number,
  name: (text: string) => string,
): string {
  if (all) return "all";
  const names = [
    ...parts.map((part) => `all of ${name(part)}`),
    ...variants.map(({ variant, part }) => name(variant) + (part === null ? "" : ` of ${name(part)}`)),
  ];
  return someNames(names, most);
}
