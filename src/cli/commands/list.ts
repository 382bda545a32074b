import type { Command } from "commander";
import type { Setting } from "../setting.ts";

export function listCommand(root: Command, { ended }: Setting): void {
  root
    .command("list")
    .summary("print the variants a part file makes, without solving")
    .description(
      "Prints the variants that the part files make, sweeps multiplied out, and how each differs from the base.",
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .addHelpText("after", "\nExample:\n  notchwright list hub.yaml")
    .action(async (files: string[]) => {
      const { listParts } = await import("../listParts.ts");
      ended(listParts(files));
    });
}
