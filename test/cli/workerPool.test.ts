import { Worker } from "node:worker_threads";
import { describe, expect, test } from "vitest";
import { workerPool } from "../../src/cli/workerPool.ts";

/** Answers n with 2 n; dies of -1 always, and of -2 in the first worker only. */
const program = `
  const { parentPort, workerData } = require("node:worker_threads");
  parentPort.on("message", (n) => {
    if (n === -1 || (n === -2 && workerData === 1)) throw new Error("of " + n);
    parentPort.postMessage(2 * n);
  });
`;

function pool(size: number) {
  let started = 0;
  return workerPool<number, number>(() => new Worker(program, { eval: true, workerData: ++started }), size);
}

describe("workerPool", () => {
  const calm = new AbortController().signal;

  test.each([1, 2, 3])(
    "with %i workers answers stand in the order of the tasks, each ended once",
    async (size) => {
      const tasks = Array.from({ length: 200 }, (_, k) => k);
      const ended: number[] = [];
      const started: number[] = [];
      const workers = pool(size);
      workers.prepare();
      const hooks = { onStart: (k: number) => started.push(k), onEnd: (k: number) => ended.push(k) };
      const outcomes = await workers.run(tasks, hooks, calm);
      await workers.close();
      expect(outcomes).toEqual(tasks.map((n) => ({ value: 2 * n })));
      expect([...ended].sort((a, b) => a - b)).toEqual(tasks);
      expect([...started].sort((a, b) => a - b)).toEqual(tasks);
    },
  );

  test("one that dies takes none of the others with it, waiting behind it or not", async () => {
    const tasks = Array.from({ length: 60 }, (_, k) => (k === 7 ? -1 : k === 30 ? -2 : k));
    const retried: number[] = [];
    const workers = pool(2);
    const outcomes = await workers.run(tasks, { onRetry: (k) => retried.push(k) }, calm);
    await workers.close();
    expect(outcomes[7]).toEqual({ crash: "its worker died: of -1" });
    expect(retried).toContain(7);
    for (const [k, outcome] of outcomes.entries())
      if (k !== 7) expect(outcome).toEqual({ value: 2 * tasks[k]! });
  });

  test("a hook that throws ends the run with what it threw", async () => {
    const workers = pool(2);
    const onEnd = () => {
      throw new Error("no room");
    };
    await expect(workers.run([1, 2, 3], { onEnd }, calm)).rejects.toThrow("no room");
    await workers.close();
    // and no other task is taken up or tried again
    const taken: number[] = [];
    const busy = pool(2);
    const tasks = Array.from({ length: 100 }, (_, k) => k);
    const hooks = { onEnd, onStart: (k: number) => taken.push(k), onRetry: (k: number) => taken.push(k) };
    await expect(busy.run(tasks, hooks, calm)).rejects.toThrow("no room");
    const before = taken.length;
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(taken).toHaveLength(before);
  });

  test("a signal ends it with its reason", async () => {
    const control = new AbortController();
    const workers = pool(2);
    const onEnd = (k: number) => k === 5 && control.abort(new Error("stopped"));
    const tasks = Array.from({ length: 100 }, (_, k) => k);
    await expect(workers.run(tasks, { onEnd }, control.signal)).rejects.toThrow("stopped");
  });
});
