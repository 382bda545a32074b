import { writeFileSync } from "node:fs";
import { parentPort } from "node:worker_threads";
import { answerDesign, NumericalError, type VariantResult } from "../answer/index.ts";
import { type Design, DesignError, type Fault } from "../design/index.ts";
import { comparisonSheet, stressMap } from "../report/index.ts";
import { type SolveOptions, withoutFields } from "./designKey.ts";
import { type Drawing, mapInput } from "./mapInput.ts";
import { removeIfPossible } from "./removeIfPossible.ts";
import { sha256 } from "./sha256.ts";
import { storeSolved } from "./solvedStore.ts";

/** What the main thread asks of a worker. Fields stay on disk: they are large, and only drawing needs them. */
export type Task = SolveTask | DrawTask;

export interface SolveTask {
  readonly kind: "solve";
  readonly design: Design;
  readonly options: SolveOptions;
  /** Bytes of memory this worker may use: no part of the answer, so no option. */
  readonly mostBytes: number;
  /** Where the answer is stored. */
  readonly store: string;
}

/** One variant's map, or a sheet with several side by side. */
export interface DrawTask {
  readonly kind: "map" | "sheet";
  readonly drawings: readonly Drawing[];
  /** File the SVG is put into, to be moved to its place by the main thread. */
  readonly staged: string;
}

export type Reply =
  /** `result` comes without its root fields, which are large and in the store. */
  | { readonly kind: "solved"; readonly result: VariantResult }
  | { readonly kind: "drawn"; readonly hash: string }
  | { readonly kind: "refused"; readonly faults: readonly Fault[] }
  | { readonly kind: "numerics"; readonly message: string }
  /** The disk took no more: the file system's code for it. Whatever follows would meet the same. */
  | { readonly kind: "unwritable"; readonly code: string }
  | { readonly kind: "ours"; readonly message: string; readonly stack: string };

/** Answers tasks until the main thread closes the worker. */
export function serve(): void {
  parentPort!.on("message", (task: Task) => parentPort!.postMessage(reply(task)));
}

function reply(task: Task): Reply {
  try {
    return perform(task);
  } catch (error) {
    if (error instanceof DesignError) return { kind: "refused", faults: error.faults };
    if (error instanceof NumericalError) return { kind: "numerics", message: error.message };
    if (error instanceof Unwritable) return { kind: "unwritable", code: error.message };
    const { message, stack } = error instanceof Error ? error : new Error(String(error));
    return { kind: "ours", message, stack: stack ?? "" };
  }
}

function perform(task: Task): Reply {
  switch (task.kind) {
    case "solve": {
      const answer = answerDesign(task.design, { ...task.options, mostBytes: task.mostBytes });
      writing(task.store, () => storeSolved(task.store, answer));
      return { kind: "solved", result: withoutFields(answer.result) };
    }
    case "map":
      return stage(task.staged, stressMap(mapInput(task.drawings[0]!)));
    case "sheet":
      return stage(task.staged, comparisonSheet(task.drawings.map(mapInput)));
  }
}

/** The file system's refusal to take a file, its code for a message. */
class Unwritable extends Error {}

/** Writes a file as `write` does, and leaves no half of one. @throws Unwritable */
function writing(file: string, write: () => void): void {
  try {
    write();
  } catch (error) {
    const code = error instanceof Error && "code" in error ? error.code : undefined;
    if (typeof code !== "string") throw error;
    removeIfPossible(file);
    throw new Unwritable(code);
  }
}

function stage(file: string, svg: string): Reply {
  writing(file, () => writeFileSync(file, svg));
  return { kind: "drawn", hash: sha256(svg) };
}
