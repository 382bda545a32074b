import { readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import type { VariantResult } from "../answer/index.ts";
import type { Fault } from "../design/index.ts";
import { cautionsBlock, comparisonTable, MOST_COMPARED } from "../report/index.ts";
import { balanceBlock } from "./balanceBlock.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import type { RunOptions } from "./commands/run.ts";
import { defaultsEcho } from "./defaultsEcho.ts";
import { comparisonSentences, drawOutputs, type Placed } from "./drawOutputs.ts";
import { exitCode } from "./exitCode.ts";
import { Interrupted, interruptSignal } from "./interrupt.ts";
import { notesBlock } from "./notesBlock.ts";
import {
  closeOutput,
  inspectOutput,
  type OutputFolder,
  openOutput,
  solvedFolder,
  writeOutputs,
} from "./outputFolder.ts";
import { FIXED_NAMES, mapNames } from "./outputNames.ts";
import { printable } from "./printable.ts";
import { programStamp } from "./programStamp.ts";
import { startProgress } from "./progress.ts";
import { readParts } from "./readParts.ts";
import { chosenNames, type RunSettings, runSettings, workerCount } from "./runSettings.ts";
import { err, out } from "./say.ts";
import { sayFault, sayFaults } from "./sayFaults.ts";
import type { Reply, Task } from "./serve.ts";
import { alikeVariants, solveVariants } from "./solveVariants.ts";
import { type WorkerPool, workerPool } from "./workerPool.ts";

/** Sentences told on the terminal and at the head of the page; with more variants the table reads better. */
const MOST_SENTENCES = 12;

/** A run whose every input was found good. */
interface Plan {
  readonly variants: readonly CheckedVariant[];
  /** Path of each variant's map in the folder. */
  readonly maps: readonly string[];
  readonly compare: ReadonlySet<string> | null;
  readonly settings: RunSettings;
  readonly options: RunOptions & { readonly out: string };
}

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
    return await solveAndReport(plan, folder, pool, programUrl, signal);
  } catch (error) {
    if (!(error instanceof Interrupted)) throw error;
    return error.code;
  } finally {
    await pool.close();
    closeOutput(folder);
    release();
  }
}

/** Checks everything that can be checked before anything is solved or written. */
function planRun(files: readonly string[], options: RunOptions): Plan | Fault[] {
  const { parts, faults } = readParts(files);
  const { settings, faults: optionFaults } = runSettings(options);
  faults.push(...optionFaults);
  const { variants: all, faults: geometryFaults } = checkDesigns(parts);
  let variants = all;
  let compare: Set<string> | null = null;
  // names can only be checked against files that were read
  if (parts.length === files.length) {
    const known = [...new Set(parts.flatMap(({ part }) => part.designs.map(({ variant }) => variant)))];
    const only = chosenNames("--only", options.only, known, faults);
    const within = only === null ? known : known.filter((name) => only.has(name));
    compare = chosenNames("--compare", options.compare, within, faults);
    if (compare && compare.size > 0) {
      const count = all.filter(({ design }) => compare!.has(design.variant)).length;
      if (count < 2 || count > MOST_COMPARED) {
        faults.push({
          key: "--compare",
          problem: `${count === 1 ? "one variant is" : `${count} variants are`} named`,
          remedy: `name 2 to ${MOST_COMPARED}`,
        });
      }
    }
    if (only) variants = all.filter(({ design }) => only.has(design.variant));
  }
  faults.push(...geometryFaults);
  const maps = mapNames(variants);
  const wanted = [...FIXED_NAMES, ...(options.maps ? maps : [])];
  const { out: target } = options;
  if (target === undefined) {
    faults.push({ key: "--out", problem: "missing", remedy: "name a folder to write into, say --out out" });
    return faults;
  }
  faults.push(...inspectOutput(target, wanted, options.intoExisting === true));
  return faults.length > 0
    ? faults
    : { variants, maps, compare, settings, options: { ...options, out: target } };
}

async function solveAndReport(
  plan: Plan,
  folder: OutputFolder,
  pool: WorkerPool<Task, Reply>,
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
      options.fresh === true,
      pool,
      progress,
      signal,
    );
  } catch (error) {
    progress.stop();
    if (error instanceof Interrupted) {
      err(
        `Stopped. What is solved is kept in ${printable(options.out, 200)}; give the same command again to go on.`,
      );
    }
    throw error;
  }
  progress.stop();

  let code: number = exitCode.ok;
  const answered: Placed[] = [];
  for (const [k, answer] of ended.entries()) {
    if ("result" in answer) {
      const { file, base } = variants[k]!;
      answered.push({ ...answer, file, base, map: plan.maps[k]! });
      continue;
    }
    sayFault(`${variants[k]!.label}: ${answer.failure}`);
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
  };
  const { outputs, failures } = await drawOutputs(answered, wishes, folder, pool, signal);
  for (const failure of failures) {
    sayFault(`this is a fault in notchwright: ${failure}`);
    code = Math.max(code, exitCode.ours);
  }
  const report = writeOutputs(folder, outputs);
  // what other variants left in the store may still be wanted when only some were asked for
  if (!options.only) pruneStore(solvedFolder(folder), new Set(groups.map(({ store }) => store)));

  const results = answered.map(({ result }) => result);
  if (!quiet) err();
  out(comparisonTable(results, process.stdout.columns ?? 100));
  if (!quiet) out(closing(results, sentences).join("\n"));
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

/** What is about to be solved, and what was taken by default. */
function opening(variants: readonly CheckedVariant[]): string[] {
  const lines: string[] = [];
  for (const file of new Set(variants.map((variant) => variant.file))) {
    const own = variants.filter((variant) => variant.file === file).map(({ design }) => design);
    const count = own.length === 1 ? "1 variant" : `${own.length} variants`;
    lines.push(`${printable(own[0]!.part)}: ${count} from ${printable(file, 200)}`);
    lines.push(...defaultsEcho(own), "");
  }
  return lines;
}

/** What follows the table: changes in words, balance, notes, cautions. */
function closing(results: readonly VariantResult[], sentences: readonly string[]): string[] {
  const lines: string[] = [];
  if (sentences.length > 0) {
    lines.push("", "What each change did");
    lines.push(...sentences.slice(0, MOST_SENTENCES).map((sentence) => `  ${printable(sentence, 300)}`));
    const rest = sentences.length - MOST_SENTENCES;
    if (rest > 0) lines.push(`  … and ${rest} more; the table has them all`);
  }
  lines.push("", ...balanceBlock(results));
  const notes = notesBlock(
    results.map(({ design, notes: own, steel }) => [design.variant, [...own, ...(steel?.warnings ?? [])]]),
  );
  if (notes.length > 0) lines.push("", ...notes);
  lines.push("", cautionsBlock(process.stdout.columns ?? 100));
  return lines;
}

function pruneStore(folder: string, keep: ReadonlySet<string>): void {
  for (const entry of readdirSync(folder)) {
    if (entry.endsWith(".solved") && !keep.has(join(folder, entry)))
      rmSync(join(folder, entry), { force: true });
  }
}
