import { closeSync, openSync, readdirSync, readSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import { type Fault, LARGEST_PART_FILE, nearest, sizeFault } from "../design/index.ts";
import { printable } from "./printable.ts";

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
  const name = file === "-" ? "standard input" : printable(file, 300);
  const fault = (problem: string, remedy: string): Fault => ({ key: name, problem, remedy });
  let bytes: Uint8Array | null;
  try {
    if (file === "-") {
      bytes = readUpTo(0, LARGEST_PART_FILE);
    } else {
      const stat = statSync(file);
      if (stat.isDirectory()) return fault("is a folder", `name the part file in it${partFilesIn(file)}`);
      if (stat.isFile() && stat.size > LARGEST_PART_FILE) return sizeFault(stat.size, name)!;
      const handle = openSync(file, "r");
      try {
        bytes = readUpTo(handle, LARGEST_PART_FILE);
      } finally {
        closeSync(handle);
      }
    }
  } catch (error) {
    return unreadable(file, name, error as NodeJS.ErrnoException);
  }
  const inside = (problem: string, remedy: string): Fault => ({
    key: "",
    problem,
    remedy,
    place: { file: name, line: 1, column: 1 },
  });
  if (bytes === null) {
    return inside("the file holds more than 1 MB, which no part file does", "give a part file");
  }
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    return inside("the file is saved as UTF-16", "save it as UTF-8 (plain text)");
  }
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return inside(
      "the file is not UTF-8 text",
      "save it as UTF-8 (plain text), without a word processor's formatting",
    );
  }
  if (text.includes("\0")) return inside("the file is not a text file", "give a part file written in YAML");
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

/** What would do where a file is not there; said of part files only. */
export const NO_PART_FILE = "check the name, or write a first part file with notchwright start";

function unreadable(file: string, key: string, error: NodeJS.ErrnoException): Fault {
  if (error.code === "ENOENT" || error.code === "ENOTDIR") {
    const near = nearest(basename(file), namesIn(dirname(file)));
    return {
      key,
      problem: "no such file",
      remedy: near ? `"${near}" is in that folder` : NO_PART_FILE,
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
