import { readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { DefaultSerializer, deserialize } from "node:v8";
import type { VariantField, VariantResult } from "../answer/result.ts";
import type { ProfileOutline } from "../profile/profileOutline.ts";
import { removeIfPossible } from "./removeIfPossible.ts";
import { sha256 } from "./sha256.ts";

/** Everything known about one solved variant; enough to draw it without solving it again. */
export interface Solved {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly profile: ProfileOutline;
}

const DIGEST_LENGTH = 64;

/** Of the data together with the name it was stored under, so that one variant's is never read as another's. */
const digest = (file: string, data: Uint8Array): string => sha256(basename(file), data);

export function solvedFile(folder: string, key: string): string {
  return join(folder, `${key}.solved`);
}

/**
 * Stores a solved variant: 64 hexadecimal digits of SHA-256 of the file's name and the data, then the data. The digest is what makes a file whole: one cut
 * off at any moment does not match it and is not read, so that nothing need be written beside and renamed.
 */
export function storeSolved(file: string, solved: Solved): void {
  const whole = new DefaultSerializer();
  whole.writeRawBytes(Buffer.alloc(DIGEST_LENGTH));
  whole.writeHeader();
  whole.writeValue(solved);
  const bytes = whole.releaseBuffer();
  bytes.write(digest(file, bytes.subarray(DIGEST_LENGTH)), "latin1");
  writeFileSync(file, bytes);
}

/** The stored variant, or null when there is none or its bytes are not what was written; such a file is removed. */
export function loadSolved(file: string): Solved | null {
  const solved = readSolved(file);
  if (solved === null) removeIfPossible(file);
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
  const data = bytes.subarray(DIGEST_LENGTH);
  if (bytes.length <= DIGEST_LENGTH || bytes.toString("latin1", 0, DIGEST_LENGTH) !== digest(file, data))
    return null;
  try {
    return deserialize(data) as Solved;
  } catch {
    return null; // whole, but written by an engine whose format this one does not read
  }
}
