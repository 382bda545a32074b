import { realpathSync } from "node:fs";
import { DesignError, type Fault, type Part, readDraft } from "../design/index.ts";
import { ownSteels } from "./ownSteels.ts";
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
      if (draft.part) parts.push({ file: input.file, source: sha256(input.text + own), part: draft.part });
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      faults.push(...error.faults);
    }
  }
  return { parts, faults };
}

function realPath(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return file;
  }
}
