import { quote } from "./names.ts";

/** A slip of writing in one line of a part file. */
export interface LineSlip {
  /** From 1. */
  readonly line: number;
  readonly column: number;
  readonly problem: string;
  readonly remedy: string;
}

/** Spaces that are none to YAML: no-break spaces and the like, pasted from a page. */
const ODD_SPACE = /^[ \t]*[\u00a0\u1680\u2000-\u200b\u202f\u205f\u3000\ufeff]/;
const UNSPACED = /^(\s*(?:- )?)([A-Za-z][A-Za-z -]*):(?=[^\s/])(.*)$/;
const UNENDED = /^(\s*(?:- )?)([A-Za-z][A-Za-z -]*?) +(\d.*)$/;
const DASHED = /^( *)- /;

/**
 * What is wrong with the line where a parser stumbled, or the one before, on which it stumbles later; null where neither looks amiss. Only of
 * a text that does not parse: in one that does each of these may be meant.
 */
export function slipNear(text: string, stumbled: number): LineSlip | null {
  const lines = text.split(/\r?\n/);
  const written = (at: number) => lines[at - 1]!.trim() !== "" && !lines[at - 1]!.trim().startsWith("#");
  const before = lines.findLastIndex((_, k) => k + 1 < stumbled && written(k + 1)) + 1;
  for (const line of [before, stumbled]) {
    const found = line > 0 && line <= lines.length ? slipIn(lines, line) : null;
    if (found) return { line, ...found };
  }
  return null;
}

function slipIn(lines: readonly string[], line: number): Omit<LineSlip, "line"> | null {
  const text = lines[line - 1]!;
  if (ODD_SPACE.test(text))
    return {
      column: 1,
      problem: "the line begins with no-break spaces, as pages and letters have them",
      remedy: "type its indent again, with plain spaces",
    };
  const unspaced = UNSPACED.exec(text);
  if (unspaced) {
    const [, indent, key, value] = unspaced;
    return {
      column: indent!.length + 1,
      problem: `no space after the colon of ${quote(key!)}`,
      remedy: `write ${quote(`${key}: ${value!.trim()}`)}`,
    };
  }
  const unended = UNENDED.exec(text);
  if (unended) {
    const [, indent, key, value] = unended;
    return {
      column: indent!.length + 1,
      problem: `no colon after ${quote(key!)}`,
      remedy: `write ${quote(`${key}: ${value!.trim()}`)}`,
    };
  }
  const above = lines.slice(0, line - 1).findLast((other) => DASHED.test(other));
  if (above === undefined || !DASHED.test(text)) return null;
  const [dash, under] = [text, above].map((one) => DASHED.exec(one)![1]!.length) as [number, number];
  if (dash !== under)
    return {
      column: dash + 1,
      problem: "this dash does not stand under the dash above it",
      remedy: `start it in column ${under + 1}`,
    };
  return null;
}
