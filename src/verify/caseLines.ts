import type { CaseResult } from "./runCases.ts";
import { allowedText, computedText, differenceText, expectedText, nameText, worstShare } from "./wording.ts";

/** A case as the command prints it: verdict and name, source, one line a quantity, where the tolerance comes from. */
export function caseLines(result: CaseResult): string[] {
  const { case: one, rows, unknowns, ok, fault } = result;
  const head = `${ok ? "ok  " : "FAIL"} ${one.id}: ${one.title}`;
  const from = [`       source     ${one.source}`];
  if (fault !== null) return [head, ...from, `       the engine refused: ${fault}`];
  const cells = rows.map((row) => [
    nameText(row),
    expectedText(row),
    computedText(row),
    differenceText(row),
    allowedText(row),
    row.ok ? "" : "outside",
  ]);
  const table = [["", "expected", "computed", "difference", "allowed", ""], ...cells];
  const widths = table[0]!.map((_, c) => Math.max(...table.map((row) => [...row[c]!].length)));
  const lines = table.map((row) =>
    row
      .map((cell, c) => {
        const space = " ".repeat(widths[c]! - [...cell].length);
        return c === 0 || c >= 4 ? cell + space : space + cell;
      })
      .join("  ")
      .trimEnd(),
  );
  return [
    head,
    ...from,
    ...lines.map((text) => `       ${text}`),
    `       tolerance  ${one.toleranceFrom}`,
    ...(unknowns > 0 ? [`       unknowns   ${unknowns}`] : []),
  ];
}

/** What came of it all, in two or three lines. */
export function summaryLines(results: readonly CaseResult[]): string[] {
  const failed = results.filter((r) => !r.ok);
  const good = results.length - failed.length;
  const counted = (count: number) => (count === 1 ? "1 case" : `${count} cases`);
  const values = results.reduce((n, r) => n + r.rows.length, 0);
  const { share, where } = worstShare(results);
  return [
    `${counted(results.length)}, ${values} values: ${counted(good)} inside ${good === 1 ? "its" : "their"} tolerance, ${failed.length} outside.`,
    ...(where ? [`Nearest to its limit: ${where}, ${Math.round(100 * share)} % of what is allowed.`] : []),
    ...failed.map((r) => `outside: ${r.case.id}`),
  ];
}
