import { existsSync, readFileSync, renameSync, statSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import type { Fault } from "../design/index.ts";
import type { FormulaCard } from "../handbook/index.ts";
import type { SolvedSheet } from "./handSheetBlock.ts";
import { version } from "./programStamp.ts";

const FORMAT = "notchwright hand checks";

/** The sheets as JSON text: every number at full precision, mm, N, MPa, N·mm and radians. */
export function handJson(
  files: readonly string[],
  sheets: readonly SolvedSheet[],
  formulas: readonly FormulaCard[],
): string {
  const document = {
    format: FORMAT,
    version: 1,
    program: version,
    units: { length: "mm", force: "N", stress: "MPa", torque: "N·mm", angle: "rad" },
    files,
    formulas,
    sheets: sheets.map(({ members, results, sheet }) => {
      const { root } = results[0]!;
      return {
        part: members[0]!.design.part,
        variants: members.map(({ design }) => design.variant),
        computed: {
          peakUnbounded: root.sharp,
          peakPrincipal: root.sharp ? null : root.peakPrincipal,
          errorEstimate: root.errorEstimate,
          average: root.average,
          nominal: root.nominal,
          kt: root.sharp ? null : root.kt,
          contactPressure: root.contactPressure,
        },
        ...sheet,
      };
    }),
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** What keeps a file from being written; null when nothing does. Only a file of the same kind is ever replaced. */
export function jsonTargetFault(file: string): Fault | null {
  if (file === "-") return null;
  const fault = (problem: string, remedy: string): Fault => ({ key: "--json", problem, remedy });
  if (file === "") return fault("names no file", 'name one, or "-" to print');
  try {
    if (!statSync(dirname(file)).isDirectory())
      return fault(`"${dirname(file)}" is no folder`, "name a file in a folder");
    if (!existsSync(file)) return null;
    const found: unknown = JSON.parse(readFileSync(file, "utf8"));
    if ((found as { format?: unknown } | null)?.format === FORMAT) return null;
  } catch (error) {
    if (!(error instanceof SyntaxError))
      return fault(
        `cannot write "${file}": ${(error as Error).message}`,
        "name a file in a folder that is there",
      );
  }
  return fault(`"${file}" is there already and holds something else`, "choose another name");
}

/** Written beside and renamed, so that the file appears whole or not at all. */
export function writeHandJson(file: string, text: string): void {
  const part = `${file}.${process.pid}.part`;
  writeFileSync(part, text);
  renameSync(part, file);
}
