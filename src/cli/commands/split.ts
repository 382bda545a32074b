import type { Command } from "commander";
import type { AskOptions } from "../askedVariants.ts";
import type { Setting } from "../setting.ts";

export interface SplitOptions extends AskOptions {
  readonly out?: string;
  readonly intoExisting?: true;
  readonly json?: string;
}

export function splitCommand(root: Command, { programUrl, ended }: Setting): void {
  root
    .command("split")
    .summary("what each change between two variants bought in torque")
    .description(
      "Takes two variants that differ in several things (root radius, hardness, face width, teeth sharing …), solves every variant " +
        "between them, and splits what the torque that breaks the part gained: each change's effect averaged over the orders in which " +
        "the changes can be made, alone, and last. Says so where the band of an effect is wider than the effect. Where both have an " +
        "over-run section, the torque at which over-running breaks pins or root is split too, in a table of its own.",
    )
    .argument("<part.yaml>", 'part file; "-" reads standard input')
    .argument("<from>", "name of the variant before")
    .argument("<to>", "name of the variant after")
    .option(
      "--out <folder>",
      "also write changes/<from>-to-<to>.svg (and …-over-run.svg) into this folder; a run's own folder will do",
    )
    .option("--into-existing", "allow a folder that holds other people's files (they are left alone)")
    .option("--json <file>", 'also write everything to a JSON file; "-" prints it instead of the tables')
    .option("--accuracy <share>", "wanted error of the root stress, say 1%, instead of the part file's")
    .option("--most-unknowns <count>", "refuse a variant that needs a larger model than this")
    .addHelpText("after", "\nExample:\n  notchwright split hub.yaml V0 V10 --out out/hub")
    .action(async (file: string, from: string, to: string, options: SplitOptions) => {
      const { splitVariants } = await import("../splitVariants.ts");
      ended(splitVariants(file, from, to, options, programUrl));
    });
}
