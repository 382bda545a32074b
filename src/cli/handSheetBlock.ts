import type { VariantResult } from "../answer/index.ts";
import {
  formatAngle,
  formatForce,
  formatLength,
  formatStress,
  formatTorque,
  significant,
  stressUnit,
  type UnitChoice,
} from "../design/index.ts";
import {
  AGREEMENT,
  type FormulaCard,
  type HandCheck,
  type HandInput,
  type HandSheet,
  shearAllowance,
} from "../handbook/index.ts";
import { errorText, rootText, sharingText } from "../report/describe.ts";
import { addTo } from "../report/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { columns } from "./columns.ts";
import { nameList } from "./defaultsEcho.ts";
import { printable } from "./printable.ts";
import { wrapWords } from "./wrapWords.ts";

/** Variants that share one root and load, and their sheet. */
export interface SolvedSheet {
  readonly members: readonly CheckedVariant[];
  /** One a member, in their order. */
  readonly results: readonly VariantResult[];
  readonly sheet: HandSheet;
}

/** One sheet as lines for the terminal. */
export function sheetBlock({ members, results, sheet }: SolvedSheet, width: number): string[] {
  const { design, label } = members[0]!;
  const result = results[0]!;
  const letters = new Map(sheet.reasons.map(({ key }, k) => [key, "abcdefghijkl"[k]!]));
  const others = members.slice(1).map((member) => member.design.variant);
  const head = `${label}${others.length > 0 ? ` (and ${nameList(others, 12)}: same root and load)` : ""}`;
  const lines = [
    ...wrapWords("", head, width),
    ...wrapWords("  ", `${rootText(design)}; ${sharingText(design)}`, width),
    ...wrapWords("  ", computedText(result), width),
    "",
    ...inputLines(sheet.inputs, design.units),
    "",
    ...checkTable(sheet.checks, design.units, letters),
    "",
    `  Worked out in ${design.units === "inch" ? "lbf and inches" : "N and mm"}`,
    ...sheet.checks.flatMap((check) => workingLines(check, design.units, width)),
  ];
  const allowances = allowanceTexts(members, results, sheet);
  if (allowances.length > 0) {
    lines.push("");
    for (const text of allowances) lines.push(...wrapWords("  ", text, width));
  }
  if (sheet.reasons.length > 0) {
    lines.push("", "  Why they disagree");
    for (const { key, text } of sheet.reasons)
      lines.push(...wrapWords(`  ${letters.get(key)}  `, text, width));
  }
  return lines;
}

function computedText(result: VariantResult): string {
  const { root, design } = result;
  const { units } = design;
  const error = `mesh error ${errorText(result)}`;
  if (!root.peakPrincipal)
    return (
      `Computed: the peak of a sharp root is unbounded and has no Kt; average over ${formatLength(root.average.distance, units)} ` +
      `${formatStress(root.average.opening, units)}, ${error}.`
    );
  if (root.kt === null)
    return `Computed: no root is pulled to speak of, and none has a Kt; highest σ1 ${formatStress(root.peakPrincipal.stress, units)}, ${error}.`;
  return (
    `Computed: peak root stress ${formatStress(root.peakPrincipal.stress, units)}, Kt ${significant(root.kt)} on the nominal stress ` +
    `${formatStress(root.nominal.stress, units)} of the short beam; ${error}.`
  );
}

function inputLines(inputs: readonly HandInput[], units: UnitChoice): string[] {
  const value = ({ kind, value: v }: HandInput): string => {
    if (kind === "force") return formatForce(v, units);
    if (kind === "length") return v === 0 ? "0, sharp" : formatLength(v, units);
    if (kind === "torque") return formatTorque(v, units);
    if (kind === "angle") return formatAngle(v);
    return String(v);
  };
  return columns(
    inputs.map((input) => [input.symbol, value(input), input.meaning]),
    "left",
  );
}

function checkTable(
  checks: readonly HandCheck[],
  units: UnitChoice,
  letters: ReadonlyMap<string, string>,
): string[] {
  const unit = units === "both" ? "MPa (ksi)" : stressUnit(units).name;
  const stress = (mpa: number | null) => {
    if (mpa === null) return "no value";
    const [metric, inch] = [significant(mpa), significant(mpa * stressUnit("inch").perMPa)];
    return units === "metric" ? metric : units === "inch" ? inch : `${metric} (${inch})`;
  };
  const rows = checks.map((check) => [
    check.name,
    stress(check.stress),
    check.beside ? stress(check.beside.stress) : "–",
    check.difference === null ? "–" : differenceText(check.difference),
    check.factor === null ? "–" : significant(check.factor),
    check.computedFactor === null ? "–" : significant(check.computedFactor),
    check.outside.length === 0 ? "inside" : "outside",
    check.why.map((key) => letters.get(key)).join(""),
  ]);
  return columns([
    ["", "by hand", "computed", "", "factor", "computed", "range it", ""],
    ["formula", unit, unit, "difference", "by hand", "Kt on it", "is for", "why"],
    ...rows,
  ]);
}

/** "-75 %", "+8.1 %", "0 %". */
function differenceText(difference: number): string {
  if (Math.abs(difference) < 5e-4) return "0 %";
  const percent = 100 * difference;
  return `${percent > 0 ? "+" : ""}${percent.toFixed(Math.abs(percent) < 9.95 ? 1 : 0)} %`;
}

const TOGETHER = "\u00a0";

/** The arithmetic of one formula, what of the root is outside its range, and a warning where it agrees all the same. */
function workingLines(check: HandCheck, units: UnitChoice, width: number): string[] {
  const lead = `    ${check.name.padEnd(23)}  `;
  const under = " ".repeat(lead.length);
  // a value is not parted from its unit
  const value =
    check.stress === null ? "" : ` = ${formatStress(check.stress, units)}`.replaceAll(" ", TOGETHER);
  const lines = wrapWords(lead, `${check.working}${value}`, width).map((line) =>
    line.replaceAll(TOGETHER, " "),
  );
  if (check.outside.length > 0) {
    lines.push(...wrapWords(under, `outside: ${check.outside.join("; ")}`, width));
    if (check.difference !== null && Math.abs(check.difference) <= AGREEMENT)
      lines.push(...wrapWords(under, "it agrees outside its range: luck, not proof", width));
  }
  return lines;
}

/** What Dudley's table allows each steel among the members, equal sentences once. */
function allowanceTexts(
  members: readonly CheckedVariant[],
  results: readonly VariantResult[],
  { checks }: HandSheet,
): string[] {
  const stressOf = (name: string) => checks.find(({ id }) => id === name)?.stress ?? null;
  const shear = stressOf("Dudley shear");
  if (!shear) return [];
  const torsion = stressOf("shaft torsion");
  const names = new Map<string, string[]>();
  for (const [k, { design }] of members.entries()) {
    const text = shearAllowance(design, results[k]!.root, shear, torsion);
    if (text) addTo(names, text, design.variant);
  }
  return [...names].map(([text, who]) =>
    printable(names.size > 1 ? `${nameList(who, 12)}: ${text}` : text, 600),
  );
}

/** Every formula that was used: what it says, where it is from, what it was made for. */
export function formulasBlock(cards: readonly FormulaCard[], width: number): string[] {
  return [
    "The formulas",
    ...cards.flatMap(({ id, formula, says, source, madeFor }) => [
      ...wrapWords(`  ${id.padEnd(18)}`, formula, width),
      ...wrapWords("      ", says, width),
      ...wrapWords("      ", `Source: ${source}.`, width),
      ...wrapWords("      ", `Made for: ${madeFor}.`, width),
    ]),
  ];
}
