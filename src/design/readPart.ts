/** From the text of a part file to complete designs, or to every fault in it at once. */
import type * as z from "zod";
import { type Design, DesignError, type Fault, type Place, type UnitChoice } from "./design.ts";
import { eachOnce } from "./eachOnce.ts";
import {
  ALSO_REPLACES,
  MOST_DESIGNS,
  PROFILE_KINDS,
  type ProfileKind,
  SECTIONS,
  type SectionName,
  TOP_KEYS,
  VARIANT_KEYS,
} from "./keys.ts";
import { mergeGiven } from "./merge.ts";
import { nameKey, quote, variantNameProblem } from "./names.ts";
import { nearest } from "./nearest.ts";
import type { Part } from "./part.ts";
import { type UnitSystem, unitSystem } from "./quantity.ts";
import { resolveDesign } from "./resolveDesign.ts";
import { type Given, partSchema, REFUSED, SWEPT_KEYS } from "./schema.ts";
import { type Path, readSource, type Source } from "./source.ts";
import type { SteelGrade } from "./steelGrades.ts";
import { keyMeant } from "./tradeWords.ts";
import type { FileUnits, Value } from "./value.ts";

/** More than this many faults help nobody; the rest are counted. */
const MOST_FAULTS = 50;

/** A part file as far as it can be read: its sound designs, and what is wrong with the rest. */
export interface PartDraft {
  /** Null where not even the parts that stand alone can be read. `designs` leaves out those with faults. */
  readonly part: Part | null;
  readonly faults: readonly Fault[];
}

/**
 * Reads a part file: YAML, checked against the key table, units converted, variants and sweep expanded, defaults
 * filled in. `file` is only used to name places.
 * @throws DesignError with every fault found, each with its place.
 */
export function readPart(text: string, file: string): Part {
  const { part, faults } = readDraft(text, file);
  if (!part || faults.length > 0) throw new DesignError(inFileOrder(faults));
  return part;
}

/**
 * As `readPart`, but hands over faults and sound designs together, so that a caller can look for further faults
 * (of geometry, say) in what is sound and tell all of them at once with `inFileOrder`.
 * @throws DesignError where the text is no part file at all.
 */
export function readDraft(text: string, file: string, ownSteels?: OwnSteels): PartDraft {
  const source = readSource(text, file);
  const faults: Fault[] = [];
  const raw = structuredClone(source.raw);
  const units: FileUnits = { bare: bareUnits(raw), used: new Set<UnitSystem>() };
  for (const declared of Object.values(units.bare))
    if (declared !== undefined) units.used.add(unitSystem(declared));

  const schema = partSchema(units);
  const first = schema.safeParse(raw);
  const skipped = new Set<string>();
  const meant = new Set<string>();
  let data = first.data as FileData | undefined;
  if (!first.success) {
    // tell every fault, then read what is left, so that what is missing or does not fit is told with them
    for (const issue of first.error.issues) {
      faults.push(...issueFaults(issue, source, meant));
      takeOut(raw, issue, skipped);
    }
    data = schema.safeParse(raw).data as FileData | undefined;
  }
  const part = data ? expand(data, source, units, { skipped, meant }, faults, ownSteels) : null;
  // of steels that could not be read nobody knows the names
  const steelsUnread = faults.some(({ key }) => key.split(".")[0] === "steels");
  const unknown = ({ key, problem }: Fault) =>
    key === "steel.grade" && problem.startsWith("no strength data");
  return { part, faults: steelsUnread ? faults.filter((fault) => !unknown(fault)) : faults };
}

/** Reads the file of steels that a part file names. */
export type OwnSteels = (name: string) => {
  readonly grades: readonly SteelGrade[];
  readonly faults: readonly Fault[];
};

