#!/usr/bin/env node
/**
 * The program: the main thread reads the command line, worker threads (started on this same file) solve and draw.
 * Each room is loaded only when a command needs it, so that help is there at once.
 */
import { isMainThread } from "node:worker_threads";

if (isMainThread) {
  const { main } = await import("./main.ts");
  process.exitCode = await main(process.argv.slice(2), import.meta.url);
} else {
  const { serve } = await import("./serve.ts");
  serve();
}
