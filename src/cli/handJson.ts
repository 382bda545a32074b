import type { FormulaCard } from "../handbook/index.ts";
import type { SolvedSheet } from "./handSheetBlock.ts";
import { jsonDocument } from "./jsonFile.ts";

export const HAND_FORMAT = "notchwright hand checks";

/** The sheets as JSON text: every number at full precision, mm, N, MPa, N·mm and radians. */
export function handJson(
  files: readonly string[],
  sheets: readonly SolvedSheet[],
  formulas: readonly FormulaCard[],
): string {
  return jsonDocument(HAND_FORMAT, files, {
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
  });
}
