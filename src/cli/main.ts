import { CommanderError } from "commander";
import { DesignError } from "../design/design.ts";
import { exitCode } from "./exitCode.ts";
import { program, SHORT_HELP } from "./program.ts";
import { err, out, watchStreams } from "./say.ts";
import { sayFault, sayFaults } from "./sayFaults.ts";

/**
 * Runs one command line. Never throws: whatever goes wrong becomes a message and an exit code.
 * @param programUrl the file that runs, on which worker threads are started.
 */
export async function main(words: readonly string[], programUrl: string): Promise<number> {
  watchStreams();
  process.on("uncaughtException", (error) => process.exit(ourFault(error)));
  try {
    if (words.length === 0) {
      out(SHORT_HELP);
      return exitCode.ok;
    }
    if (/\.ya?ml$/i.test(words[0]!)) {
      sayFault(`"${words[0]}" is no command (did you mean notchwright run ${words[0]} --out out?)`);
      return exitCode.input;
    }
    let code: number = exitCode.ok;
    const ended = (given: number) => {
      code = given;
    };
    await program({ programUrl, ended }).parseAsync(words, { from: "user" });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCode.ok : exitCode.input;
    if (error instanceof DesignError) return sayFaults(error.faults);
    return ourFault(error);
  }
}

/** A broken promise of the program itself: one line, and the trace only for whoever asks for it. */
function ourFault(error: unknown): number {
  const text = error instanceof Error ? error.message : String(error);
  sayFault(`this is a fault in notchwright, not in your part file: ${text.split("\n")[0]}`);
  err("Please report it with the part file and the command you gave; NOTCHWRIGHT_TRACE=1 prints more.");
  if (process.env["NOTCHWRIGHT_TRACE"] && error instanceof Error) err(error.stack);
  return exitCode.ours;
}
