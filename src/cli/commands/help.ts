import type { Command } from "commander";

export function helpCommand(root: Command): void {
  root
    .command("help")
    .description("Prints the help of one command, or this program's when none is named.")
    .summary("print a command's help, with an example")
    .argument("[command]", "the command")
    .action((name?: string) => {
      const wanted = name === undefined ? root : root.commands.find((command) => command.name() === name);
      if (!wanted) {
        const known = root.commands.map((command) => command.name()).join(", ");
        root.error(`there is no command "${name}"; the commands are ${known}`);
      }
      wanted.help();
    });
}
