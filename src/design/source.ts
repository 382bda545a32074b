/** A part file's text as plain values, every one of which can be found again by line and column. */
import {
  type Alias,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  parseDocument,
  visit,
  type YAMLError,
} from "yaml";
import { DesignError, type Fault, type Place } from "./design.ts";
import { slipNear } from "./lineSlips.ts";
import { quote } from "./names.ts";

/** Largest part file read, bytes or characters; a hundred variants take some 20 kB. */
export const LARGEST_PART_FILE = 1_000_000;

/** Aliases multiply; this many copies is more than any part file needs. */
const MOST_ALIASES = 100;

const TOO_DEEP = {
  problem: "the file is nested too deep to be a part file",
  remedy: "write keys at most four levels deep",
};

/** Keys and list positions from the root of the file. */
export type Path = readonly (string | number)[];

export interface Source {
  readonly file: string;
  /** The file as plain data: a map at its root. */
  readonly raw: Record<string, unknown>;
  /** Where the value at `path` stands; of a path that does not exist, where its nearest parent's key does. */
  locate(path: Path): Place;
  /** Where the key at the end of `path` stands. */
  locateKey(path: Path): Place;
  has(path: Path): boolean;
}

/** Says what is wrong with a file of `bytes`, or null when it may be read. */
export function sizeFault(bytes: number, file: string): Fault | null {
  if (bytes <= LARGEST_PART_FILE) return null;
  return {
    key: "",
    problem: `the file holds ${bytes.toLocaleString("en")} bytes, more than a part file can`,
    remedy: `give a part file of at most ${LARGEST_PART_FILE.toLocaleString("en")} bytes`,
    place: { file, line: 1, column: 1 },
  };
}

/**
 * Parses YAML 1.2.
 * @throws DesignError for text that is no YAML, holds more than one document or no map, or is too big.
 */
export function readSource(text: string, file: string): Source {
  const tooBig = sizeFault(text.length, file);
  if (tooBig) throw new DesignError([tooBig]);
  const lines = new LineCounter();
  const placeAt = (offset: number): Place => {
    const { line, col } = lines.linePos(Math.max(0, Math.min(offset, text.length)));
    return { file, line: Math.max(1, line), column: Math.max(1, col) };
  };
  const refuse = (problem: string, remedy: string, offset = 0): DesignError =>
    new DesignError([{ key: "", problem, remedy, place: placeAt(offset) }]);
  const tooDeep = () => refuse(TOO_DEEP.problem, TOO_DEEP.remedy);

  let document: Document.Parsed;
  try {
    // the parser compares every key with every other; `keyFaults` finds repeats in one pass
    document = parseDocument(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: false });
  } catch (error) {
    if (error instanceof RangeError) throw tooDeep();
    throw refuse("the file does not read as YAML", 'start from "notchwright start"');
  }
  const troubles = [...document.errors, ...document.warnings];
  if (troubles.length > 0) throw new DesignError(plainFaults(troubles, document, text, placeAt));
  const root = document.contents;
  if (root === null || (isScalar(root) && root.value === null))
    throw refuse("the file is empty", 'write a part file, or start from "notchwright start"');
  if (!isMap(root))
    throw refuse(
      "the file does not read as a part file: it holds no keys",
      'begin with a line such as "part: Orchard cart hub"',
      root.range?.[0] ?? 0,
    );

  let raw: Record<string, unknown>;
  try {
    const odd = keyFaults(root as unknown as Node, placeAt);
    if (odd.length > 0) throw new DesignError(odd.slice(0, 50));
    raw = document.toJS({ maxAliasCount: MOST_ALIASES }) as Record<string, unknown>;
    if (holdsItself(raw))
      throw refuse("an alias (*name) stands inside its own anchor (&name)", "write the values out");
  } catch (error) {
    if (error instanceof DesignError) throw error;
    if (error instanceof RangeError) throw tooDeep();
    if (error instanceof ReferenceError && /excessive/i.test(error.message))
      throw refuse(`aliases (*name) multiply into more than ${MOST_ALIASES} copies`, "write the values out");
    const lost = firstAlias(root as unknown as Node, (alias) => alias.resolve(document) === undefined);
    const name = quote(lost?.source ?? "name").slice(1, -1);
    throw refuse(
      `the alias *${name} does not lead to an anchor (&${name}) before it`,
      "write the values out",
      lost?.range?.[0] ?? 0,
    );
  }

  const resolve = (node: unknown): unknown => (isAlias(node) ? node.resolve(document) : node);
  /** Deepest node on the way to `path`, the key that leads to it, and whether the path ended there. */
  const walk = (path: Path): { key: Node | null; value: Node | null; whole: boolean } => {
    let key: Node | null = null;
    let value: Node | null = root as unknown as Node;
    for (const step of path) {
      const inside = resolve(value);
      if (isMap(inside)) {
        const pair = inside.items.find(
          (item) => isScalar(item.key) && String(item.key.value) === String(step),
        );
        if (!pair) return { key, value, whole: false };
        key = pair.key as Node;
        value = (pair.value as Node | null) ?? null;
      } else if (isSeq(inside) && typeof step === "number" && step < inside.items.length) {
        value = inside.items[step] as Node;
        key = value;
      } else return { key, value, whole: false };
    }
    return { key, value, whole: true };
  };
  const start = (node: Node | null): number | undefined => node?.range?.[0];
  return {
    file,
    raw,
    locate: (path) => {
      const { key, value, whole } = walk(path);
      return placeAt((whole ? (start(value) ?? start(key)) : start(key)) ?? 0);
    },
    locateKey: (path) => placeAt(start(walk(path).key) ?? 0),
    has: (path) => walk(path).whole,
  };
}

