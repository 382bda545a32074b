import type { Command } from "commander";
import type { Setting } from "../setting.ts";

/** The options of `run` as commander hands them over; the words are read by `runSettings`. */
export interface RunOptions {
  /** Checked with everything else, so that a slip in another option is told too. */
  readonly out?: string;
  readonly only?: readonly string[];
  readonly compare?: readonly string[];
  readonly accuracy?: string;
  readonly workers?: string;
  readonly part?: string;
  readonly mostUnknowns?: string;
  readonly quiet?: true;
  readonly fresh?: true;
  readonly maps: boolean;
  readonly intoExisting?: true;
}

export function runCommand(root: Command, { programUrl, ended }: Setting): void {
  root
    .command("run")
    .summary("solve every variant and write table, maps and report")
    .description(
      "Solves every variant of the part files and writes results.json, summary.csv, a stress map for each variant, " +
        "a sheet with variants side by side, and index.html. Everything is checked before anything is solved. " +
        "A run that was stopped goes on where it was; variants that did not change are kept from before.",
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .option("--out <folder>", "folder to write into (required); made if it is not there")
    .option("--only <names...>", "solve these variants only")
    .option("--compare <names...>", "variants for the sheet (default: the sharpest root beside the best)")
    .option("--accuracy <share>", "wanted error of the root stress, say 1%, instead of the part file's")
    .option("--workers <count>", "variants solved at the same time (default: one a core, as memory allows)")
    .option("--part <i/n>", "solve the i-th of n shares of the variants; notchwright merge joins the folders")
    .option("--most-unknowns <count>", "refuse a variant that needs a larger model than this")
    .option("--no-maps", "numbers only, no maps and no sheet")
    .option("--fresh", "solve everything again, keep nothing from before")
    .option("--into-existing", "allow a folder that holds other people's files (they are left alone)")
    .option("--quiet", "print the tables and faults only")
    .addHelpText(
      "after",
      `
Examples:
  notchwright run hub.yaml --out out/hub
  notchwright run hub.yaml --out out/hub --only "V0 as broken" "V2 fillet" --accuracy 0.5%

Put part files before --only and --compare, which take every name that follows them.`,
    )
    .action(async (files: string[], options: RunOptions) => {
      const { runParts } = await import("../runParts.ts");
      ended(await runParts(files, options, programUrl));
    });
}
