import type { VariantResult } from "../answer/result.ts";
import { MPA_PER_KSI } from "../design/index.ts";
import { addTo } from "./addTo.ts";
import { errorText, ktText, rootText } from "./describe.ts";
import { plainText } from "./escapeXml.ts";
import { pushedHigher, yieldShareText } from "./judged.ts";
import { shortNames } from "./shortNames.ts";
import { terminalWidth } from "./textWidth.ts";
import { figures, lengthText, sharedUnits } from "./units.ts";

/** One column: head in three lines, the upper ones often empty, a cell per result. */
interface Column {
  readonly head: readonly [string, string, string];
  readonly cells: readonly string[];
  readonly left: boolean;
}

const UNBOUNDED = "unbounded (sharp)";

/**
 * Variants side by side for the terminal, no line wider than `width` columns: where they do not fit, the
 * remaining columns follow in a second block under the same variant names. Several parts get a table each, under
 * their names. Three significant figures.
 */
export function comparisonTable(results: readonly VariantResult[], width = 100): string {
  if (results.length === 0) return "no variants";
  const parts = new Map<string, VariantResult[]>();
  for (const result of results) addTo(parts, result.design.part, result);
  // variants of two parts share names and compare with nothing of the other: a table each
  if (parts.size === 1) return partTable(results, width);
  return [...parts].map(([part, own]) => `${plainText(part)}\n\n${partTable(own, width)}`).join("\n\n\n");
}

function partTable(results: readonly VariantResult[], width: number): string {
  const [variant, ...rest] = columnsOf(results);
  const blocks: Column[][] = [];
  let block: Column[] = [];
  let used = columnWidth(variant!);
  for (const column of rest) {
    if (block.length > 0 && used + GAP.length + columnWidth(column) > width) {
      blocks.push(block);
      block = [];
      used = columnWidth(variant!);
    }
    block.push(column);
    used += GAP.length + columnWidth(column);
  }
  blocks.push(block);
  return blocks.map((columns) => blockText([variant!, ...columns])).join("\n\n");
}

const GAP = "  ";

function columnsOf(results: readonly VariantResult[]): Column[] {
  const units = sharedUnits(results.map(({ design }) => design));
  const unit = { metric: "MPa", inch: "ksi", both: "MPa (ksi)" }[units];
  const stress = (mpa: number | null) => {
    if (mpa === null) return UNBOUNDED;
    const [metric, inch] = [figures(mpa), figures(mpa / MPA_PER_KSI)];
    return units === "metric" ? metric : units === "inch" ? inch : `${metric} (${inch})`;
  };
  const distances = [...new Set(results.map((r) => r.root.average.distance))];
  const over =
    distances.length === 1 ? lengthText(distances[0]!, units === "inch" ? "inch" : "metric") : "a distance";
  const right = (head: Column["head"], cell: (r: VariantResult) => string): Column => ({
    head,
    cells: results.map(cell),
    left: false,
  });
  return [
    { head: ["", "", "variant"], cells: shortNames(results.map((r) => r.design.variant)).names, left: true },
    {
      head: ["", "", "root"],
      cells: results.map((r) => rootText({ ...r.design, units: units === "inch" ? "inch" : "metric" })),
      left: true,
    },
    right(["peak", "σ1", unit], (r) => stress(r.root.peakPrincipal?.stress ?? null)),
    right(["peak", "von Mises", unit], (r) => stress(r.root.peakVonMises?.stress ?? null)),
    ...(results.some(pushedHigher)
      ? [right(["any root", "von Mises", unit], (r) => stress(r.root.highestVonMises?.stress ?? null))]
      : []),
    right(["", "", "Kt"], (r) => (r.root.sharp ? "–" : ktText(r))),
    right(["average", `over ${over}`, unit], (r) => stress(r.root.average.opening)),
    right(["", "share", "of yield"], (r) => yieldShareText(r) ?? "no steel"),
    right(["contact", "pressure", unit], (r) => stress(r.root.contactPressure)),
    right(["", "mesh", "error"], (r) => errorText(r)),
  ];
}

function columnWidth({ head, cells }: Column): number {
  return Math.max(...head.map(terminalWidth), ...cells.map(terminalWidth));
}

function blockText(columns: readonly Column[]): string {
  const widths = columns.map(columnWidth);
  const line = (pick: (c: Column) => string) =>
    columns
      .map((c, k) => {
        const space = " ".repeat(widths[k]! - terminalWidth(pick(c)));
        return c.left ? pick(c) + space : space + pick(c);
      })
      .join(GAP)
      .trimEnd();
  const rule = widths.map((w) => "─".repeat(w)).join(GAP);
  const heads = [0, 1, 2].map((h) => line((c) => c.head[h]!)).filter((text) => text !== "");
  const rows = columns[0]!.cells.map((_, r) => line((c) => c.cells[r]!));
  return [...heads, rule, ...rows].join("\n");
}
