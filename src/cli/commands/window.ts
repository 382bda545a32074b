import type { Command } from "commander";
import type { AskOptions } from "../askedVariants.ts";
import type { Setting } from "../setting.ts";

export interface WindowOptions extends AskOptions {
  readonly only?: readonly string[];
  readonly out?: string;
  readonly intoExisting?: true;
  readonly json?: string;
}

export function windowCommand(root: Command, { programUrl, ended }: Setting): void {
  root
    .command("window")
    .summary("which hardness to order: capacity against hardness, from the softest to the hardest")
    .description(
      "Solves each variant once and works out, over every hardness there are data for, what breaks first and at which torque; " +
        "prints the hardness that stands the required torque at the low end of every band, less the heat treater's tolerance, or that " +
        "there is none and what to change first. With --out the same is drawn as a chart, every mode a line with its band.",
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .option("--only <names...>", "these variants only")
    .option(
      "--out <folder>",
      "also write hardness/<variant>.svg into this folder; a run's own folder will do",
    )
    .option("--into-existing", "allow a folder that holds other people's files (they are left alone)")
    .option("--json <file>", 'also write everything to a JSON file; "-" prints it instead of the words')
    .option("--accuracy <share>", "wanted error of the root stress, say 1%, instead of the part file's")
    .option("--most-unknowns <count>", "refuse a variant that needs a larger model than this")
    .addHelpText(
      "after",
      `
Example:
  notchwright window hub.yaml --only V0 V4 --out out/hub

Required torque, margin, shocks and tolerance are those of the part file's "strength" section.
Put part files before --only, which takes every name that follows it.`,
    )
    .action(async (files: string[], options: WindowOptions) => {
      const { windowParts } = await import("../windowParts.ts");
      ended(windowParts(files, options, programUrl));
    });
}
