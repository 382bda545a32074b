import { readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { comparisonTable, type FailedVariant } from "../report/index.ts";
import type { RunOptions } from "./commands/run.ts";
import { comparisonSentences, drawOutputs, type Placed } from "./drawOutputs.ts";
import { exitCode } from "./exitCode.ts";
import { Interrupted, interruptSignal } from "./interrupt.ts";
import { closeOutput, type OutputFolder, openOutput, solvedFolder, writeOutputs } from "./outputFolder.ts";
import { type Plan, planRun } from "./planRun.ts";
import { printable } from "./printable.ts";
import { programStamp } from "./programStamp.ts";
import { startProgress } from "./progress.ts";
import { memoryShare, workerCount } from "./runSettings.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFault, sayFaults } from "./sayFaults.ts";
import type { Reply, Task } from "./serve.ts";
import { alikeVariants, solveVariants } from "./solveVariants.ts";
import { closing, MOST_SENTENCES, opening } from "./tellRun.ts";
import { type WorkerPool, workerPool } from "./workerPool.ts";

/** The `run` command. @returns the exit code. */
export async function runParts(
  files: readonly string[],
  options: RunOptions,
  programUrl: string,
): Promise<number> {
  const plan = planRun(files, options);
  if (Array.isArray(plan)) return sayFaults(plan);
  const folder = openOutput(plan.options.out);
  const { signal, release } = interruptSignal();
  const size = workerCount(plan.settings.workers, plan.variants.length);
  const pool = workerPool<Task, Reply>(() => new Worker(fileURLToPath(programUrl)), size);
  try {
    return await solveAndReport(plan, folder, pool, size, programUrl, signal);
  } catch (error) {
    if (!(error instanceof Interrupted)) throw error;
    err(
      `Stopped. What is solved is kept in ${printable(plan.options.out, 200)}; give the same command again to go on.`,
    );
    return error.code;
  } finally {
    await pool.close();
    closeOutput(folder);
    release();
  }
}

async function solveAndReport(
  plan: Plan,
  folder: OutputFolder,
  pool: WorkerPool<Task, Reply>,
  workers: number,
  programUrl: string,
  signal: AbortSignal,
): Promise<number> {
  const { variants, options, settings } = plan;
  const quiet = options.quiet === true;
  if (!quiet) out(opening(variants).join("\n"));
  const stamp = programStamp(fileURLToPath(programUrl));
  const groups = alikeVariants(variants, settings.solve, stamp, solvedFolder(folder));
  const progress = await startProgress(variants.length, quiet);
  let ended: Awaited<ReturnType<typeof solveVariants>>;
  try {
    ended = await solveVariants(
      variants,
      groups,
      settings.solve,
      memoryShare(workers),
      options.fresh === true,
      pool,
      progress,
      signal,
    );
  } finally {
    progress.stop();
  }

  let code: number = exitCode.ok;
  const answered: Placed[] = [];
  const failures: FailedVariant[] = [];
  for (const [k, answer] of ended.entries()) {
    if ("result" in answer) {
      const { file, base } = variants[k]!;
      answered.push({ ...answer, file, base, map: plan.maps[k]! });
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
    return code;
  }

  const sentences = comparisonSentences(answered);
  const wishes = {
    maps: options.maps,
    compare: plan.compare,
    files: [...new Set(variants.map(({ file }) => file))],
    findings: sentences.slice(0, MOST_SENTENCES),
    failures,
  };
  if (options.maps && !quiet) err("Drawing …");
  const drawn = await drawOutputs(answered, wishes, folder, pool, signal);
  for (const failure of drawn.failures) {
    sayFault(`this is a fault in notchwright: ${failure}`);
    code = Math.max(code, exitCode.ours);
  }
  const report = writeOutputs(folder, drawn.outputs);
  // what other variants left in the store may still be wanted when only some were asked for
  if (!options.only) pruneStore(solvedFolder(folder), new Set(groups.map(({ store }) => store)));

  const width = outWidth();
  const results = answered.map(({ result }) => result);
  if (!quiet) err();
  out(comparisonTable(results, width));
  if (!quiet) out(closing(results, sentences, width).join("\n"));
  for (const [from, to] of report.movedAside) {
    err(`"${printable(from)}" had been edited; the edited file is now "${printable(to)}"`);
  }
  const shown = printable(options.out, 200);
  if (!quiet) {
    out();
    const maps = options.maps
      ? `, ${answered.length === 1 ? "1 map" : `${answered.length} maps`} in maps/`
      : "";
    out(`Written to ${shown}: index.html (open it in a browser), results.json, summary.csv${maps}`);
  }
  if (answered.length < ended.length) {
    err(`${ended.length - answered.length} of ${ended.length} variants could not be solved; see above.`);
  }
  return code;
}

function pruneStore(folder: string, keep: ReadonlySet<string>): void {
  for (const entry of readdirSync(folder)) {
    if (entry.endsWith(".solved") && !keep.has(join(folder, entry)))
      rmSync(join(folder, entry), { force: true });
  }
}
