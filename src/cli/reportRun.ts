import { comparisonTable, type FailedVariant } from "../report/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { comparisonSentences, drawOutputs, type Placed } from "./drawOutputs.ts";
import { exitCode } from "./exitCode.ts";
import { namedShort } from "./namedShort.ts";
import { CHART_FOLDERS, type OutputFolder, writeOutputs } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFault } from "./sayFaults.ts";
import type { Reply, Task } from "./serve.ts";
import type { Answered, Unanswered } from "./solveVariants.ts";
import { closing, MOST_SENTENCES, verdicts } from "./tellRun.ts";
import type { WorkerPool } from "./workerPool.ts";
import { wrapWords } from "./wrapWords.ts";

/** What a report is made of, beside the answers. */
export interface ReportPlan {
  readonly variants: readonly Pick<CheckedVariant, "file" | "design" | "base" | "label">[];
  /** Path of each variant's map in the folder. */
  readonly mapNames: readonly string[];
  readonly compare: ReadonlySet<string> | null;
  readonly maps: boolean;
  readonly quiet: boolean;
  /** The folder as the user named it. */
  readonly shown: string;
}

/** Draws, writes and prints what there is to say of `ended`, one entry a variant. @returns the exit code. */
export async function reportRun(
  plan: ReportPlan,
  ended: readonly (Answered | Unanswered)[],
  folder: OutputFolder,
  pool: WorkerPool<Task, Reply>,
  signal: AbortSignal,
): Promise<number> {
  const { variants, quiet, maps } = plan;
  let code: number = exitCode.ok;
  const answered: Placed[] = [];
  const failures: FailedVariant[] = [];
  for (const [k, answer] of ended.entries()) {
    if ("result" in answer) {
      const { file, base } = variants[k]!;
      answered.push({ ...answer, file, base, map: plan.mapNames[k]! });
      continue;
    }
    const { label, design } = variants[k]!;
    sayFault(`${label}: ${answer.failure}`);
    failures.push({ part: design.part, variant: design.variant, reason: answer.failure });
    if (process.env["NOTCHWRIGHT_TRACE"] && answer.trace) err(answer.trace);
    code = Math.max(code, answer.code);
  }
  if (answered.length === 0) {
    err("No variant was solved; no report was written.");
    if (folder.files.has("index.html"))
      err(`The report in ${printable(plan.shown, 200)} is of an earlier run, not of this one.`);
    return code;
  }

  const sentences = comparisonSentences(answered);
  const wishes = {
    maps,
    compare: plan.compare,
    files: [...new Set(variants.map(({ file }) => file))],
    findings: sentences.slice(0, MOST_SENTENCES),
    more: Math.max(0, sentences.length - MOST_SENTENCES),
    failures,
  };
  if (maps && !quiet) err("Drawing …");
  const drawn = await drawOutputs(answered, wishes, folder, pool, signal);
  for (const failure of drawn.failures) {
    sayFault(`this is a fault in notchwright: ${failure}`);
    code = Math.max(code, exitCode.ours);
  }
  const report = writeOutputs(folder, drawn.outputs);

  const width = outWidth();
  const several = new Set(variants.map(({ file }) => file)).size > 1;
  const results = answered.map(({ result }) => result);
  if (!quiet) err();
  const { named, legend } = namedShort(results);
  for (const line of legend) out(line);
  out(comparisonTable(named, width));
  for (const { part, variant, reason } of failures) {
    const name = several ? `${printable(part)}: ${printable(variant)}` : printable(variant);
    for (const line of wrapWords("", `Not solved: ${name}: ${printable(reason, 400)}`, width)) out(line);
  }
  const told = quiet ? verdicts(named, width) : closing(named, sentences, width);
  if (told.length > 0) out(told.join("\n"));
  for (const [from, to] of report.movedAside) {
    err(`"${printable(from)}" had been edited; the edited file is now "${printable(to)}"`);
  }
  if (report.removed.length > 0) {
    const maps = report.removed.filter((name) => name.startsWith("maps/"));
    if (maps.length > 0 && plan.maps)
      err(
        `Removed ${maps.length === 1 ? "1 map" : `${maps.length} maps`} of variants that were not in this run, such as "${printable(maps[0]!)}".`,
      );
  }
  if (!quiet) {
    out();
    const drawings = maps ? `, ${answered.length === 1 ? "1 map" : `${answered.length} maps`} in maps/` : "";
    out(
      `Written to ${printable(plan.shown, 200)}: index.html (open it in a browser), results.json, summary.csv${drawings}`,
    );
    const charts = CHART_FOLDERS.filter((name) =>
      [...folder.files.keys()].some((file) => file.startsWith(name)),
    );
    if (charts.length > 0)
      out(`Charts of other commands, which this run did not draw anew, are in ${charts.join(", ")}.`);
  }
  if (answered.length < ended.length) {
    err(`${ended.length - answered.length} of ${ended.length} variants could not be solved; see above.`);
  }
  return code;
}
