import { DesignError } from "../design/index.ts";
import { exitCode } from "./exitCode.ts";
import { type OutputFolder, writeOutputs } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { err, out } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";

/**
 * Writes the charts of a command into its folder and tells it; `owns` names those of earlier calls that go. All that the asker could do
 * wrong was looked at before, so a disk that refuses now is no wrong input. @returns the exit code.
 */
export function writeCharts(
  folder: OutputFolder,
  charts: ReadonlyMap<string, { readonly text: string }>,
  owns: (name: string) => boolean,
  shown: boolean,
): number {
  try {
    const { movedAside } = writeOutputs(folder, charts, owns);
    for (const [from, to] of movedAside)
      err(`"${printable(from)}" had been edited; the edited file is now "${printable(to)}"`);
  } catch (error) {
    if (!(error instanceof DesignError)) throw error;
    sayFaults(error.faults);
    return exitCode.numerics;
  }
  if (shown && charts.size > 0)
    out(`\nWritten to ${printable(folder.shown, 200)}: ${[...charts.keys()].join(", ")}`);
  return exitCode.ok;
}
