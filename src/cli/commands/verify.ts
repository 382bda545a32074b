import type { Command } from "commander";
import type { Setting } from "../setting.ts";
import type { VerifyOptions } from "../verify.ts";

export function verifyCommand(root: Command, { ended }: Setting): void {
  root
    .command("verify")
    .summary("solve published cases and compare: does the engine give the known answers?")
    .description(
      "Solves published cases (exact solutions, benchmarks, handbook charts, tooth roots, cracks) with the engine that " +
        "solves your parts, and prints expected and computed values, the difference, and what is allowed and why.\n" +
        "Exit code 0 when every case is inside its own tolerance, 1 when any is not.",
    )
    .option("--only <case...>", 'only these: a case ("lame/1"), a group ("lame") or a family ("rings")')
    .option(
      "--write",
      "also write docs/verification.md and its pictures under the current folder; needs the whole suite",
    )
    .option(
      "--reliability",
      "put the error estimate to the proof instead: 112 designs at 1 % against solutions ten times more exact",
    )
    .option("--spoil <case>", "expect wrong values of one case, to see that the comparison would notice")
    .addHelpText("after", "\nExample:\n  notchwright verify --only lame kirsch")
    .action(async (options: VerifyOptions & { reliability?: boolean }) => {
      const { verify, verifyEstimate } = await import("../verify.ts");
      ended(options.reliability ? verifyEstimate(options) : verify(options));
    });
}