function gradesOf(
  data: FileData,
  source: Source,
  faults: Fault[],
  ownSteels?: OwnSteels,
): readonly SteelGrade[] {
  const named = wordOf(data.steels);
  if (named === undefined) return [];
  const place = source.locate(["steels"]);
  if (!ownSteels) {
    const remedy = "use the program, or leave it out";
    faults.push({ key: "steels", problem: "names a file, and none can be read here", remedy, place });
    return [];
  }
  const read = ownSteels(named);
  faults.push(...read.faults.map((fault) => ({ place, ...fault })));
  return read.grades;
}

/** The file as the schema leaves it. */
interface FileData extends Given {
  readonly part?: Value;
  readonly note?: Value;
  readonly steels?: Value;
  readonly variants?: readonly (Given & { readonly name?: Value; readonly note?: Value })[];
  readonly sweep?: Readonly<Record<string, readonly Value[] | undefined>>;
}

/** One design before it is completed. */
interface Layer {
  readonly name: string;
  readonly note: string;
  readonly over: Given | null;
  /** Where `section.key` of this layer is written, when it is. */
  readonly paths: (section: string, key: string) => Path[];
  /** How faults in it are told apart from faults of the base; empty for the base alone. */
  readonly label: string;
  /** Under what a misspelt key would be known, in it or in the base. */
  readonly slips: (key: string) => string[];
}

/** A key that another was taken for, and where: in a variant, or in the base. */
const slipOf = (path: Path, key: string): string =>
  `${path[0] === "variants" && path.length > 1 ? path[1] : "base"} ${key}`;

const ofBase = (key: string): string[] => [slipOf([], key)];

function expand(
  data: FileData,
  source: Source,
  units: FileUnits,
  { skipped, meant }: { readonly skipped: ReadonlySet<string>; readonly meant: ReadonlySet<string> },
  faults: Fault[],
  ownSteels?: OwnSteels,
): Part | null {
  const name = wordOf(data.part);
  for (const key of ["part", "profile", "load"])
    if (!source.has([key]) && !meant.has(slipOf([], key)))
      faults.push({
        key,
        problem: "missing",
        remedy: key === "part" ? "add a line such as part: Orchard cart hub" : `add a section "${key}:"`,
        place: source.locate([]),
      });
  const note = wordOf(data.note) ?? "";
  const choice = unitChoice(data, units);
  const own = gradesOf(data, source, faults, ownSteels);
  const layers = [
    ...variantLayers(data, source, note, skipped, faults),
    ...sweepLayers(data, source, note, faults),
  ];
  if (!data.variants && !data.sweep)
    layers.push({ name: "as drawn", note, over: null, paths: () => [], label: "", slips: ofBase });
  checkNames(layers, source, faults);
  // without the two sections nothing else can be said
  if (!data.profile || !data.load || skipped.has("base")) return null;

  const place = (layer: Layer, key: string): Place => {
    const dot = key.indexOf(".");
    const [section, rest] = dot < 0 ? [key, ""] : [key.slice(0, dot), key.slice(dot + 1)];
    // "root radius" stands for both sides' radii, which are judged by their own names
    const names = [rest, ...Object.keys(ALSO_REPLACES).filter((one) => ALSO_REPLACES[one]!.includes(rest))];
    const written = names
      .flatMap((one) => [...layer.paths(section, one), [section, one]])
      .find((path) => source.has(path));
    // a key nobody wrote: the variant's own section, else the base's
    const around = [...layer.paths(section, ""), [section]].find((path) => source.has(path));
    return written ? source.locate(written) : source.locateKey(around ?? []);
  };

  const designs: Design[] = [];
  const sound: Layer[] = [];
  const tell = eachOnce(faults);
  for (const layer of layers) {
    const resolved = resolveDesign(
      mergeGiven(data, layer.over),
      {
        part: name ?? "",
        variant: layer.name,
        note: layer.note,
        units: choice,
      },
      own,
    );
    if (resolved.design && resolved.faults.length === 0) {
      designs.push(resolved.design);
      sound.push(layer);
    }
    for (const fault of resolved.faults) {
      // a misspelt key was told with the key it was taken for, which is then not missing
      if (fault.problem.startsWith("missing") && layer.slips(fault.key).some((slip) => meant.has(slip)))
        continue;
      tell({ ...fault, place: place(layer, fault.key) }, layer.name, layer.label);
    }
  }
  const base = layers[comparedWith(data, layers, source, faults)];
  return {
    file: source.file,
    name: name ?? "",
    note,
    designs,
    names: layers.map((layer) => layer.name),
    units: choice,
    compareWith: sound.indexOf(base),
    place: (index, key) => (sound[index] ? place(sound[index], key) : undefined),
  };
}

