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
 * variant is warm for the next. A task is posted as it is, and answered with one message. While many are left, a worker has its
 * next one waiting, so that it need not wait for the main thread. One that dies is replaced and the task it had in hand
 * given a second chance; dying again ends that task alone.
 */
export interface WorkerPool<I, O> {
  /** Starts a worker, if none is there, ahead of its first task. */
  prepare(): void;
  /** Outcomes in the order of `tasks`. @throws the reason of `signal` when it is raised, or what a hook throws; workers are stopped first. */
  run(tasks: readonly I[], hooks: PoolHooks<O>, signal: AbortSignal): Promise<Outcome<O>[]>;
  close(): Promise<void>;
}

/** With fewer tasks than this left a worker, none waits behind another that a free worker might take. */
const FEW_LEFT = 4;

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

  async function close(): Promise<void> {
    const all = [...living];
    living.clear();
    idle.length = 0;
    await Promise.all(all.map((worker) => worker.terminate()));
  }

  async function run(tasks: readonly I[], hooks: PoolHooks<O>, signal: AbortSignal): Promise<Outcome<O>[]> {
    const outcomes = new Array<Outcome<O>>(tasks.length);
    const lanes = Math.max(1, Math.min(size, tasks.length));
    const tried = new Set<number>();
    const again: number[] = [];
    let next = 0;
    const failures: unknown[] = [];
    const halted = () => signal.aborted || failures.length > 0;
    const take = (): number | undefined => again.shift() ?? (next < tasks.length ? next++ : undefined);
    const settle = (k: number, outcome: Outcome<O>): void => {
      outcomes[k] = outcome;
      try {
        hooks.onEnd?.(k, outcome);
      } catch (error) {
        failures.push(error);
      }
    };

    /** Keeps a worker busy until nothing is left to take, or it dies. */
    function employ(worker: Worker): Promise<"done" | "died"> {
      return new Promise((resolve) => {
        const given: number[] = [];
        let crash = "";
        const fill = (): void => {
          while (!halted() && given.length < (tasks.length - next > FEW_LEFT * lanes ? 2 : 1)) {
            const k = take();
            if (k === undefined) break;
            if (given.push(k) === 1) hooks.onStart?.(k);
            worker.postMessage(tasks[k]);
          }
          if (given.length > 0) return;
          detach();
          idle.push(worker);
          resolve("done");
        };
        const onMessage = (value: O) => {
          const k = given.shift()!;
          if (given.length > 0) hooks.onStart?.(given[0]!);
          fill();
          settle(k, { value });
        };
        const onError = (error: Error & { code?: string }) => {
          crash =
            error.code === "ERR_WORKER_OUT_OF_MEMORY"
              ? "its worker ran out of memory"
              : `its worker died: ${error.message}`;
        };
        const onExit = (code: number) => {
          detach();
          const k = given.shift();
          again.unshift(...given);
          if (k !== undefined && !halted()) {
            const why = crash || `its worker stopped with code ${code}`;
            if (tried.has(k)) settle(k, { crash: why });
            else {
              tried.add(k);
              hooks.onRetry?.(k, why);
              again.unshift(k);
            }
          }
          resolve("died");
        };
        const detach = (): void => {
          worker.off("message", onMessage).off("error", onError).off("exit", onExit);
        };
        worker.on("message", onMessage).on("error", onError).on("exit", onExit);
        fill();
      });
    }
    async function lane(): Promise<void> {
      while (!halted() && (again.length > 0 || next < tasks.length)) {
        await employ(idle.pop() ?? hire());
      }
    }
    const stop = () => void close();
    signal.addEventListener("abort", stop);
    try {
      await Promise.all(Array.from({ length: lanes }, lane));
    } finally {
      signal.removeEventListener("abort", stop);
    }
    if (halted()) {
      await close();
      throw failures.length > 0 ? failures[0] : signal.reason;
    }
    return outcomes;
  }

  function prepare(): void {
    if (living.size === 0) idle.push(hire());
  }

  return { prepare, run, close };
}
