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
/** One word or several, and nothing that a pattern could share out between two of its parts in many ways. */
const KEY = "[A-Za-z][A-Za-z-]*(?: [A-Za-z-]+)*";
const UNSPACED = new RegExp(`^(\\s*(?:- )?)(${KEY}|"[^"]*"|'[^']*'):(?=[^\\s/])(.*)$`);
const UNENDED = new RegExp(`^(\\s*(?:- )?)(${KEY}) +(\\d.*)$`);
const UNNAMED = /^(\s*- )(name) +(\S.*)$/;
const DASHED = /^( *)- /;
const BARE_DASH = /^(\s*)-(?=[A-Za-z])(.*)$/;
/** A text over several lines begins behind this, and is anybody's words. */
const BLOCK_BEGINS = /[:-] *[|>][-+0-9]* *(?:#.*)?$/;
/** Longer lines are no line of a part file. */
const LONGEST = 400;

/**
 * What is wrong with the line where a parser stumbled, or the one before, on which it stumbles later; null where neither looks amiss. Only of
 * a text that does not parse: in one that does each of these may be meant.
 */
export function slipNear(text: string, stumbled: number): LineSlip | null {
  const lines = text.split(/\r?\n/);
  const written = (at: number) => lines[at - 1]!.trim() !== "" && !lines[at - 1]!.trim().startsWith("#");
  const before = lines.findLastIndex((_, k) => k + 1 < stumbled && written(k + 1)) + 1;
  for (const line of [stumbled, before]) {
    const found = line > 0 && line <= lines.length && !inText(lines, line) ? slipIn(lines, line) : null;
    if (found) return { line, ...found };
  }
  return null;
}

/** Whether a line belongs to a text over several lines, which a line further out begins. */
function inText(lines: readonly string[], line: number): boolean {
  const indent = (text: string) => text.length - text.trimStart().length;
  let within = indent(lines[line - 1]!);
  for (let k = line - 2; k >= 0 && within > 0; k--) {
    const text = lines[k]!;
    if (text.trim() === "" || indent(text) >= within) continue;
    if (BLOCK_BEGINS.test(text)) return true;
    within = indent(text);
  }
  return false;
}

function slipIn(lines: readonly string[], line: number): Omit<LineSlip, "line"> | null {
  const text = lines[line - 1]!;
  if (text.length > LONGEST) return null;
  if (ODD_SPACE.test(text))
    return {
      column: 1,
      problem: "the line begins with no-break spaces, as pages and letters have them",
      remedy: "type its indent again, with plain spaces",
    };
  const unspaced = UNSPACED.exec(text);
  if (unspaced) return rewritten(unspaced, "no space after the colon of");
  const bare = BARE_DASH.exec(text);
  if (bare)
    return {
      column: bare[1]!.length + 1,
      problem: "no space after the dash",
      remedy: `write ${quote(`- ${bare[2]!.trim()}`)}`,
    };
  const unended = UNNAMED.exec(text) ?? UNENDED.exec(text);
  if (unended) return rewritten(unended, "no colon after");
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

const bare = (key: string): string => key.replace(/^(["'])(.*)\1$/, "$2");

/** A line as it should be typed: in quotes, unless it has some of its own. */
const asWritten = (line: string): string =>
  line.includes('"') ? quote(line).slice(1, -1).replaceAll('\\"', '"') : quote(line);

/** A key and its value that are not told apart as they must be, found as indent, key and value. */
function rewritten([, indent, key, value]: RegExpExecArray, problem: string): Omit<LineSlip, "line"> {
  return {
    column: indent!.length + 1,
    problem: `${problem} ${quote(bare(key!))}`,
    remedy: `write ${asWritten(`${key}: ${value!.trim()}`)}`,
  };
}
