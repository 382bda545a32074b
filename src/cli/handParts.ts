import { type AnswerOptions, answerDesign, NumericalError, type VariantResult } from "../answer/index.ts";
import { DesignError, type Fault, faultLine } from "../design/index.ts";
import { FORMULA_CARDS, handChecks } from "../handbook/index.ts";
import { addTo, cautionsBlock } from "../report/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import type { HandOptions } from "./commands/hand.ts";
import { designKey, redress } from "./designKey.ts";
import { exitCode } from "./exitCode.ts";
import { HAND_FORMAT, handJson } from "./handJson.ts";
import { formulasBlock, type SolvedSheet, sheetBlock } from "./handSheetBlock.ts";
import { jsonTargetFault, writeJson } from "./jsonFile.ts";
import { printable } from "./printable.ts";
import { readParts } from "./readParts.ts";
import { chosenNames, memoryShare, runSettings } from "./runSettings.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFault, sayFaults } from "./sayFaults.ts";
import { wrapWords } from "./wrapWords.ts";

/** No wider than this, so that a sheet can be pasted into a report. */
const WIDEST = 100;

/** What the sheets are not; printed under them. */
const NO_JUDGE =
  "Hand formulas are a check of size for the eye. None of them judges the computed stress, and agreement with one, above all " +
  "outside the range it was made for, proves nothing; what the engine is held to stands in notchwright verify.";

/** The `hand` command. @returns the exit code. */
export function handParts(files: readonly string[], options: HandOptions): number {
  const { variants, solve, faults } = plan(files, options);
  if (faults.length > 0) return sayFaults(faults);
  const toJson = options.json === "-";
  const width = Math.min(WIDEST, outWidth());
  const mostBytes = memoryShare(1);
  const sheets: SolvedSheet[] = [];
  let code: number = exitCode.ok;
  for (const members of alike(variants, solve)) {
    const first = members[0]!;
    try {
      // one load case at a time: nothing here is asked of over-running
      const { overRun: _overRun, ...alone } = first.design;
      const { result, profile } = answerDesign(alone, { ...solve, mostBytes });
      const own: VariantResult[] = members.map(({ design }) => redress(result, design));
      const sheet = { members, results: own, sheet: handChecks(result, profile) };
      sheets.push(sheet);
      if (!toJson) out(`${sheetBlock(sheet, width).join("\n")}\n`);
    } catch (error) {
      if (!(error instanceof NumericalError || error instanceof DesignError)) throw error;
      const refused = error instanceof DesignError;
      const text = refused ? error.faults.map(faultLine).join("; ") : error.message;
      for (const { label } of members) sayFault(`${label}: ${text}`);
      code = Math.max(code, refused ? exitCode.input : exitCode.numerics);
    }
  }
  if (sheets.length === 0) {
    err("No variant was solved; there is nothing to put beside the formulas.");
    return code;
  }
  const used = new Set(sheets.flatMap(({ sheet }) => sheet.checks.map(({ id }) => id)));
  const cards = FORMULA_CARDS.filter(({ id }) => used.has(id));
  const json = options.json === undefined ? "" : handJson(files, sheets, cards);
  if (toJson) {
    process.stdout.write(json);
    return code;
  }
  out(`${formulasBlock(cards, width).join("\n")}\n`);
  out(`${wrapWords("", NO_JUDGE, width).join("\n")}\n`);
  out(cautionsBlock(width));
  if (options.json !== undefined) {
    writeJson(options.json, json);
    out(`\nWritten to ${printable(options.json, 200)}`);
  }
  return code;
}

/** Everything that can be found wrong before anything is solved. */
function plan(files: readonly string[], options: HandOptions) {
  const { parts, faults } = readParts(files);
  const sound = faults.length === 0;
  const { settings, faults: optionFaults } = runSettings({ ...options, maps: false });
  const { variants: all, faults: geometryFaults } = checkDesigns(parts);
  faults.push(...optionFaults, ...geometryFaults);
  let variants = all;
  if (sound) {
    const known = [...new Set(parts.flatMap(({ part }) => part.designs.map(({ variant }) => variant)))];
    const only = chosenNames("--only", options.only, known, faults);
    if (only) variants = all.filter(({ design }) => only.has(design.variant));
  }
  const target: Fault | null = options.json === undefined ? null : jsonTargetFault(options.json, HAND_FORMAT);
  if (target) faults.push(target);
  return { variants, solve: settings.solve satisfies AnswerOptions, faults };
}

/** Variants of one file with the same root and load, which one sheet serves: steel, names and notes change no stress. */
function alike(variants: readonly CheckedVariant[], solve: AnswerOptions): CheckedVariant[][] {
  const groups = new Map<string, CheckedVariant[]>();
  for (const variant of variants) {
    const key = `${variant.file}\n${designKey(variant.design, solve, "")}`;
    addTo(groups, key, variant);
  }
  return [...groups.values()];
}
