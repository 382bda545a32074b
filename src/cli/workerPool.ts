import type { Worker } from "node:worker_threads";

/** A task's end: what the worker sent back, or why it never did. */
export type Outcome<O> = { readonly value: O } | { readonly crash: string };

export interface PoolHooks<O> {
  readonly onStart?: (task: number) => void;
  readonly onRetry?: (task: number, crash: string) => void;
  readonly onEnd?: (task: number, outcome: Outcome<O>) => void;
}

/**
 * Worker threads that are started when first needed and kept for the next batch, so that code compiled for one
 * variant is warm for the next. A worker takes one task at a time, posted as it is, and answers with one message.
 * A worker that dies is replaced and its task given a second chance; dying again ends that task alone.
 */
export interface WorkerPool<I, O> {
  /** Outcomes in the order of `tasks`. @throws the reason of `signal` when it is raised; workers are stopped first. */
  run(tasks: readonly I[], hooks: PoolHooks<O>, signal: AbortSignal): Promise<Outcome<O>[]>;
  close(): Promise<void>;
}

export function workerPool<I, O>(start: () => Worker, size: number): WorkerPool<I, O> {
  const idle: Worker[] = [];
  const living = new Set<Worker>();

  function hire(): Worker {
    const worker = start();
    living.add(worker);
    // one that dies between tasks is no longer offered any; without a listener its death would end the program
    worker.on("error", () => {});
    worker.on("exit", () => {
      living.delete(worker);
      const k = idle.indexOf(worker);
      if (k >= 0) idle.splice(k, 1);
    });
    return worker;
  }

  /** Gives `task` to a worker and waits for its answer or its death. */
  function once(task: I): Promise<Outcome<O>> {
    const worker = idle.pop() ?? hire();
    return new Promise((resolve) => {
      let crash = "";
      const onMessage = (value: O) => {
        detach();
        idle.push(worker);
        resolve({ value });
      };
      const onError = (error: Error & { code?: string }) => {
        crash =
          error.code === "ERR_WORKER_OUT_OF_MEMORY"
            ? "its worker ran out of memory"
            : `its worker died: ${error.message}`;
      };
      const onExit = (code: number) => {
        detach();
        resolve({ crash: crash || `its worker stopped with code ${code}` });
      };
      function detach(): void {
        worker.off("message", onMessage).off("error", onError).off("exit", onExit);
      }
      worker.on("message", onMessage).on("error", onError).on("exit", onExit);
      worker.postMessage(task);
    });
  }

  async function close(): Promise<void> {
    const all = [...living];
    living.clear();
    idle.length = 0;
    await Promise.all(all.map((worker) => worker.terminate()));
  }

  async function run(tasks: readonly I[], hooks: PoolHooks<O>, signal: AbortSignal): Promise<Outcome<O>[]> {
    const outcomes = new Array<Outcome<O>>(tasks.length);
    let next = 0;
    async function lane(): Promise<void> {
      while (next < tasks.length && !signal.aborted) {
        const k = next++;
        hooks.onStart?.(k);
        let outcome = await once(tasks[k]!);
        if ("crash" in outcome && !signal.aborted) {
          hooks.onRetry?.(k, outcome.crash);
          outcome = await once(tasks[k]!);
        }
        if (signal.aborted) return;
        outcomes[k] = outcome;
        hooks.onEnd?.(k, outcome);
      }
    }
    const stop = () => void close();
    signal.addEventListener("abort", stop);
    try {
      const lanes = Math.max(1, Math.min(size, tasks.length));
      await Promise.all(Array.from({ length: lanes }, lane));
    } finally {
      signal.removeEventListener("abort", stop);
    }
    if (signal.aborted) {
      await close();
      throw signal.reason;
    }
    return outcomes;
  }

  return { run, close };
}
