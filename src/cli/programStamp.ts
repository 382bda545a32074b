import { readFileSync } from "node:fs";
import { sha256 } from "./sha256.ts";

declare const NOTCHWRIGHT_VERSION: string | undefined;

/** Set by the build from package.json. */
export const version: string = typeof NOTCHWRIGHT_VERSION === "string" ? NOTCHWRIGHT_VERSION : "0.0.0-source";

/**
 * Identity of the program file that runs: two builds of one version never share solved variants. The file names the pieces it
 * loads, and their names are hashes of all that is in them, so that its own text stands for the whole.
 */
export function programStamp(programFile: string): string {
  return `${version} ${sha256(readFileSync(programFile))}`;
}
