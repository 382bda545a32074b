import type { Command } from "commander";
import type { AskOptions } from "../askedVariants.ts";
import type { Setting } from "../setting.ts";

export interface NeedOptions extends AskOptions {
  readonly margin?: string;
  readonly gain?: string;
  readonly json?: string;
}

export function needCommand(root: Command, { programUrl, ended }: Setting): void {
  root
    .command("need")
    .summary(
      "what it takes: root radius, hardness and torque for a margin, and where more radius stops paying",
    )
    .description(
      "Asks the other way round, solving as it searches: the smallest root radius that gives the margin at the low end of every band, " +
        "the largest torque that leaves it, the hardness that gives it, and the root radius beyond which each further 0.1 mm buys less " +
        "torque than stated. Each answer is solved again as proof, and the proof is printed.",
    )
    .argument("<part.yaml>", 'part file; "-" reads standard input')
    .argument("<variant...>", "names of the variants to ask of")
    .option("--margin <factor>", "margin over the required torque, instead of the part file's")
    .option(
      "--gain <torque>",
      'what 0.1 mm of root radius must buy, say "20 N m" (default: 1 % of the required torque)',
    )
    .option("--json <file>", 'also write everything to a JSON file; "-" prints it instead of the words')
    .option("--accuracy <share>", "wanted error of the root stress, say 1%, instead of the part file's")
    .option("--most-unknowns <count>", "refuse a variant that needs a larger model than this")
    .addHelpText("after", '\nExample:\n  notchwright need hub.yaml V0 --margin 1.5 --gain "20 N m"')
    .action(async (file: string, names: string[], options: NeedOptions) => {
      const { needAnswers } = await import("../needAnswers.ts");
      ended(needAnswers(file, names, options, programUrl));
    });
}
