import { answerDesign } from "../answer/index.ts";
import { FORMULA_CARDS, handChecks } from "../handbook/index.ts";
import { addTo, cautionsBlock } from "../report/index.ts";
import { askedVariants } from "./askedVariants.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import type { HandOptions } from "./commands/hand.ts";
import { designKey, redress, type SolveOptions } from "./designKey.ts";
import { eachSolved } from "./eachSolved.ts";
import { endWithJson } from "./endWithJson.ts";
import { HAND_FORMAT, handJson } from "./handJson.ts";
import { formulasBlock, type SolvedSheet, sheetBlock } from "./handSheetBlock.ts";
import { jsonTargetFault } from "./jsonFile.ts";
import { memoryShare } from "./runSettings.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { sharedNotices } from "./sharedNotices.ts";
import { wrapWords } from "./wrapWords.ts";

/** No wider than this, so that a sheet can be pasted into a report. */
const WIDEST = 100;

/** What the sheets are not; printed under them. */
const NO_JUDGE =
  "Hand formulas are a check of size for the eye. None of them judges the computed stress, and agreement with one, above all " +
  "outside the range it was made for, proves nothing; what the engine is held to stands in notchwright verify.";

/** The `hand` command. @returns the exit code. */
export function handParts(files: readonly string[], options: HandOptions): number {
  const { variants, solve, faults } = askedVariants(files, options.only, "--only", options, false);
  const target = options.json === undefined ? null : jsonTargetFault(options.json, HAND_FORMAT);
  if (target) faults.push(target);
  if (faults.length > 0) return sayFaults(faults);
  const toJson = options.json === "-";
  const width = Math.min(WIDEST, outWidth());
  const mostBytes = memoryShare(1);
  const sheets: SolvedSheet[] = [];
  const { code, done } = eachSolved(
    alike(variants, solve),
    (members) => members,
    (members) => {
      // one load case at a time: nothing here is asked of over-running
      const { overRun: _overRun, ...alone } = members[0]!.design;
      const { result, profile } = answerDesign(alone, { ...solve, mostBytes });
      const own = members.map(({ design }) => redress(result, design));
      const sheet = { members, results: own, sheet: handChecks(result, profile) };
      sheets.push(sheet);
      if (toJson) return;
      out(`${sheetBlock(sheet, width).join("\n")}\n`);
      const odd = sharedNotices(members.map(({ design }) => design));
      for (const text of odd) out(`${wrapWords("  - ", text, width).join("\n")}\n`);
    },
  );
  if (done === 0) {
    err("No variant was solved; there is nothing to put beside the formulas.");
    return code;
  }
  const used = new Set(sheets.flatMap(({ sheet }) => sheet.checks.map(({ id }) => id)));
  const cards = FORMULA_CARDS.filter(({ id }) => used.has(id));
  if (!toJson) {
    out(`${formulasBlock(cards, width).join("\n")}\n`);
    out(`${wrapWords("", NO_JUDGE, width).join("\n")}\n`);
    out(cautionsBlock(width));
  }
  if (options.json !== undefined) endWithJson(options.json, handJson(files, sheets, cards));
  return code;
}

/** Variants of one file with the same root and load, which one sheet serves: steel, names and notes change no stress. */
function alike(variants: readonly CheckedVariant[], solve: SolveOptions): CheckedVariant[][] {
  const groups = new Map<string, CheckedVariant[]>();
  for (const variant of variants) {
    const key = `${variant.file}\n${designKey(variant.design, solve, "")}`;
    addTo(groups, key, variant);
  }
  return [...groups.values()];
}