/** The first alias in a file of which `wanted` is true. */
function firstAlias(node: unknown, wanted: (alias: Alias) => boolean): Alias | null {
  if (isAlias(node)) return wanted(node) ? node : null;
  const inside = isSeq(node)
    ? node.items
    : isMap(node)
      ? node.items.flatMap(({ key, value }) => [key, value])
      : [];
  for (const one of inside) {
    const found = firstAlias(one, wanted);
    if (found) return found;
  }
  return null;
}

/**
 * Keys given twice, keys that are no words (lists or maps), and the one name that would reach into the program's own
 * objects.
 */
function keyFaults(node: Node, placeAt: (offset: number) => Place): Fault[] {
  const faults: Fault[] = [];
  const visit = (value: unknown, listed = false): void => {
    if (isSeq(value)) for (const item of value.items) visit(item, true);
    if (!isMap(value)) return;
    const seen = new Set<string>();
    for (const { key, value: inner } of value.items) {
      const place = placeAt((key as Node | null)?.range?.[0] ?? 0);
      const word =
        isScalar(key) && (typeof key.value === "string" || typeof key.value === "number")
          ? String(key.value)
          : null;
      if (word === null || word === "__proto__")
        faults.push({
          key: "",
          problem: word === null ? "a key is no plain word" : 'unknown key "__proto__"',
          remedy: "write keys as plain words, as in docs/part-file.md",
          place,
        });
      else if (seen.has(word))
        faults.push({
          key: "",
          problem: `the key ${quote(word)} is given twice`,
          remedy:
            listed && word === "name"
              ? `begin the next entry with a dash, "- name: …", or keep one of the two`
              : "keep one of the two",
          place,
        });
      else seen.add(word);
      visit(inner);
    }
  };
  visit(node);
  return faults;
}

/** Does anything contain itself, by way of an alias? Each object is entered once. */
function holdsItself(value: unknown, above = new Set<unknown>(), done = new Set<unknown>()): boolean {
  if (typeof value !== "object" || value === null || done.has(value)) return false;
  if (above.has(value)) return true;
  above.add(value);
  const found = Object.values(value).some((inner) => holdsItself(inner, above, done));
  above.delete(value);
  done.add(value);
  return found;
}

