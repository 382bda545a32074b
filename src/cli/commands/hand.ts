import type { Command } from "commander";
import type { Setting } from "../setting.ts";

/** The options of `hand` as commander hands them over. */
export interface HandOptions {
  readonly only?: readonly string[];
  readonly accuracy?: string;
  readonly mostUnknowns?: string;
  readonly json?: string;
}

export function handCommand(root: Command, { ended }: Setting): void {
  root
    .command("hand")
    .summary("hand formulas beside the computed root stress, worked out for your own root")
    .description(
      "Solves each variant and prints the hand formulas for its root beside the computed stress and Kt: the nominal section " +
        "with every number it takes, published gear-fillet factors, the nearest notch chart, and the usual spline checks; each with " +
        "its arithmetic, its source, the range it was made for, and in words why it disagrees where it does. It is a check for the " +
        'eye: the formulas judge nothing, "notchwright verify" is what the engine is held to. Explained in docs/hand-checks.md.',
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .option("--only <names...>", "these variants only")
    .option("--accuracy <share>", "wanted error of the root stress, say 1%, instead of the part file's")
    .option("--most-unknowns <count>", "refuse a variant that needs a larger model than this")
    .option("--json <file>", 'also write everything to a JSON file; "-" prints it instead of the sheets')
    .addHelpText(
      "after",
      `
Example:
  notchwright hand hub.yaml --only V2
prints, among others, for a bore spline with 17 teeth:
  short beam      6 × 8545 × 1.700 / (16.00 × 6.051²) = 149 MPa
and beside it the computed peak, here 591 MPa: Kt is 3.97, and the sheet says where the rest comes from.

Put part files before --only, which takes every name that follows it.`,
    )
    .action(async (files: string[], options: HandOptions) => {
      const { handParts } = await import("../handParts.ts");
      ended(handParts(files, options));
    });
}
