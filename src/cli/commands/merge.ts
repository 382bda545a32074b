import type { Command } from "commander";
import type { Setting } from "../setting.ts";

export interface MergeOptions {
  readonly compare?: readonly string[];
  readonly maps: boolean;
  readonly intoExisting?: true;
  readonly quiet?: true;
}

export function mergeCommand(root: Command, { programUrl, ended }: Setting): void {
  root
    .command("merge")
    .summary("join the results folders of a run's shares into one")
    .description(
      "Joins the folders that notchwright run --part i/n wrote into the one that the whole run would have written: results, " +
        "summary, maps on one scale, comparison, page. Refused when a share is missing or given twice, or when shares come " +
        "of different part files, options or programs. The shares are left as they are.",
    )
    .argument("<out>", "folder to write into; made if it is not there")
    .argument("<share...>", "results folder of every share")
    .option("--compare <names...>", "variants for the sheet (default: the sharpest root beside the best)")
    .option("--no-maps", "numbers only, no maps and no sheet")
    .option("--into-existing", "allow a folder that holds other people's files (they are left alone)")
    .option("--quiet", "print the tables and faults only")
    .addHelpText(
      "after",
      `
Example, two shares on one machine:
  notchwright run hub.yaml --part 1/2 --out share1 --no-maps
  notchwright run hub.yaml --part 2/2 --out share2 --no-maps
  notchwright merge out/hub share1 share2

Exit code: 0 joined, 1 joined but some variant was not solved, 2 refused (nothing written).`,
    )
    .action(async (target: string, shares: string[], options: MergeOptions) => {
      const { mergeShares } = await import("../mergeShares.ts");
      ended(await mergeShares(target, shares, options, programUrl));
    });
}