/** What the parser found, in a machinist's words. One slip sets off many; the first on each of three lines is told. */
function plainFaults(
  errors: readonly YAMLError[],
  document: Document.Parsed,
  text: string,
  placeAt: (offset: number) => Place,
): Fault[] {
  const open = openQuote(errors, document);
  if (open !== null)
    return [
      {
        key: "",
        problem: "a quote is opened here and not closed",
        remedy: "close it with another of its kind, at the end of the text",
        place: placeAt(open),
      },
    ];
  const faults: Fault[] = [];
  // behind a tab the parser stumbles over what is right
  const tabs = errors.filter(({ code }) => code === "TAB_AS_INDENT");
  const ordered = [...(tabs.length > 0 ? tabs : errors)].sort((a, b) => a.pos[0] - b.pos[0]);
  for (const error of ordered) {
    const stumbled = placeAt(error.pos[0]);
    const slip = error.code === "TAB_AS_INDENT" ? null : slipNear(text, stumbled.line);
    const place = slip ? { ...stumbled, line: slip.line, column: slip.column } : stumbled;
    if (faults.some((fault) => fault.place?.line === place.line)) continue;
    const { problem, remedy } = slip ?? plainWords(error);
    faults.push({ key: "", problem, remedy, place });
    if (faults.length === 3) break;
  }
  return faults;
}

/** Where the quote begins that the parser misses the end of, at the end of the file mostly; null where it misses none. */
function openQuote(errors: readonly YAMLError[], document: Document.Parsed): number | null {
  const missing = errors.find(({ message }) => /^Missing closing ["']quote/.test(message));
  if (!missing) return null;
  let start: number | null = null;
  visit(document, {
    Scalar: (_key, { type, range }) => {
      if (type?.startsWith("QUOTE") && range && range[0] <= missing.pos[0] && missing.pos[0] <= range[2])
        start = range[0];
    },
  });
  return start;
}

function plainWords(error: YAMLError): { problem: string; remedy: string } {
  if (/call stack/i.test(error.message)) return TOO_DEEP;
  switch (error.code) {
    case "MULTIPLE_DOCS":
      return {
        problem: "the file holds several documents",
        remedy: 'keep one, without lines of "---" between',
      };
    case "TAB_AS_INDENT":
      return { problem: "a tab is used to indent", remedy: "indent with spaces" };
    case "BAD_INDENT":
      if (error.message.startsWith("Flow"))
        return {
          problem: "a bracket or brace before this line is not closed",
          remedy: "close it, or indent what belongs inside it",
        };
      return {
        problem: "the indentation does not line up",
        remedy: "start keys of one section in one column",
      };
    case "BLOCK_AS_IMPLICIT_KEY":
    case "MULTILINE_IMPLICIT_KEY":
    case "BLOCK_IN_FLOW":
      return {
        problem: "a second colon, or a key where its value was expected",
        remedy: 'write one "key: value" a line, and put a text that holds ": " in quotes',
      };
    case "KEY_OVER_1024_CHARS":
      return {
        problem: "a key is over 1024 characters long",
        remedy: "keys are short words, ended by a colon",
      };
    case "BAD_ALIAS":
      return {
        problem: "an alias (*name) does not lead to an anchor (&name)",
        remedy: "write the values out",
      };
    case "TAG_RESOLVE_FAILED":
      return { problem: "tags (!name) mean nothing in a part file", remedy: "leave the tag out" };
    case "MISSING_CHAR":
      return {
        problem: "a bracket, brace, quote, comma or colon is missing here or just before",
        remedy: "close what was opened, and end each key with a colon",
      };
    default:
      return {
        problem: `the file does not read as YAML: ${quote(error.message.split("\n")[0]!.slice(0, 200)).slice(1, -1)}`,
        remedy: 'write "key: value" lines, sections indented with spaces',
      };
  }
}
