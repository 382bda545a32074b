import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import {
  caseLines,
  chosen,
  type Family,
  pictures,
  runCases,
  spoiled,
  suite,
  summaryLines,
  verificationDocument,
} from "../verify/index.ts";
import { exitCode } from "./exitCode.ts";
import { out } from "./say.ts";
import { sayFault } from "./sayFaults.ts";

export interface VerifyOptions {
  readonly only?: readonly string[];
  readonly write?: boolean;
  readonly spoil?: string;
}

/** Runs the verification suite and prints it. @returns the exit code: 0 all inside, 1 some outside, 2 a word that fits no case. */
export function verify({ only = [], write = false, spoil }: VerifyOptions): number {
  if (write && (only.length > 0 || spoil !== undefined)) {
    sayFault("--write needs the whole suite as it is; leave out --only and --spoil");
    return exitCode.input;
  }
  let families: Family[];
  try {
    const all = suite();
    families = chosen(spoil === undefined ? all : spoiled(all, spoil), only);
  } catch (error) {
    sayFault(error instanceof Error ? error.message : String(error));
    return exitCode.input;
  }
  const results = runCases(families, (result) => {
    for (const line of caseLines(result)) out(line);
    out();
  });
  for (const line of summaryLines(results)) out(line);
  if (write) writeDocument(results);
  return results.every((r) => r.ok) ? exitCode.ok : exitCode.numerics;
}

function writeDocument(results: Parameters<typeof verificationDocument>[0]): void {
  const folder = join("docs", "verification");
  mkdirSync(folder, { recursive: true });
  const drawn = pictures(results);
  for (const { file, svg } of drawn) writeFileSync(join(folder, file), svg);
  writeFileSync(join("docs", "verification.md"), verificationDocument(results, drawn));
  out(`Written: ${join("docs", "verification.md")} and ${drawn.length} pictures in ${folder}`);
}
