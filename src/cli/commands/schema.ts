import type { Command } from "commander";
import { out } from "../say.ts";
import type { Setting } from "../setting.ts";

export function schemaCommand(root: Command, { ended }: Setting): void {
  root
    .command("schema")
    .summary("print the JSON Schema of part files, for editors")
    .description(
      "Prints the JSON Schema of part files. An editor that knows it completes keys and marks slips as you type.",
    )
    .addHelpText("after", "\nExample:\n  notchwright schema > part-file.schema.json")
    .action(async () => {
      const { partFileSchema } = await import("../../design/index.ts");
      out(JSON.stringify(partFileSchema(), null, 2));
      ended(0);
    });
}
