import { Worker } from "node:worker_threads";
import { collectAlone } from "./engineSettings.ts";

/** The file that a worker thread runs, which the build puts beside the program's. */
export const workerUrl = (programUrl: string): string => new URL("worker.js", programUrl).href;

/** Starts a worker thread of the program that runs: it solves what it is sent. */
export function solverThread(programUrl: string): Worker {
  collectAlone();
  return new Worker(new URL(workerUrl(programUrl)));
}
