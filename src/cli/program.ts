import { Command } from "commander";
import { checkCommand } from "./commands/check.ts";
import { handCommand } from "./commands/hand.ts";
import { helpCommand } from "./commands/help.ts";
import { listCommand } from "./commands/list.ts";
import { mergeCommand } from "./commands/merge.ts";
import { needCommand } from "./commands/need.ts";
import { releaseCommand } from "./commands/release.ts";
import { runCommand } from "./commands/run.ts";
import { schemaCommand } from "./commands/schema.ts";
import { splitCommand } from "./commands/split.ts";
import { startCommand } from "./commands/start.ts";
import { verifyCommand } from "./commands/verify.ts";
import { windowCommand } from "./commands/window.ts";
import { sayFault } from "./sayFaults.ts";
import type { Setting } from "./setting.ts";
import { version } from "./version.ts";

export function program(setting: Setting): Command {
  const root = new Command("notchwright")
    .description(
      "Root stress of splines and face teeth, by finite elements: one part file with the variants you weigh, " +
        "one command, and a table, maps and a report that tell which root survives the shock.",
    )
    .version(version, "-V, --version", "print the version")
    .helpOption("-h, --help", "print this help; notchwright help <command> prints a command's own")
    .helpCommand(false) // commander's own prints the general help when the command is unknown
    .addHelpText(
      "after",
      `
A first run:
  notchwright start internal-spline --file hub.yaml
  notchwright run hub.yaml --out out/hub

Exit code: 0 all solved, 1 some variant could not be solved, 2 input wrong (nothing written), 130 stopped.`,
    );
  for (const add of [
    runCommand,
    checkCommand,
    listCommand,
    startCommand,
    schemaCommand,
    verifyCommand,
    handCommand,
    mergeCommand,
    releaseCommand,
    windowCommand,
    splitCommand,
    needCommand,
    helpCommand,
  ]) {
    add(root, setting);
  }
  for (const command of [root, ...root.commands]) {
    command
      .exitOverride()
      .showSuggestionAfterError()
      .configureOutput({
        writeErr: (text) => process.stderr.write(text),
        outputError: (text, write) => {
          sayFault(plainWords(text) + takenFile(command));
          write(`Help: notchwright ${command === root ? "" : `${command.name()} `}--help\n`);
        },
      });
    if (command !== root) command.helpOption("-h, --help", "print this help");
  }
  return root;
}

/** Options that take several names take a file that stands behind them too. */
function takenFile(command: Command): string {
  const taken = Object.entries(command.opts()).find(
    ([, value]) => Array.isArray(value) && value.some((word) => /\.ya?ml$/i.test(word)),
  );
  return taken ? ` (--${taken[0]} took the file for a name: put the file before it)` : "";
}

/** "error: unknown option '--ot'\n(Did you mean --out?)" in one line. */
function plainWords(text: string): string {
  return text
    .trim()
    .replace(/^error: /, "")
    .replace(/\n\(Did you mean (.*)\?\)$/s, " (did you mean $1?)")
    .replaceAll("\n", " ");
}

export const SHORT_HELP = `notchwright: root stress of splines and face teeth

  notchwright start internal-spline --file hub.yaml   write a part file to begin with
  notchwright check hub.yaml                          look it over without solving
  notchwright run hub.yaml --out out/hub              solve every variant, write maps and report

More: notchwright --help, notchwright help run`;
