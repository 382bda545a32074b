import type { VariantResult } from "../answer/result.ts";
import { faultLine } from "../design/index.ts";
import { addTo } from "../report/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { designKey, redress, type SolveOptions } from "./designKey.ts";
import { exitCode } from "./exitCode.ts";
import type { Progress } from "./progress.ts";
import { refuseUnwritable } from "./refuseUnwritable.ts";
import { rootLine } from "./rootLine.ts";
import type { Reply, Task } from "./serve.ts";
import { loadSolved, solvedFile } from "./solvedStore.ts";
import type { Outcome, WorkerPool } from "./workerPool.ts";

/** A variant that was answered; the field behind it waits in `store` until it is drawn. */
export interface Answered {
  readonly result: VariantResult;
  readonly store: string;
  readonly kept: boolean;
}

/** A variant that was not, and the exit code its reason asks for. */
export interface Unanswered {
  readonly failure: string;
  readonly code: number;
  readonly trace: string;
}

/** Variants with one key differ in nothing that is solved, and are solved once. */
export interface AlikeVariants {
  readonly key: string;
  readonly store: string;
  /** Indices of the variants. */
  readonly members: readonly number[];
}

/** Sorts variants by what their answers depend on. */
export function alikeVariants(
  variants: readonly CheckedVariant[],
  options: SolveOptions,
  stamp: string,
  folder: string,
): AlikeVariants[] {
  const members = new Map<string, number[]>();
  for (const [k, { design }] of variants.entries()) {
    const key = designKey(design, options, stamp);
    addTo(members, key, k);
  }
  return [...members].map(([key, indices]) => ({ key, store: solvedFile(folder, key), members: indices }));
}

/** What is to be solved, how, and by whom. */
export interface Solving {
  readonly variants: readonly CheckedVariant[];
  /** All of them, sorted by what their answers depend on. */
  readonly groups: readonly AlikeVariants[];
  readonly options: SolveOptions;
  /** Memory that each worker may use, bytes. */
  readonly mostBytes: number;
  /** Is what the store holds to be solved again? */
  readonly fresh: boolean;
  /** The name that messages have for the folder. */
  readonly shown: string;
  readonly pool: WorkerPool<Task, Reply>;
  readonly progress: Progress;
  readonly signal: AbortSignal;
}

/**
 * Answers every variant: from the store where it is there and `fresh` is not asked for, else by a worker.
 * @returns one entry a variant, in their order. @throws Interrupted when `signal` is raised, DesignError when the folder takes no more.
 */
export async function solveVariants(solving: Solving): Promise<(Answered | Unanswered)[]> {
  const { variants, groups, options, mostBytes, fresh, shown, pool, progress, signal } = solving;
  const ended = new Array<Answered | Unanswered>(variants.length);
  const label = (group: AlikeVariants) => variants[group.members[0]!]!.label;
  // `own` is of the group's first variant; only the others need the root fields, by which to judge their steel
  const finish = (group: AlikeVariants, own: Answered | Unanswered, stored: VariantResult | null) => {
    for (const k of group.members) {
      const { design, label: name } = variants[k]!;
      const first = k === group.members[0];
      const answer =
        first || !("result" in own) || !stored ? own : { ...own, result: redress(stored, design) };
      ended[k] = answer;
      progress.ended(name, `${name}: ${endLine(answer)}${first ? "" : `, the same as ${label(group)}`}`);
    }
  };
  const finishSolved = (group: AlikeVariants, outcome: Outcome<Reply>) => {
    refuseUnwritable(outcome, shown);
    const own = answerOf(outcome, group.store);
    if (!("result" in own) || group.members.length === 1) return finish(group, own, null);
    const stored = loadSolved(group.store)?.result;
    if (stored) return finish(group, own, stored);
    finish(group, { failure: "its stored answer cannot be read back", code: exitCode.ours, trace: "" }, null);
  };
  const unsolved: AlikeVariants[] = [];
  for (const group of groups) {
    const found = fresh ? null : loadSolved(group.store);
    if (found) {
      const { result } = found;
      const own = redress(result, variants[group.members[0]!]!.design);
      finish(group, { result: own, store: group.store, kept: true }, result);
    } else unsolved.push(group);
  }
  const tasks = unsolved.map(
    (group): Task => ({
      kind: "solve",
      design: variants[group.members[0]!]!.design,
      options,
      mostBytes,
      store: group.store,
    }),
  );
  await pool.run(
    tasks,
    {
      onStart: (k) => progress.started(label(unsolved[k]!)),
      onRetry: (k, crash) => progress.note(`${label(unsolved[k]!)}: ${crash}; trying once more`),
      onEnd: (k, outcome) => finishSolved(unsolved[k]!, outcome),
    },
    signal,
  );
  return ended;
}

function endLine(answer: Answered | Unanswered): string {
  if ("failure" in answer) return "not solved";
  const seconds = (answer.result.times.total / 1000).toFixed(1);
  return `${rootLine(answer.result)}, ${answer.kept ? "kept from before" : `${seconds} s`}`;
}

function answerOf(outcome: Outcome<Reply>, store: string): Answered | Unanswered {
  if ("crash" in outcome) return { failure: `${outcome.crash}, twice`, code: exitCode.numerics, trace: "" };
  const reply = outcome.value;
  switch (reply.kind) {
    case "solved":
      return { result: reply.result, store, kept: false };
    case "refused":
      return { failure: reply.faults.map(faultLine).join("; "), code: exitCode.input, trace: "" };
    case "numerics":
      return { failure: reply.message, code: exitCode.numerics, trace: "" };
    case "ours":
      return {
        failure: `this is a fault in notchwright: ${reply.message}`,
        code: exitCode.ours,
        trace: reply.stack,
      };
    case "drawn":
    case "unwritable":
      throw new Error(`a worker answered "${reply.kind}" when asked to solve`);
  }
}
