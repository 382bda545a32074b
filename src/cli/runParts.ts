import { readdirSync } from "node:fs";
import { join } from "node:path";
import { type Design, DesignError } from "../design/index.ts";
import type { RunOptions } from "./commands/run.ts";
import { designKey } from "./designKey.ts";
import { exitCode } from "./exitCode.ts";
import { Interrupted, interruptSignal } from "./interrupt.ts";
import { closeOutput, type OutputFolder, openOutput, solvedFolder, writeOutputs } from "./outputFolder.ts";
import { type Plan, planRun, type SharedRun } from "./planRun.ts";
import { printable } from "./printable.ts";
import { programStamp } from "./programStamp.ts";
import { startProgress } from "./progress.ts";
import { removeIfPossible } from "./removeIfPossible.ts";
import { reportRun } from "./reportRun.ts";
import { memoryShare, runSettings, workerCount } from "./runSettings.ts";
import { err, out } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import type { Reply, Task } from "./serve.ts";
import { dropShareRecord, type ShareRecord, writeShareRecord } from "./shareRecord.ts";
import { solverThread } from "./solverThread.ts";
import { type Answered, alikeVariants, solveVariants, type Unanswered } from "./solveVariants.ts";
import { opening, sharing } from "./tellRun.ts";
import { version } from "./version.ts";
import { type WorkerPool, workerPool } from "./workerPool.ts";

/** The `run` command. @returns the exit code. */
export async function runParts(
  files: readonly string[],
  options: RunOptions,
  programUrl: string,
): Promise<number> {
  const asked = runSettings(options).settings.workers;
  const most = workerCount(asked, Number.POSITIVE_INFINITY);
  const pool = workerPool<Task, Reply>(() => solverThread(programUrl), most);
  pool.prepare(); // it loads while the part files are read
  try {
    const plan = planRun(files, options);
    return Array.isArray(plan) ? sayFaults(plan) : await runPlan(plan, pool, programUrl);
  } finally {
    await pool.close();
  }
}

async function runPlan(plan: Plan, pool: WorkerPool<Task, Reply>, programUrl: string): Promise<number> {
  const folder = openOutput(plan.options.out);
  dropShareRecord(folder);
  const { signal, release } = interruptSignal();
  const size = workerCount(plan.settings.workers, plan.variants.length);
  try {
    return await solveAndReport(plan, folder, pool, size, programUrl, signal);
  } catch (error) {
    const again = "give the same command again";
    const kept = anySolved(folder)
      ? `What is solved is kept in ${printable(plan.options.out, 200)}; ${again} to go on.`
      : `No variant was solved and kept; ${again}.`;
    if (error instanceof DesignError) {
      // all that the asker could do wrong was looked at before: here the disk refuses
      sayFaults(error.faults);
      err(kept);
      return exitCode.numerics;
    }
    if (!(error instanceof Interrupted)) throw error;
    err(`Stopped. ${kept}`);
    return error.code;
  } finally {
    await pool.close();
    closeOutput(folder);
    release();
  }
}

const anySolved = (folder: OutputFolder): boolean => {
  try {
    return readdirSync(solvedFolder(folder)).length > 0;
  } catch {
    return false;
  }
};

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
  if (!quiet && plan.share) out(sharing(plan.share, variants.length));
  if (!quiet) out(opening(variants).join("\n"));
  const stamp = programStamp(programUrl);
  const groups = alikeVariants(variants, settings.solve, stamp, solvedFolder(folder));
  const progress = await startProgress(variants.length, quiet);
  let ended: Awaited<ReturnType<typeof solveVariants>>;
  try {
    ended = await solveVariants({
      variants,
      groups,
      options: settings.solve,
      mostBytes: memoryShare(workers),
      fresh: options.fresh === true,
      shown: options.out,
      pool,
      progress,
      signal,
    });
  } finally {
    progress.stop();
  }

  const report = {
    variants,
    mapNames: plan.maps,
    compare: plan.compare,
    maps: options.maps,
    quiet,
    shown: options.out,
  };
  let code: number = exitCode.ok;
  if (variants.length > 0) code = await reportRun(report, ended, folder, pool, signal);
  else writeOutputs(folder, new Map());
  // what other variants left in the store may still be wanted when only some were asked for
  if (!options.only) pruneStore(solvedFolder(folder), new Set(groups.map(({ store }) => store)));
  if (plan.share) writeShareRecord(folder, shareRecord(plan.share, plan, ended, stamp));
  return code;
}

/** What this share has to tell whoever puts the shares together. */
function shareRecord(
  { share, all, shareOf }: SharedRun,
  { settings, variants }: Plan,
  ended: readonly (Answered | Unanswered)[],
  stamp: string,
): ShareRecord {
  const places = new Map<string, number>();
  const own = new Map<number, { design: Design; failure?: Unanswered }>();
  for (const [k, variant] of variants.entries()) {
    const answer = ended[k]!;
    const failure = "failure" in answer ? { failure: answer } : {};
    own.set(all.indexOf(variant), { design: variant.design, ...failure });
  }
  return {
    share,
    version,
    stamp,
    files: [...new Map(all.map(({ file, source }) => [file, { name: file, hash: source }])).values()],
    variants: all.map(({ file, source, label, base, design }, k) => {
      const place = places.get(file) ?? 0;
      places.set(file, place + 1);
      return {
        source,
        place,
        file,
        label,
        base,
        key: designKey(design, settings.solve, stamp),
        share: shareOf[k]!,
      };
    }),
    own,
  };
}

/** Forgets solved variants that nothing here rests on; one that cannot be removed only takes room. */
export function pruneStore(folder: string, keep: ReadonlySet<string>): void {
  for (const entry of readdirSync(folder)) {
    if (entry.endsWith(".solved") && !keep.has(join(folder, entry))) removeIfPossible(join(folder, entry));
  }
}
