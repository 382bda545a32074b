import type { VariantResult } from "../answer/result.ts";
import { plainText } from "./escapeXml.ts";
import { terminalWidth } from "./textWidth.ts";

/** Terminal block of everything taken by default in a run, each value once, with the reason. */
export function defaultsBlock(results: readonly VariantResult[]): string {
  const seen = new Map<string, readonly [string, string, string]>();
  for (const { design } of results) {
    for (const d of design.defaults) {
      const row = [plainText(d.key), plainText(d.value), plainText(d.source)] as const;
      seen.set(JSON.stringify(row), row);
    }
  }
  if (seen.size === 0) return "Taken by default: nothing.";
  const rows = [...seen.values()];
  const wide = [0, 1].map((c) => Math.max(...rows.map((row) => terminalWidth(row[c]!))));
  const lines = rows.map(
    ([key, value, source]) =>
      `  ${key}${" ".repeat(wide[0]! - terminalWidth(key))}  ${value}${" ".repeat(wide[1]! - terminalWidth(value))}  ${source}`,
  );
  return ["Taken by default (not in the part file)", ...lines].join("\n");
}
