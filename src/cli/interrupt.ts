import { exitCode } from "./exitCode.ts";

/** Why a run was stopped from outside, and the exit code that says so. */
export class Interrupted extends Error {
  override readonly name = "Interrupted";
  readonly code: number;
  constructor(code: number) {
    super("stopped");
    this.code = code;
  }
}

/**
 * A signal that is raised by Ctrl-C (or a polite kill). Asked a second time the program ends at once: whatever
 * was stored is whole: files appear by rename, and a stored variant that is cut off is not read.
 */
export function interruptSignal(): { readonly signal: AbortSignal; release(): void } {
  const controller = new AbortController();
  const ask = (code: number) => () => {
    if (controller.signal.aborted) process.exit(code);
    controller.abort(new Interrupted(code));
  };
  const onInterrupt = ask(exitCode.interrupted);
  const onTerminate = ask(exitCode.terminated);
  process.on("SIGINT", onInterrupt).on("SIGTERM", onTerminate);
  return {
    signal: controller.signal,
    release: () => void process.off("SIGINT", onInterrupt).off("SIGTERM", onTerminate),
  };
}
