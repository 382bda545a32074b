import type { Command } from "commander";
import type { Setting } from "../setting.ts";

export function checkCommand(root: Command, { ended }: Setting): void {
  root
    .command("check")
    .summary("look a part file over without solving: what fits, what was taken by default")
    .description(
      "Checks the geometry, load and steel of every variant without solving: the largest fillet that fits at each " +
        "root, the values taken by default, the strength band of the steel, and the size of the model to expect.",
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .addHelpText("after", "\nExample:\n  notchwright check hub.yaml")
    .action(async (files: string[]) => {
      const { checkParts } = await import("../checkParts.ts");
      ended(checkParts(files));
    });
}
