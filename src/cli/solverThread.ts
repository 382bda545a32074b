import { setFlagsFromString } from "node:v8";
import { Worker } from "node:worker_threads";

/**
 * How the engine collects garbage while variants are solved. With as many workers as cores none is idle for the
 * collector's own threads: a worker clears its young objects and releases its array buffers itself, and its heap may
 * grow fourfold before it is marked. What that saves stands in docs/performance.md. The engine reads all three anew at
 * each collection, so that they may be set in a running program; concurrent marking may not be switched off in one.
 */
const COLLECTOR = [
  "--no-parallel-scavenge",
  "--no-concurrent-array-buffer-sweeping",
  "--heap-growing-percent=300",
];
/** Engine (of Node 20) these were tried with. Another might not know them, and would say so to the user. */
const TRIED = /^11\./;

/** The file that a worker thread runs, which the build puts beside the program's. */
export const workerUrl = (programUrl: string): string => new URL("worker.js", programUrl).href;

/** Starts a worker thread of the program that runs: it solves what it is sent. */
export function solverThread(programUrl: string): Worker {
  if (TRIED.test(process.versions.v8)) for (const flag of COLLECTOR) setFlagsFromString(flag);
  return new Worker(new URL(workerUrl(programUrl)));
}
