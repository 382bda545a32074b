import { type Fault, faultLine } from "../design/design.ts";
import { exitCode } from "./exitCode.ts";
import { err, paint } from "./say.ts";

/** A file with a hundred variants that share one mistake should not scroll the first lines away. */
const MOST = 40;

/** One line on stderr, marked as a fault. */
export function sayFault(text: string): void {
  err(`${paint(process.stderr, "red", "notchwright:")} ${text}`);
}

/** Prints every fault on a line of its own, equal ones once, and what came of them. @returns the exit code that goes with them. */
export function sayFaults(faults: readonly Fault[], outcome = "nothing was solved or written"): number {
  const lines = [...new Set(asWritten(faults).map(faultLine))];
  for (const line of lines.slice(0, MOST)) sayFault(line);
  if (lines.length > MOST) err(`… and ${lines.length - MOST} more`);
  if (lines.length > 1) err(`${lines.length} faults; ${outcome}.`);
  return exitCode.input;
}

/** File by file, top to bottom; what has no place in a file comes first. */
function asWritten(faults: readonly Fault[]): Fault[] {
  const files = [...new Set(faults.map((fault) => fault.place?.file ?? ""))];
  return files
    .map((file) => faults.filter((fault) => (fault.place?.file ?? "") === file))
    .flatMap((own) => own.sort((a, b) => position(a) - position(b)));
}

function position({ place }: Fault): number {
  return place ? place.line * 1e4 + Math.min(place.column, 9999) : 0;
}
