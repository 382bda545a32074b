import { readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import type { VariantField, VariantResult } from "../answer/result.ts";
import type { ProfileOutline } from "../profile/profileOutline.ts";
import { sha256 } from "./sha256.ts";

/** Everything known about one solved variant; enough to draw it without solving it again. */
export interface Solved {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly profile: ProfileOutline;
}

export function solvedFile(folder: string, key: string): string {
  return join(folder, `${key}.solved`);
}

/**
 * Stores a solved variant: 64 hexadecimal digits of SHA-256, then the data. Written beside and renamed, so
 * that a run cut off at any moment leaves a whole file or none.
 */
export function storeSolved(file: string, solved: Solved): void {
  const data = serialize(solved);
  const part = `${file}.${process.pid}.part`;
  writeFileSync(part, sha256(data));
  writeFileSync(part, data, { flag: "a" });
  renameSync(part, file);
}

/** The stored variant, or null when there is none or its bytes are not what was written; such a file is removed. */
export function loadSolved(file: string): Solved | null {
  const solved = readSolved(file);
  if (solved === null) rmSync(file, { force: true });
  return solved;
}

/** The same, leaving the file as it is. */
export function readSolved(file: string): Solved | null {
  let bytes: Buffer;
  try {
    bytes = readFileSync(file);
  } catch {
    return null;
  }
  const data = bytes.subarray(64);
  if (bytes.length <= 64 || bytes.toString("latin1", 0, 64) !== sha256(data)) return null;
  return deserialize(data) as Solved;
}
