import { readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import type { Design } from "../design/index.ts";
import { type OutputFolder, stagedFolder } from "./outputFolder.ts";
import { sha256 } from "./sha256.ts";
import type { Share } from "./shareOut.ts";
import type { Unanswered } from "./solveVariants.ts";

/** One variant of a run that is cut into shares. */
export interface SharedVariant {
  /** SHA-256 of its part file's text, and its place among the file's variants: the same whatever order files come in. */
  readonly source: string;
  readonly place: number;
  readonly file: string;
  readonly label: string;
  readonly base: boolean;
  /** Name in the store; depends on design, options and program. */
  readonly key: string;
  /** The share it falls to, from 1. */
  readonly share: number;
}

/** What a share says of itself when it has ended, so that it can be put together with the others. */
export interface ShareRecord {
  readonly share: Share;
  readonly version: string;
  /** Identity of the program: see `programStamp`. */
  readonly stamp: string;
  /** Part files as named, with the SHA-256 of their texts. */
  readonly files: readonly { readonly name: string; readonly hash: string }[];
  /** All variants of the whole run, in its order. */
  readonly variants: readonly SharedVariant[];
  /** Of this share's own variants: the design, and why it was not answered if it was not. By index into `variants`. */
  readonly own: ReadonlyMap<number, { readonly design: Design; readonly failure?: Unanswered }>;
}

const NAME = "share";

function recordFile(path: string): string {
  return join(path, ".notchwright", NAME);
}

/** Takes back what an earlier run in this folder said of itself. */
export function dropShareRecord({ path }: OutputFolder): void {
  rmSync(recordFile(path), { force: true });
}

/** Written last, by rename: a folder with a record holds a share that has ended. */
export function writeShareRecord(folder: OutputFolder, record: ShareRecord): void {
  const data = serialize(record);
  const part = join(stagedFolder(folder), `${NAME}.part`);
  writeFileSync(part, sha256(data));
  writeFileSync(part, data, { flag: "a" });
  renameSync(part, recordFile(folder.path));
}

/** The record of the results folder at `path`; null when there is none, or none that reads well. */
export function readShareRecord(path: string): ShareRecord | null {
  try {
    const bytes = readFileSync(recordFile(path));
    const data = bytes.subarray(64);
    if (bytes.toString("latin1", 0, 64) !== sha256(data)) return null;
    return deserialize(data) as ShareRecord;
  } catch {
    return null;
  }
}
