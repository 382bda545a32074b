import { writeJson } from "./jsonFile.ts";
import { printable } from "./printable.ts";
import { out } from "./say.ts";

/** Ends a command with what `--json` asks for: the text printed for "-", else written to that file, which is then named. */
export function endWithJson(target: string, text: string): void {
  if (target === "-") {
    process.stdout.write(text);
    return;
  }
  writeJson(target, text);
  out(`\nWritten to ${printable(target, 200)}`);
}
