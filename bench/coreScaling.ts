import { once } from "node:events";
import { Worker } from "node:worker_threads";
import type { CommandRow } from "./commandRows.ts";
import { spreadOf } from "./statistics.ts";

/** What a thread runs: it adds to an array of so many megabytes, again and again, and answers with the seconds that took. */
const LOOP = `
const { parentPort, workerData } = require("node:worker_threads");
const values = new Float64Array(workerData.megabytes * 131072);
function pass() { for (let i = 0; i < values.length; i++) values[i] += 1.5; }
for (let k = 0; k < 20; k++) pass();
parentPort.on("message", () => {
  const from = performance.now();
  for (let k = workerData.additions; k > 0; k -= values.length) pass();
  parentPort.postMessage((performance.now() - from) / 1000);
});
parentPort.postMessage(0);
`;
const ADDITIONS = 6e8;

/**
 * What two threads do in the time of one on this machine where nothing but memory is shared: loops over arrays that stay in a core's
 * own cache, and over larger ones. No batch does better than the machine.
 */
export async function coreRow(megabytes: number, rounds: number): Promise<CommandRow> {
  const workerData = { megabytes, additions: ADDITIONS };
  const threads = [0, 1].map(() => new Worker(LOOP, { eval: true, workerData }));
  const answer = async (thread: Worker): Promise<number> => (await once(thread, "message"))[0];
  const go = (some: readonly Worker[]) =>
    Promise.all(
      some.map((thread) => {
        const seconds = answer(thread);
        thread.postMessage("go");
        return seconds;
      }),
    );
  try {
    await Promise.all(threads.map(answer));
    const one: number[] = [];
    const two: number[] = [];
    for (let r = 0; r < rounds; r++) {
      one.push(...(await go(threads.slice(0, 1))));
      two.push(Math.max(...(await go(threads))));
    }
    return {
      name: `plain loop over ${megabytes} MB`,
      seconds: { "1 thread": spreadOf(one), "2 threads": spreadOf(two) },
      twoOverOne: spreadOf(one.map((seconds, r) => (2 * seconds) / two[r])),
    };
  } finally {
    await Promise.all(threads.map((thread) => thread.terminate()));
  }
}