function wordOf(value: Value | undefined): string | undefined {
  return value?.as === "word" ? value.word : undefined;
}

function unitChoice(data: FileData, { used }: FileUnits): UnitChoice {
  const asked = wordOf(data.report?.["units"]);
  if (asked !== undefined) return asked as UnitChoice;
  return used.has("inch") ? (used.has("metric") ? "both" : "inch") : "metric";
}

/** Units declared for bare numbers, those that read; the schema complains of the others. */
function bareUnits(raw: Record<string, unknown>): Record<string, string> {
  const declared = raw["units"];
  if (typeof declared !== "object" || declared === null || Array.isArray(declared)) return {};
  const found: Record<string, string> = {};
  for (const spec of SECTIONS.find(({ name }) => name === "units")!.keys) {
    const unit = (declared as Record<string, unknown>)[spec.key];
    if (typeof unit !== "string" || spec.value.as !== "choice") continue;
    const plain = (text: string) => text.replace(/[·* ]/g, "").toLowerCase();
    const known = spec.value.of.find((option) => plain(option) === plain(unit));
    if (known !== undefined) found[spec.key] = known;
  }
  return found;
}

function variantLayers(
  data: FileData,
  source: Source,
  note: string,
  skipped: ReadonlySet<string>,
  faults: Fault[],
): Layer[] {
  const layers: Layer[] = [];
  if (data.variants?.length === 0)
    faults.push({
      key: "variants",
      problem: "is an empty list",
      remedy: 'list at least one, such as "- name: V1", or leave it out',
      place: source.locate(["variants"]),
    });
  const count = data.variants?.length ?? 0;
  if (count > MOST_DESIGNS)
    faults.push({
      key: "variants",
      problem: `lists ${count.toLocaleString("en")} variants`,
      remedy: `keep a file within ${MOST_DESIGNS.toLocaleString("en")} designs`,
      place: source.locate(["variants"]),
    });
  for (const [k, variant] of (count > MOST_DESIGNS ? [] : (data.variants ?? [])).entries()) {
    if (variant.name === undefined && !skipped.has(`variant ${k}`))
      faults.push({
        key: "name",
        problem: `missing (variant number ${k + 1})`,
        remedy: "begin the variant with a line such as - name: V1 fillet",
        place: source.locate(["variants", k]),
      });
    const name = wordOf(variant.name) ?? `variant ${k + 1}`;
    if (skipped.has(`variant ${k}`)) continue;
    layers.push({
      name,
      note: wordOf(variant.note) ?? note,
      over: variant,
      paths: (section, key) => [key === "" ? ["variants", k, section] : ["variants", k, section, key]],
      label: ` (variant ${quote(name)})`,
      slips: (key) => [slipOf(["variants", k], key), ...ofBase(key)],
    });
  }
  return layers;
}

/** True for two values of one key that mean the same, in whatever unit they are written. */
function sameValue(a: Value, b: Value): boolean {
  if (a.as === "refused" || b.as === "refused") return a === b;
  if (a.as === "number" && b.as === "number")
    return Math.abs(a.value - b.value) <= 1e-12 * Math.max(Math.abs(a.value), Math.abs(b.value));
  const { text: _a, ...one } = { text: "", ...a };
  const { text: _b, ...other } = { text: "", ...b };
  return JSON.stringify(one) === JSON.stringify(other);
}

