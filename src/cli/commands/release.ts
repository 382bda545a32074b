import type { Command } from "commander";
import type { Setting } from "../setting.ts";

export interface ReleaseOptions {
  readonly only?: readonly string[];
  readonly out?: string;
  readonly intoExisting?: true;
  readonly json?: string;
}

export function releaseCommand(root: Command, { ended }: Setting): void {
  root
    .command("release")
    .summary("does it let go in over-running, from which ramp on, and when do the pins shear; no solving")
    .description(
      "Statics of the ramps, at once: for each variant with an over-run section the torque at which the ring clicks over, over the band " +
        "of friction; whether it lets go over the whole band; the least ramp that does; the torque at which the pins shear, and what gives " +
        "first of the two. With --out the same is drawn as a chart of click-over torque against ramp angle.",
    )
    .argument("<part.yaml...>", 'part files; "-" reads standard input')
    .option("--only <names...>", "these variants only")
    .option("--out <folder>", "also write release/<variant>.svg into this folder; a run's own folder will do")
    .option("--into-existing", "allow a folder that holds other people's files (they are left alone)")
    .option("--json <file>", 'also write everything to a JSON file; "-" prints it instead of the tables')
    .addHelpText(
      "after",
      `
Example:
  notchwright release hub.yaml --out out/hub

Ramp, springs, friction and pins are those of the part file's "over-run" and "pins" sections. The root is not counted here:
notchwright run solves it and sets it beside the pins. Put part files before --only, which takes every name that follows it.`,
    )
    .action(async (files: string[], options: ReleaseOptions) => {
      const { releaseParts } = await import("../releaseParts.ts");
      ended(releaseParts(files, options));
    });
}
