import { realpathSync } from "node:fs";
import { type Design, DesignError, type Fault, type Part, readDraft } from "../design/index.ts";
import { ownSteels } from "./ownSteels.ts";
import { printable } from "./printable.ts";
import { readInput } from "./readInput.ts";
import { sha256 } from "./sha256.ts";

/** A part file, with the designs in it that read well. */
export interface PartFile {
  readonly file: string;
  /** SHA-256 of its text. */
  readonly source: string;
  readonly part: Part;
}

/** Reads all files; faults of one do not hide those of another. */
export function readParts(files: readonly string[]): {
  readonly parts: PartFile[];
  readonly faults: Fault[];
} {
  const parts: PartFile[] = [];
  const faults: Fault[] = [];
  const seen = new Set<string>();
  const names = new Map<string, string>();
  for (const file of files) {
    const identity = realPath(file);
    if (seen.has(identity)) {
      faults.push({ key: file, problem: "is given twice", remedy: "name it once" });
      continue;
    }
    seen.add(identity);
    const input = readInput(file);
    if (!("text" in input)) {
      faults.push(input);
      continue;
    }
    try {
      // what a part file's own steels say is part of what it says
      let own = "";
      const steels = ownSteels(file, (text) => {
        own = text;
      });
      const draft = readDraft(input.text, input.file, steels);
      faults.push(...draft.faults);
      if (!draft.part) continue;
      parts.push({ file: input.file, source: sha256(input.text + own), part: draft.part });
      const twin = draft.part.designs.find(({ part, variant }) => names.has(JSON.stringify([part, variant])));
      if (twin)
        faults.push(sameNames(input.file, twin, names.get(JSON.stringify([twin.part, twin.variant]))!));
      for (const { part, variant } of draft.part.designs)
        names.set(JSON.stringify([part, variant]), input.file);
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      faults.push(...error.faults);
    }
  }
  return { parts, faults };
}

/** Results name part and variant: two of one name could not be told apart. */
const sameNames = (file: string, { part, variant }: Design, other: string): Fault => ({
  key: file,
  problem: `variant "${printable(variant)}" of part "${printable(part)}" has the names of one in ${printable(other, 200)}`,
  remedy: "give this file's part another name",
});

function realPath(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return file;
  }
}
