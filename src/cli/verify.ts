import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import {
  caseLines,
  chosen,
  type Family,
  pictures,
  reliabilityLine,
  reliabilityMarkdown,
  reliabilityStudy,
  reliabilitySummary,
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

/** Bounds that the estimate is held to: share covered, worst error, median of estimate over error. */
const COVERED = 0.95;
const WORST = 0.01;
const MOST_CAUTION = 10;

/** Solves the designs of the reliability study and prints what the estimate was worth. @returns the exit code, as `verify` does. */
export function verifyEstimate({ only = [], write = false, spoil }: VerifyOptions): number {
  if (only.length > 0 || spoil !== undefined) {
    sayFault("--reliability solves the whole study; leave out --only and --spoil");
    return exitCode.input;
  }
  const rows = reliabilityStudy({ onRow: (row) => out(reliabilityLine(row)) });
  const { covered, worst, medianCaution } = reliabilitySummary(rows);
  out();
  out(
    `${rows.length} designs: error under the estimate in ${(100 * covered).toFixed(1)} %, at most ${(100 * worst).toFixed(2)} %; ` +
      `estimate ${medianCaution.toFixed(1)} times the error in the median`,
  );
  if (write) {
    const page = join("docs", "verification-reliability.md");
    mkdirSync("docs", { recursive: true });
    writeFileSync(page, reliabilityMarkdown(rows));
    out(`Written: ${page}; notchwright verify --write takes it into docs/verification.md`);
  }
  const good = covered >= COVERED && worst < WORST && medianCaution <= MOST_CAUTION;
  return good ? exitCode.ok : exitCode.numerics;
}

function writeDocument(results: Parameters<typeof verificationDocument>[0]): void {
  const folder = join("docs", "verification");
  mkdirSync(folder, { recursive: true });
  const drawn = pictures(results);
  for (const { file, svg } of drawn) writeFileSync(join(folder, file), svg);
  // the study of the error estimate takes minutes of its own; its page is taken in as it stands
  const study = join("docs", "verification-reliability.md");
  const told = existsSync(study) ? `\n${readFileSync(study, "utf8").replace(/^# /, "## ")}` : "";
  writeFileSync(join("docs", "verification.md"), verificationDocument(results, drawn) + told);
  out(`Written: ${join("docs", "verification.md")} and ${drawn.length} pictures in ${folder}`);
}
