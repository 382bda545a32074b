import { join } from "node:path";
import {
  type ContactEntry,
  contactSheet,
  type FailedVariant,
  MOST_COMPARED,
  ratioSentence,
  resultsJsonPieces,
  stressScale,
  summaryCsv,
} from "../report/index.ts";
import { sharpestAndBest } from "./chosenPair.ts";
import { nameList } from "./defaultsEcho.ts";
import type { Drawing } from "./mapInput.ts";
import { type Output, type OutputFolder, stagedFolder, stageText } from "./outputFolder.ts";
import { SHEET_NAME } from "./outputNames.ts";
import { refuseUnwritable } from "./refuseUnwritable.ts";
import type { DrawTask, Reply, Task } from "./serve.ts";
import type { Answered } from "./solveVariants.ts";
import { version } from "./version.ts";
import type { Outcome, WorkerPool } from "./workerPool.ts";

/** An answered variant and where its map goes. */
export interface Placed extends Answered {
  readonly file: string;
  readonly map: string;
  /** Is it what the others of its part are compared with? */
  readonly base: boolean;
}

export interface DrawingWishes {
  readonly maps: boolean;
  /** Names for the sheet, or null for the sharpest beside the best. */
  readonly compare: ReadonlySet<string> | null;
  readonly files: readonly string[];
  /** Sentences that the page begins with. */
  readonly findings: readonly string[];
  /** Number of findings left out. */
  readonly more: number;
  /** Variants without an answer, for the results file. */
  readonly failures: readonly FailedVariant[];
}

/** Everything the folder is to hold, drawings staged by the workers; `failures` are drawings that did not come off. */
export async function drawOutputs(
  answered: readonly Placed[],
  wishes: DrawingWishes,
  folder: OutputFolder,
  pool: WorkerPool<Task, Reply>,
  signal: AbortSignal,
): Promise<{ readonly outputs: Map<string, Output>; readonly failures: string[] }> {
  const results = answered.map(({ result }) => result);
  const outputs = new Map<string, Output>();
  const failures: string[] = [];
  if (wishes.maps) {
    const drawings = answered.map(
      ({ store, result }): Drawing => ({ store, result, scale: stressScale(result, results) }),
    );
    const names = answered.map(({ map }) => map);
    const tasks = drawings.map(
      (drawing, k): DrawTask => ({ kind: "map", drawings: [drawing], staged: staged(k) }),
    );
    const compared = comparedVariants(answered, wishes.compare);
    if (compared.length >= 2) {
      tasks.push({
        kind: "sheet",
        drawings: compared.map((k) => drawings[k]!),
        staged: staged(tasks.length),
      });
      names.push(SHEET_NAME);
    }
    const onEnd = (_task: number, outcome: Outcome<Reply>) => refuseUnwritable(outcome, folder.shown);
    const outcomes = await pool.run(tasks, { onEnd }, signal);
    for (const [k, outcome] of outcomes.entries()) {
      const hash = drawnHash(outcome);
      if (hash.ok) outputs.set(names[k]!, { staged: tasks[k]!.staged, hash: hash.text });
      else failures.push(`${names[k]} could not be drawn: ${hash.text}`);
    }
  }
  const record = { program: version, files: wishes.files, results, failures: wishes.failures };
  outputs.set("results.json", stageText(folder, "results.json", resultsJsonPieces(record)));
  outputs.set("summary.csv", { text: summaryCsv(results, wishes.failures) });
  const entries = answered.map(
    ({ result, map }): ContactEntry => ({ result, map: outputs.has(map) ? map : null }),
  );
  const title = [...new Set(results.map(({ design }) => design.part))].join(" / ");
  const page = { title, entries, findings: wishes.findings, more: wishes.more, failures: wishes.failures };
  outputs.set("index.html", {
    text: contactSheet(outputs.has(SHEET_NAME) ? { ...page, comparison: SHEET_NAME } : page),
  });
  return { outputs, failures };

  function staged(k: number): string {
    return join(stagedFolder(folder), `${k}.svg`);
  }
}

/**
 * Each variant of a part held against that part's base, in words; variants alike in stress and in their steel's yield
 * share a sentence.
 */
export function comparisonSentences(answered: readonly Placed[]): string[] {
  const bases = new Map<string, Placed>();
  for (const one of answered) if (one.base && !bases.has(one.file)) bases.set(one.file, one);
  const groups = new Map<string, Placed[]>();
  for (const one of answered) {
    if (bases.get(one.file) === one) continue;
    // the sentence may speak of the steel, which one solve does not tell apart
    const key = JSON.stringify([one.file, one.store, one.result.steel?.yieldLow]);
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  }
  const several = new Set(answered.map(({ file }) => file)).size > 1;
  return [...groups.values()].flatMap(([one, ...others]) => {
    const base = bases.get(one!.file);
    if (!base) return [];
    const part = several ? `${one!.result.design.part}: ` : "";
    const names = others.map(({ result }) => result.design.variant);
    const same = names.length > 0 ? ` The same goes for ${nameList(names, 8)}.` : "";
    return [part + ratioSentence(base.result, one!.result) + same];
  });
}

/** Indices of the variants on the comparison sheet. */
function comparedVariants(answered: readonly Placed[], compare: ReadonlySet<string> | null): number[] {
  // roots of different parts are not held side by side unless asked for
  const first = answered.filter(({ file }) => file === answered[0]!.file);
  if (!compare)
    return sharpestAndBest(first.map(({ result }) => result)).map((k) => answered.indexOf(first[k]!));
  const chosen = [...compare].flatMap((name) =>
    answered.flatMap(({ result }, k) => (result.design.variant === name ? [k] : [])),
  );
  return chosen.slice(0, MOST_COMPARED);
}

function drawnHash(outcome: Outcome<Reply>): { readonly ok: boolean; readonly text: string } {
  if ("crash" in outcome) return { ok: false, text: `${outcome.crash}, twice` };
  const { value } = outcome;
  if (value.kind === "drawn") return { ok: true, text: value.hash };
  return { ok: false, text: value.kind === "ours" ? value.message : `a worker answered "${value.kind}"` };
}
