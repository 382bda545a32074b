import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { sha256 } from "./sha256.ts";
import { workerUrl } from "./solverThread.ts";
import { version } from "./version.ts";

/**
 * Identity of the program that runs: two builds of one version, or two engines under one build, never share solved variants. The program's file names
 * the pieces it loads, and their names are hashes of all that is in them; the worker's file holds all that solves and draws.
 */
export function programStamp(programUrl: string): string {
  const texts = [programUrl, workerUrl(programUrl)].map((url) => readFileSync(fileURLToPath(url), "utf8"));
  return `${version} ${process.versions.v8} ${sha256(texts.join())}`;
}
