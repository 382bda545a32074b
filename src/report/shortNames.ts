import { SWEPT_NAMES } from "../design/index.ts";
import { plainText } from "./escapeXml.ts";
import { terminalWidth } from "./textWidth.ts";

/** Names for tables, and what they are made of where words common to all were left out; null where none were. */
export interface ShortNames {
  readonly names: readonly string[];
  /** "root radius, hardness": what the parts of each name give, in order. */
  readonly by: string | null;
}

/** Widest name in a table, columns of a terminal. */
const LONGEST = 32;

/**
 * Names that fit a table and stay apart. Of a sweep's names ("root radius 0.2 mm, hardness 38..42 HRC") only the values are kept
 * where one is too long; what is still too long is cut, and what then reads alike is numbered by its place.
 */
export function shortNames(given: readonly string[], longest = LONGEST): ShortNames {
  const names = given.map(plainText);
  if (names.every((name) => terminalWidth(name) <= longest)) return { names, by: null };
  const found = gridValues(names, longest);
  // a value alone may be what another variant is called
  const values = found && new Set(found.names).size === new Set(names).size ? found : null;
  return { names: apart(values?.names ?? names, longest), by: values?.by ?? null };
}

/** The values of names that a sweep made, all of the same keys; the others as they are. Null where there are fewer than two such. */
function gridValues(names: readonly string[], longest: number): { names: string[]; by: string } | null {
  const lists = names.map(settings);
  const keysOf = (list: readonly Setting[] | null) => list?.map(({ key }) => key).join(", ") ?? "";
  const tooLong = lists.find((list, k) => list && terminalWidth(names[k]!) > longest) ?? null;
  const grid = lists.filter((list) => list !== null && keysOf(list) === keysOf(tooLong));
  if (!tooLong || grid.length < 2) return null;
  const differing = tooLong.filter(({ value }, p) => grid.some((list) => list![p]!.value !== value));
  const kept = tooLong.flatMap((one, p) => (differing.includes(one) ? [p] : []));
  if (kept.length === 0) return null;
  return {
    names: lists.map((list, k) =>
      grid.includes(list) ? kept.map((p) => list![p]!.value).join(", ") : names[k]!,
    ),
    by: differing.map(({ key }) => key).join(", "),
  };
}

interface Setting {
  readonly key: string;
  readonly value: string;
}

/** A swept variant's name taken apart: "root radius 0.2 mm, teeth sharing one tooth"; null for another name. */
function settings(name: string): Setting[] | null {
  const found: { key: string; value: string }[] = [];
  for (const part of name.split(", ")) {
    const key = SWEPT_NAMES.find((known) => part.startsWith(`${known} `));
    if (key) found.push({ key, value: part.slice(key.length + 1) });
    else if (found.length > 0) found.at(-1)!.value += `, ${part}`;
    else return null;
  }
  return found;
}

function apart(names: readonly string[], longest: number): string[] {
  const cut = names.map((name) => clipped(name, longest));
  const count = new Map<string, number>();
  for (const name of cut) count.set(name, (count.get(name) ?? 0) + 1);
  return cut.map((name, k) => {
    if (name === names[k] || count.get(name) === 1) return name;
    const mark = ` #${k + 1}`;
    return clipped(names[k]!, longest - mark.length) + mark;
  });
}

function clipped(name: string, longest: number): string {
  if (terminalWidth(name) <= longest) return name;
  let kept = "";
  for (const c of name) {
    if (terminalWidth(kept + c) > longest - 1) break;
    kept += c;
  }
  return `${kept}…`;
}
