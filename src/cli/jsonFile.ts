import { accessSync, constants, readFileSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { DesignError, type Fault } from "../design/index.ts";
import { reason } from "./fileFaults.ts";
import { printable } from "./printable.ts";
import { version } from "./version.ts";

const UNITS = { length: "mm", force: "N", stress: "MPa", torque: "N·mm", angle: "rad" };

/** What a command has to say as JSON text: every number at full precision, mm, N, MPa, N·mm and radians; one that is not finite is null. */
export function jsonDocument(format: string, files: readonly string[], body: object): string {
  const document = { format, version: 1, program: version, units: UNITS, files, ...body };
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** What keeps a file from being written; null when nothing does. Only a file of the same kind is ever replaced. */
export function jsonTargetFault(file: string, format: string): Fault | null {
  if (file === "-") return null;
  const fault = (problem: string, remedy: string): Fault => ({ key: "--json", problem, remedy });
  if (file === "") return fault("names no file", 'name one, or "-" to print');
  const shown = printable(file, 200);
  try {
    if (!statSync(dirname(file), { throwIfNoEntry: false })?.isDirectory())
      return fault(
        `"${printable(dirname(file), 200)}" is no folder`,
        "name a file in a folder that is there",
      );
    accessSync(dirname(file), constants.W_OK | constants.X_OK);
    const there = statSync(file, { throwIfNoEntry: false });
    if (!there) return null;
    if (there.isDirectory()) return fault(`"${shown}" is a folder`, "name a file in it");
    // a device may never come to its end
    if (!there.isFile()) return fault(`"${shown}" is no plain file`, 'name another, or "-" to print');
    const found: unknown = JSON.parse(readFileSync(file, "utf8"));
    if ((found as { format?: unknown } | null)?.format === format) return null;
  } catch (error) {
    if (!(error instanceof SyntaxError))
      return fault(
        `cannot write "${shown}" (${reason(error)})`,
        "name a file in a folder that you may write to",
      );
  }
  return fault(`"${shown}" is there already and holds something else`, "choose another name");
}

/** Written beside and renamed, so that the file appears whole or not at all. @throws DesignError when the disk refuses. */
export function writeJson(file: string, text: string): void {
  const part = `${file}.${process.pid}.part`;
  try {
    writeFileSync(part, text);
    renameSync(part, file);
  } catch (error) {
    rmSync(part, { force: true });
    throw new DesignError([
      {
        key: "--json",
        problem: `cannot write "${printable(file, 200)}" (${reason(error)})`,
        remedy: "name a file in a folder that you may write to, with room left on the disk",
      },
    ]);
  }
}
