import { closeSync, openSync, readdirSync, readSync, type Stats, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import type { Fault } from "../design/design.ts";
import { nearest } from "../design/nearest.ts";

/** A part file with hundreds of variants is some tens of kB; beyond this something else was given by mistake. */
const LARGEST_BYTES = 1_000_000;

export interface InputText {
  /** As given on the command line; "standard input" for "-". */
  readonly file: string;
  readonly text: string;
}

/**
 * Text of a part file; "-" reads standard input. Nothing larger than 1 MB is read into memory.
 * @returns the text, or the fault that the user can put right.
 */
export function readInput(file: string): InputText | Fault {
  const name = file === "-" ? "standard input" : file;
  const fault = (problem: string, remedy: string): Fault => ({ key: name, problem, remedy });
  let bytes: Uint8Array | null;
  try {
    if (file === "-") {
      bytes = readUpTo(0, LARGEST_BYTES);
    } else {
      const stat = statSync(file);
      if (stat.isDirectory()) return fault("is a folder", `name the part file in it${partFilesIn(file)}`);
      if (stat.isFile() && stat.size > LARGEST_BYTES) return tooLarge(name, stat);
      const handle = openSync(file, "r");
      try {
        bytes = readUpTo(handle, LARGEST_BYTES);
      } finally {
        closeSync(handle);
      }
    }
  } catch (error) {
    return unreadable(file, name, error as NodeJS.ErrnoException);
  }
  if (bytes === null) return tooLarge(name, null);
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    return fault("is saved as UTF-16", "save it as UTF-8 (plain text)");
  }
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return fault("is not UTF-8 text", "save it as UTF-8 (plain text), without a word processor's formatting");
  }
  if (text.includes("\0")) return fault("is not a text file", "give a part file written in YAML");
  return { file: name, text };
}

/** Bytes to the end of the file, or null when there are more than `most`; works on pipes, which have no size. */
function readUpTo(handle: number, most: number): Uint8Array | null {
  const buffer = new Uint8Array(most + 1);
  let length = 0;
  while (length <= most) {
    let got: number;
    try {
      got = readSync(handle, buffer, length, buffer.length - length, null);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      // a terminal or an empty non-blocking pipe has nothing yet; a closed one has nothing at all
      if (code === "EOF") break;
      if (code !== "EAGAIN") throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
      continue;
    }
    if (got === 0) break;
    length += got;
  }
  return length > most ? null : buffer.subarray(0, length);
}

function tooLarge(key: string, stat: Stats | null): Fault {
  const size = stat ? `is ${(stat.size / 1e6).toFixed(1)} MB` : "is larger than 1 MB";
  return { key, problem: `${size}, too large for a part file`, remedy: "give a part file under 1 MB" };
}

function unreadable(file: string, key: string, error: NodeJS.ErrnoException): Fault {
  if (error.code === "ENOENT" || error.code === "ENOTDIR") {
    const near = nearest(basename(file), namesIn(dirname(file)));
    return {
      key,
      problem: "no such file",
      remedy: near
        ? `"${near}" is in that folder`
        : "check the name, or write a first part file with notchwright start",
    };
  }
  if (error.code === "EACCES" || error.code === "EPERM") {
    return { key, problem: "may not be read", remedy: "give yourself the right to read it" };
  }
  return { key, problem: `cannot be read (${error.code ?? error.message})`, remedy: "check the file" };
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).slice(0, 1000);
  } catch {
    return [];
  }
}

function partFilesIn(folder: string): string {
  const names = namesIn(folder).filter((name) => /\.ya?ml$/i.test(name));
  return names.length > 0 ? `, say ${names[0]}` : "";
}
