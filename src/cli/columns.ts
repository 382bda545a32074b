import { terminalWidth } from "../report/textWidth.ts";

/** Rows as lines with columns lined up: the first to the left, the others as `rest` says. */
export function columns(rows: readonly (readonly string[])[], rest: "left" | "right" = "right"): string[] {
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => terminalWidth(row[c]!))));
  return rows.map((row) => {
    const cells = row.map((cell, c) => {
      const space = " ".repeat(widths[c]! - terminalWidth(cell));
      return c === 0 || rest === "left" ? cell + space : space + cell;
    });
    return `  ${cells.join("  ")}`.trimEnd();
  });
}
