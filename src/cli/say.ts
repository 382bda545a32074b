import { exitCode } from "./exitCode.ts";
import { reason } from "./fileFaults.ts";

/**
 * The two streams. Results go to stdout, faults and progress to stderr, so that `> table.txt` keeps the table and
 * the eye keeps the faults. A reader that goes away early (`| head`) is no fault: a run goes on and writes its files.
 */
export function out(text = ""): void {
  process.stdout.write(`${text}\n`);
}

export function err(text = ""): void {
  process.stderr.write(`${text}\n`);
}

/**
 * Called once at the start: without it a closed pipe ends the program with a stack trace. What else keeps the two streams from taking
 * what is printed (a full disk behind `> table.txt`) is told once and makes the exit code 1; files are written all the same.
 */
export function watchStreams(): void {
  let lost = false;
  for (const stream of [process.stdout, process.stderr]) {
    stream.on("error", (error: NodeJS.ErrnoException) => {
      if (error.code === "EPIPE" || error.code === "ERR_STREAM_DESTROYED" || lost) return;
      lost = true;
      if (stream === process.stdout) err(`notchwright: what it prints cannot be written: ${reason(error)}`);
    });
  }
  process.on("exit", (code) => {
    if (lost && code === exitCode.ok) process.exitCode = exitCode.numerics;
  });
}

/** Columns to fit tables into: the terminal's, within reason (some say 0), else 100. */
export function outWidth(): number {
  return Math.max(60, process.stdout.columns || 100);
}

type Stream = { readonly isTTY?: boolean };
type Environment = Readonly<Record<string, string | undefined>>;

/** Colour only where someone looks at it, and never where NO_COLOR is set (no-color.org). */
export function wantsColour(stream: Stream, environment: Environment = process.env): boolean {
  if (environment["NO_COLOR"]) return false;
  return stream.isTTY === true && environment["TERM"] !== "dumb";
}

/** Colour adds to words and never stands for them: everything reads the same without it. */
export function paint(stream: Stream, style: "bold" | "dim" | "red" | "yellow", text: string): string {
  if (!wantsColour(stream)) return text;
  const [on, off] = { bold: [1, 22], dim: [2, 22], red: [31, 39], yellow: [33, 39] }[style];
  return `\x1b[${on}m${text}\x1b[${off}m`;
}