/** The grid of the sweep, laid on the base; the last key runs fastest. */
function sweepLayers(data: FileData, source: Source, note: string, faults: Fault[]): Layer[] {
  if (!data.sweep) return [];
  const keys = Object.entries(data.sweep).filter(
    (entry): entry is [string, readonly Value[]] => entry[1] !== undefined,
  );
  // in the order of the file, not of the key table
  const order = Object.keys(source.raw["sweep"] as object);
  keys.sort(([a], [b]) => order.indexOf(a) - order.indexOf(b));
  // keys that are unknown are told by themselves
  if (order.length === 0)
    faults.push({
      key: "sweep",
      problem: "sweeps nothing",
      remedy: 'give a key with its values, such as "profile.root radius": [0.2 mm, 0.4 mm], or leave it out',
      place: source.locate(["sweep"]),
    });
  let count = 1;
  for (const [path, values] of keys) {
    if (values.length === 0)
      faults.push({
        key: `sweep.${path}`,
        problem: "has no values",
        remedy: "list at least one, or leave the key out",
        place: source.locate(["sweep", path]),
      });
    for (const [k, value] of values.entries()) {
      const first = values.findIndex((other) => sameValue(other, value));
      if (first === k) continue;
      const [written, before] = [k, first].map((i) =>
        asWritten((source.raw["sweep"] as Record<string, unknown[]>)[path]![i]),
      );
      // written alike they make variants of one name, which is told below
      if (written === before) continue;
      faults.push({
        key: `sweep.${path}`,
        problem: `${written} is the same as ${before}`,
        remedy: "list each value once",
        place: source.locate(["sweep", path, k]),
      });
    }
    count *= values.length;
  }
  const total = count + (data.variants?.length ?? 0);
  if (total > MOST_DESIGNS) {
    faults.push({
      key: "sweep",
      problem: `expands into ${count.toLocaleString("en")} designs (${keys.map(([, values]) => values.length).join(" × ")})`,
      remedy: `keep a file within ${MOST_DESIGNS.toLocaleString("en")} designs: sweep fewer keys, or fewer values of each`,
      place: source.locate(["sweep"]),
    });
    return [];
  }
  const specs = keys.map(([path]) => SWEPT_KEYS.find((swept) => swept.path === path)!);
  const layers: Layer[] = [];
  for (let n = 0; n < count; n++) {
    const over: Partial<Record<SectionName, Record<string, Value>>> = {};
    const at = new Map<string, Path>();
    const words: string[] = [];
    let rest = n;
    for (let k = keys.length - 1; k >= 0; k--) {
      const [path, values] = keys[k]!;
      const { section, spec } = specs[k]!;
      const index = rest % values.length;
      rest = Math.floor(rest / values.length);
      const own = over[section] ?? {};
      own[spec.key] = values[index]!;
      over[section] = own;
      at.set(path, ["sweep", path, index]);
      words.unshift(
        `${spec.key} ${asWritten((source.raw["sweep"] as Record<string, unknown[]>)[path]![index])}`,
      );
    }
    const name = words.join(", ");
    layers.push({
      name,
      note,
      over: over as Given,
      paths: (section, key) => {
        const path = at.get(`${section}.${key}`);
        return path ? [path] : [];
      },
      label: ` (${quote(name).slice(1, -1)})`,
      slips: ofBase,
    });
  }
  return layers;
}

