import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Worker } from "node:worker_threads";
import { afterAll, describe, expect, test } from "vitest";
import { type Outcome, workerPool } from "../../src/cli/workerPool.ts";

const folder = mkdtempSync(join(tmpdir(), "notchwright-pool-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Doubles numbers; text makes it die: "always" each time, "once:<file>" only while that file is not there. */
const CODE = `
const { parentPort, threadId } = require("node:worker_threads");
const fs = require("node:fs");
parentPort.on("message", (task) => {
  if (task === "always") process.exit(3);
  if (task === "throw") throw new Error("broken kernel");
  if (typeof task === "string" && task.startsWith("once:")) {
    const file = task.slice(5);
    if (!fs.existsSync(file)) { fs.writeFileSync(file, ""); process.exit(4); }
    return parentPort.postMessage({ value: 1, threadId });
  }
  if (task === "forever") for (;;) {}
  parentPort.postMessage({ value: 2 * task, threadId });
});`;
type Answer = { readonly value: number; readonly threadId: number };
let started = 0;
const pool = (size: number) =>
  workerPool<number | string, Answer>(() => {
    started++;
    return new Worker(CODE, { eval: true });
  }, size);
const never = new AbortController().signal;
const value = (outcome: Outcome<Answer>) => ("value" in outcome ? outcome.value.value : outcome.crash);

describe("workerPool", () => {
  test("returns outcomes in the order of the tasks, and each worker serves many", async () => {
    started = 0;
    const two = pool(2);
    const outcomes = await two.run([1, 2, 3, 4, 5], {}, never);
    expect(outcomes.map(value)).toEqual([2, 4, 6, 8, 10]);
    const more = await two.run([6, 7], {}, never);
    expect(more.map(value)).toEqual([12, 14]);
    await two.close();
    expect(started).toBeLessThanOrEqual(2);
  });

  test("gives a task whose worker died a second chance, on a new worker", async () => {
    const one = pool(1);
    const retried: [number, string][] = [];
    const file = join(folder, "died");
    const outcomes = await one.run(
      [1, `once:${file}`, 3],
      { onRetry: (task, crash) => retried.push([task, crash]) },
      never,
    );
    await one.close();
    expect(existsSync(file)).toBe(true);
    expect(outcomes.map(value)).toEqual([2, 1, 6]);
    expect(retried).toEqual([[1, "its worker stopped with code 4"]]);
  });

  test("ends only the task whose worker died twice, and says how it died", async () => {
    const one = pool(2);
    const outcomes = await one.run(["always", 2, "throw", 4], {}, never);
    await one.close();
    expect(outcomes.map(value)).toEqual([
      "its worker stopped with code 3",
      4,
      "its worker died: broken kernel",
      8,
    ]);
  });

  test("stops at once when the signal is raised, even in the middle of a busy worker", async () => {
    const controller = new AbortController();
    const one = pool(2);
    const done: number[] = [];
    const running = one.run(
      [1, "forever", 3, "forever", 5],
      {
        onEnd: (task) => done.push(task),
        onStart: (task) => {
          if (task === 3) setTimeout(() => controller.abort(new Error("asked to stop")), 20);
        },
      },
      controller.signal,
    );
    await expect(running).rejects.toThrow("asked to stop");
    expect(done.sort()).toEqual([0, 2]);
  });
});
