import type { Family } from "./case.ts";
import { type CaseResult, groupOf } from "./runCases.ts";
import { allowedText, computedText, differenceText, expectedText, nameText, worstShare } from "./wording.ts";

export interface Picture {
  /** File name in docs/verification/. */
  readonly file: string;
  readonly title: string;
  /** Family it is shown under. */
  readonly family: string;
  readonly svg: string;
}

const cell = (text: string): string => text.replaceAll("|", "\\|");

/** The rows of one case in the document's table; the document and its test both come from here. */
export function caseRows(result: CaseResult): string[] {
  const { case: one, rows, unknowns, fault } = result;
  if (fault !== null)
    return [`| **${one.id}** ${cell(one.title)} | the engine refused: ${cell(fault)} | | | | |`];
  return rows.map((row, k) => {
    const name =
      k > 0 ? "" : `**${one.id}** ${cell(one.title)}${unknowns > 0 ? ` (${unknowns} unknowns)` : ""}`;
    const difference = row.ok ? differenceText(row) : `**${differenceText(row)} outside**`;
    return `| ${name} | ${cell(nameText(row))} | ${expectedText(row)} | ${computedText(row)} | ${difference} | ${allowedText(row)} |`;
  });
}

/** docs/verification.md, from results of the whole suite. The same results give the same bytes. */
export function verificationDocument(results: readonly CaseResult[], pictures: readonly Picture[]): string {
  const failed = results.filter((r) => !r.ok);
  const values = results.reduce((n, r) => n + r.rows.length, 0);
  const families: Family[] = [...new Set(results.map((r) => r.family))];
  const { share, where } = worstShare(results);
  const most = Math.max(...results.map((r) => r.unknowns));
  const lines = [
    "# Verification",
    "",
    "Published answers, and what this program's engine computes for the same questions. `npm run verify -- --write` solves all cases " +
      "again and writes this page; the tests solve some of them and hold their rows to it. Nothing here is typed by hand.",
    "",
    `${results.length} cases, ${values} values: **${results.length - failed.length} cases inside their tolerance, ${failed.length} outside**. ` +
      `Nearest to its limit: ${where}, ${Math.round(100 * share)} % of what is allowed. Largest model: ${most} unknowns.`,
    "",
    ...failed.map((r) => `- outside: ${r.case.id}`),
    ...(failed.length > 0 ? [""] : []),
    "The meshes follow one rule with one number, the sides in 45° of a concave arc (12, for the round holes 16 or 20): base size, sides " +
      "on convex arcs, elements across the material and growth follow from it. Differences are per cent of the expected value, or of what " +
      "the last column names where the expected value is zero or small.",
    "",
    "Material where none is named: E 210000 MPa, ν 0.3, plane stress, 1 mm thick.",
    "",
    ...families.map((f) => `- [${f.title}](#${anchor(f.title)}): ${counted(results, f)}`),
    "",
  ];
  for (const family of families) {
    lines.push(`## ${family.title}`, "", family.about, "");
    for (const p of pictures.filter((one) => one.family === family.name)) {
      lines.push(`![${p.title}](verification/${p.file})`, "", `*${p.title}*`, "");
    }
    const mine = results.filter((r) => r.family === family);
    for (const group of new Set(mine.map((r) => groupOf(r.case)))) {
      lines.push(`### ${group}`, "");
      const cases = mine.filter((r) => groupOf(r.case) === group);
      // cases that share their source and tolerance share one table
      for (const key of new Set(cases.map(keyOf))) {
        const same = cases.filter((r) => keyOf(r) === key);
        lines.push(
          `Source: ${same[0]!.case.source}. Tolerance: ${same[0]!.case.toleranceFrom}.`,
          "",
          "| case | value | expected | computed | difference | allowed |",
          "| --- | --- | ---: | ---: | ---: | --- |",
          ...same.flatMap(caseRows),
          "",
        );
      }
    }
  }
  return `${lines.join("\n").trimEnd()}\n`;
}

const keyOf = (r: CaseResult): string => `${r.case.source}\n${r.case.toleranceFrom}`;

/** The anchor that Markdown viewers give a heading (common practice, no source). */
const anchor = (title: string): string =>
  title
    .toLowerCase()
    .replace(/[^\p{L}\p{N} -]/gu, "")
    .replaceAll(" ", "-");

function counted(results: readonly CaseResult[], family: Family): string {
  const mine = results.filter((r) => r.family === family);
  return `${mine.length} cases, ${mine.filter((r) => !r.ok).length} outside`;
}