function asWritten(raw: unknown): string {
  return (
    typeof raw === "object"
      ? JSON.stringify(raw)
          .replace(/["{}[\]]/g, "")
          .replace(/[,:]/g, " ")
      : String(raw)
  )
    .replace(/[\s/\\]+/g, " ")
    .trim()
    .slice(0, 60);
}

/** Names must be printable and, letter case aside, unique. */
function checkNames(layers: readonly Layer[], source: Source, faults: Fault[]): void {
  const seen = new Map<string, string>();
  for (const [k, layer] of layers.entries()) {
    const path: Path =
      layer.over && layer.label.startsWith(" (variant")
        ? ["variants", variantIndex(layer), "name"]
        : ["sweep"];
    const place = source.locate(path);
    const problem = path[0] === "variants" && source.has(path) ? variantNameProblem(layer.name) : null;
    if (problem) faults.push({ key: "name", ...problem, place });
    const key = nameKey(layer.name);
    const before = seen.get(key);
    if (before !== undefined && !problem)
      faults.push({
        key: path[0] === "variants" ? "name" : "sweep",
        problem: `${quote(layer.name)} is ${before === layer.name ? "taken already" : `the same name as ${quote(before)}`}`,
        remedy: path[0] === "variants" ? "give each variant a name of its own" : "list each value once",
        place,
      });
    seen.set(key, layer.name);
    if (faults.length > 4 * MOST_FAULTS && k > 0) return;
  }
}

function variantIndex(layer: Layer): number {
  return layer.paths("profile", "")[0]![1] as number;
}

/** Index of the layer that the others are compared with; the first where none is named, or none that is there. */
function comparedWith(data: FileData, layers: readonly Layer[], source: Source, faults: Fault[]): number {
  const asked = wordOf(data.report?.["compare with"]);
  if (asked === undefined) return 0;
  const found = layers.findIndex((layer) => nameKey(layer.name) === nameKey(asked));
  // one whose faults leave nothing to read is there all the same
  const unread = data.variants?.some(({ name }) => nameKey(wordOf(name) ?? "") === nameKey(asked));
  if (found < 0 && !unread) {
    const near = nearest(
      asked,
      layers.slice(0, 200).map((layer) => layer.name),
    );
    faults.push({
      key: "report.compare with",
      problem: `no variant is called ${quote(asked)}`,
      remedy: near === null ? "use the name of a variant" : `did you mean ${quote(near)}?`,
      place: source.locate(["report", "compare with"]),
    });
  }
  return Math.max(0, found);
}

type Issue = z.core.$ZodIssue;

/**
 * One of zod's findings in the project's words, placed; several where one finding names several keys. What an
 * unknown key was taken for goes into `meant`.
 */
function issueFaults(issue: Issue, source: Source, meant: Set<string>): Fault[] {
  const path = issue.path as (string | number)[];
  const { key, within, name } = pathInWords(path, source);
  const of = name === null ? {} : { variants: [name] };
  switch (issue.code) {
    case "unrecognized_keys": {
      const known = knownKeys(path);
      const kind = path[path.length - 1] === "profile" ? kindOf(path, source) : undefined;
      const faults = issue.keys.slice(0, MOST_FAULTS).map(
        (unknown): Fault => ({
          key: [key, shorten(unknown)].filter(Boolean).join("."),
          problem: `unknown key ${quote(unknown)}${within}`,
          remedy: unknownKeyRemedy(unknown, path, known, kind, meant),
          place: source.locateKey([...path, unknown]),
          ...of,
        }),
      );
      return faults;
    }
    case "custom":
      return [
        {
          key,
          problem: issue.message + within,
          remedy: String(issue.params?.["remedy"] ?? "see docs/part-file.md"),
          place: source.locate(path),
          ...of,
        },
      ];
    default:
      return [{ key, ...shapeProblem(path, within), place: source.locate(path), ...of }];
  }
}

function shapeProblem(
  path: readonly (string | number)[],
  within: string,
): { problem: string; remedy: string } {
  if (path.length === 1 && path[0] === "variants")
    return { problem: "is no list", remedy: 'begin each variant with a dash: "- name: V1"' };
  if (path[0] === "sweep")
    return path.length === 1
      ? { problem: "holds no keys", remedy: 'write "profile.root radius": [0.2 mm, 0.4 mm] under it' }
      : { problem: "is no list", remedy: "list the values in brackets: [0.2 mm, 0.4 mm]" };
  if (path[0] === "variants" && path.length === 2)
    return {
      problem: `variant number ${Number(path[1]) + 1} holds no keys`,
      remedy: 'write "- name: V1" with its changes below',
    };
  const section = SECTIONS.find(({ name }) => name === path[path.length - 1]);
  const key = section?.keys[0];
  return {
    problem: `holds no keys${within}`,
    remedy: key
      ? `write its keys indented below, such as ${key.key}: ${key.example}`
      : "write its keys indented below",
  };
}

/** The dotted key without the way into a variant, which `within` says in words; `name` of that variant, null where it has none to go by. */
function pathInWords(
  path: readonly (string | number)[],
  source: Source,
): { key: string; within: string; name: string | null } {
  if (path[0] !== "variants" || path.length < 2) return { key: words(path), within: "", name: null };
  const list = source.raw["variants"];
  const variant = Array.isArray(list) ? (list[Number(path[1])] as unknown) : undefined;
  const written =
    typeof variant === "object" && variant !== null
      ? (variant as Record<string, unknown>)["name"]
      : undefined;
  const name = typeof written === "string" && written.trim() !== "" ? written.trim() : null;
  const called = name === null ? `number ${Number(path[1]) + 1}` : quote(name);
  const rest = path.slice(2);
  return {
    key: rest.length === 0 ? "variants" : words(rest),
    within: rest[0] === "name" ? "" : ` (variant ${called})`,
    name: rest[0] === "name" ? null : name,
  };
}

/** Positions in a list are left to line and column. */
function words(path: readonly (string | number)[]): string {
  return path
    .filter((step) => typeof step === "string")
    .map(shorten)
    .join(".");
}

function shorten(text: string): string {
  return quote(text).slice(1, -1);
}

/** Keys that may stand at a place of the file. */
function knownKeys(path: readonly (string | number)[]): string[] {
  const inside = path[0] === "variants" ? path.slice(2) : path;
  if (inside.length === 0) {
    const sections = SECTIONS.filter((section) => path.length === 0 || section.perVariant).map(
      ({ name }) => name,
    );
    return path.length === 0
      ? [...TOP_KEYS.map(({ key }) => key), ...sections, "variants", "sweep"]
      : [...VARIANT_KEYS.map(({ key }) => key), ...sections];
  }
  if (inside[0] === "sweep") return SWEPT_KEYS.map((swept) => swept.path);
  return SECTIONS.find(({ name }) => name === inside[0])?.keys.map(({ key }) => key) ?? [];
}

/** Those of a profile that its kind has. */
function keysOfKind(kind: ProfileKind): string[] {
  const { keys } = SECTIONS.find(({ name }) => name === "profile")!;
  return keys.filter(({ kinds }) => !kinds || kinds.includes(kind)).map(({ key }) => key);
}

/** The kind of profile that a variant has, or the base; undefined where none is told that there is. */
function kindOf(path: readonly (string | number)[], { raw }: Source): ProfileKind | undefined {
  const told = (at: readonly (string | number)[]) => inside(raw, [...at, "profile"])?.["kind"];
  const own = path[0] === "variants" ? told(path.slice(0, 2)) : undefined;
  return PROFILE_KINDS.find((kind) => kind === (own ?? told([])));
}

function unknownKeyRemedy(
  unknown: string,
  path: readonly (string | number)[],
  known: readonly string[],
  kind: ProfileKind | undefined,
  meant: Set<string>,
): string {
  const dotted = /^([^.]+)\.(.*)$/.exec(unknown);
  const ofTrade = dotted
    ? keyMeant(dotted[1], dotted[2]!, kind)
    : keyMeant(path[path.length - 1], unknown, kind);
  if (ofTrade) return ofTrade;
  // what a unit is declared for has its own key elsewhere
  const elsewhere = SECTIONS.filter(({ keys }) => keys.some(({ key }) => key === unknown)).sort(
    (a, b) => Number(a.name === "units") - Number(b.name === "units"),
  );
  const shorter = shortFor(unknown, known);
  const meantHere = shorter.map((key) => `"${key}"`).join(" or ");
  if (path[0] !== "sweep" && elsewhere.length > 0)
    return `it belongs under "${elsewhere[0]!.name}"${meantHere && `, or did you mean ${meantHere}?`}`;
  if (shorter.length > 1) return `did you mean ${meantHere}?`;
  const unspaced = /^([^:]+):(.+)$/.exec(unknown);
  if (unspaced && known.includes(unspaced[1]!))
    return `put a space after the colon: ${quote(`${unspaced[1]}: ${unspaced[2]}`)}`;
  const near = shorter[0] ?? nearest(unknown, known);
  if (near !== null) {
    const inside = path[0] === "variants" ? path.slice(2) : path;
    meant.add(slipOf(path, words([...inside, near])));
    return `did you mean "${near}"?`;
  }
  if (path.length > 0 && /^\d/.test(unknown))
    return "a comma ends a value here: write thousands without one and decimals with a point, say 1650 mm or 16.5 mm";
  if (path[0] === "sweep") {
    const bare = SWEPT_KEYS.find(({ spec }) => spec.key === unknown.trim().toLowerCase());
    return bare ? `did you mean "${bare.path}"?` : 'name section and key, such as "profile.root radius"';
  }
  return `use one of: ${(kind ? keysOfKind(kind) : known).join(", ")}`;
}

/** Keys that an unknown one is a word of, "bore" of "bore diameter", or the first letters, "dp" of "diametral pitch"; none for too many. */
function shortFor(unknown: string, known: readonly string[]): readonly string[] {
  const asked = unknown.trim().toLowerCase();
  const found = known.filter((key) => {
    const parts = key.split(/[\s-]+/);
    return parts.length > 1 && (parts.includes(asked) || parts.map(([first]) => first).join("") === asked);
  });
  return found.length <= MOST_MEANT ? found : [];
}

const MOST_MEANT = 3;

/**
 * Takes what `issue` complains of out of `raw`: a refused value is marked, an unknown key or a section of the wrong
 * shape removed. What cannot be read without it is named in `skipped`.
 */
function takeOut(raw: Record<string, unknown>, issue: Issue, skipped: Set<string>): void {
  const path = issue.path as (string | number)[];
  const parent = inside(raw, path.slice(0, -1));
  const last = path[path.length - 1];
  if (issue.code === "unrecognized_keys") {
    const holder = inside(raw, path);
    for (const key of issue.keys) if (holder) delete holder[key];
    // the variant's intent may hang on the key that was not understood
    return;
  }
  if (!parent || last === undefined) return;
  if (issue.code === "custom") {
    parent[last as string] = REFUSED;
    return;
  }
  if (path[0] === "variants" && path.length >= 2) {
    skipped.add(`variant ${path[1]}`);
    if (path.length === 2) parent[last as string] = {};
    else delete parent[last as string];
    return;
  }
  if (path[0] === "profile" || path[0] === "load") skipped.add("base");
  delete parent[last as string];
}

function inside(
  raw: Record<string, unknown>,
  path: readonly (string | number)[],
): Record<string, unknown> | null {
  let value: unknown = raw;
  for (const step of path) {
    if (typeof value !== "object" || value === null) return null;
    value = (value as Record<string, unknown>)[step as string];
  }
  return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : null;
}

/** Top to bottom as they stand in the file, the overflow counted. */
export function inFileOrder(faults: readonly Fault[]): Fault[] {
  const ordered = [...faults].sort(
    (a, b) => (a.place?.line ?? 0) - (b.place?.line ?? 0) || (a.place?.column ?? 0) - (b.place?.column ?? 0),
  );
  if (ordered.length <= MOST_FAULTS) return ordered;
  return [
    ...ordered.slice(0, MOST_FAULTS),
    { key: "", problem: `and ${ordered.length - MOST_FAULTS} more`, remedy: "put these right first" },
  ];
}
