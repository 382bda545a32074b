import type { Command } from "commander";
import type { Setting } from "../setting.ts";

export function startCommand(root: Command, { ended }: Setting): void {
  root
    .command("start")
    .summary("write a part file to begin with")
    .description(
      "Writes a part file that runs as it is, with a comment on every line worth changing. " +
        "Kinds: internal-spline (the default), external-spline, face-tooth.",
    )
    .argument("[kind]", "what the part carries", "internal-spline")
    .option("--file <name>", 'file to write; "-" prints it instead (default: the kind, with .yaml)')
    .addHelpText("after", "\nExample:\n  notchwright start face-tooth --file ring.yaml")
    .action(async (kind: string, options: { file?: string }) => {
      const { writeStarter } = await import("../writeStarter.ts");
      ended(writeStarter(kind, options.file));
    });
}
