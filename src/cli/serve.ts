import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { parentPort } from "node:worker_threads";
import { answerDesign, NumericalError } from "../answer/index.ts";
import type { VariantResult } from "../answer/result.ts";
import { type Design, DesignError, type Fault } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import type { SolveOptions } from "./designKey.ts";
import { sha256 } from "./sha256.ts";
import { loadSolved, type Solved, storeSolved } from "./solvedStore.ts";

/** What the main thread asks of a worker. Fields stay on disk: they are large and only drawing needs them. */
export type Task = {
  readonly kind: "solve";
  readonly design: Design;
  readonly options: SolveOptions;
  /** Where the answer is stored. */
  readonly store: string;
};

export type Reply =
  | { readonly kind: "solved"; readonly result: VariantResult; readonly profile: ProfileOutline }
  | { readonly kind: "drawn"; readonly staged: string; readonly hash: string }
  | { readonly kind: "refused"; readonly faults: readonly Fault[] }
  | { readonly kind: "numerics"; readonly message: string }
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
    const { message, stack } = error instanceof Error ? error : new Error(String(error));
    return { kind: "ours", message, stack: stack ?? "" };
  }
}
