/** One value of a part file, read as its key asks. */
import { atLeast, atMost } from "./figures.ts";
import { convertHardness, type HardnessScale, hardnessRange } from "./hardness.ts";
import type { KeySpec, ValueKind } from "./keys.ts";
import { quote } from "./names.ts";
import { nearest } from "./nearest.ts";
import {
  type Dimension,
  inOwnUnit,
  type Reading,
  readQuantity,
  type UnitSystem,
  unitFactor,
  unitSystem,
} from "./quantity.ts";
import { MM_PER_INCH, MPA_PER_KSI, N_PER_LBF, NMM_PER_LBF_FT } from "./units.ts";

export type Value =
  /** A count, a number, a fraction (from %) or a quantity in its own unit. */
  | { readonly as: "number"; readonly value: number }
  | { readonly as: "word"; readonly word: string }
  /** Hardness in HRC, a depth in mm, or a range in its own unit. */
  | { readonly as: "window"; readonly low: number; readonly high: number; readonly text: string }
  | { readonly as: "band"; readonly from: number; readonly to: number }
  /** `[tooth counted from 1, share]`. */
  | { readonly as: "shares"; readonly shares: readonly (readonly [number, number])[] }
  /** Stands where a value was refused, so that it is not also called missing. */
  | { readonly as: "refused" };

/** What bare numbers mean in this file, and which unit systems it has used so far. */
export interface FileUnits {
  readonly bare: Readonly<Partial<Record<string, string>>>;
  readonly used: Set<UnitSystem>;
}

const refuse = (problem: string, remedy: string): Reading<never> => ({ ok: false, problem, remedy });

/** Reads `raw` for `spec`. Notes which units it meets in `units.used`. */
export function readValue(spec: KeySpec, raw: unknown, units: FileUnits): Reading<Value> {
  const { value: kind, example } = spec;
  const such = `write ${kindInWords(kind)} such as ${example}`;
  if (raw === null || raw === undefined) return refuse("is empty", such);
  if (typeof raw === "boolean") {
    // "true" is taken where a key asks yes or no
    if (kind.as === "choice" && kind.of.includes("yes"))
      return { ok: true, value: { as: "word", word: raw ? "yes" : "no" } };
    return refuse(`${raw} is no value for this key`, such);
  }
  switch (kind.as) {
    case "text": {
      if (typeof raw === "number")
        return refuse(`${raw} reads as a number, a text was expected`, "put it in quotes");
      if (typeof raw !== "string") return refuse(notOne(raw), such);
      if (raw.trim() === "") return refuse("is blank", such);
      const characters = [...raw.trim()].length;
      if (characters > kind.most)
        return refuse(`is ${characters} characters long`, `use ${kind.most} or fewer`);
      if (kind.oneLine && /[\p{Cc}\p{Cf}\u2028\u2029]/u.test(raw.trim()))
        return refuse(
          "holds a line break or characters that do not print",
          "keep it to plain characters on one line",
        );
      return { ok: true, value: { as: "word", word: raw.trim() } };
    }
    case "word":
      if (typeof raw !== "string" && typeof raw !== "number") return refuse(notOne(raw), such);
      if (String(raw).trim() === "") return refuse("is blank", such);
      return { ok: true, value: { as: "word", word: String(raw).trim() } };
    case "choice":
      return readChoice(raw, kind);
    case "count":
    case "number":
      return readNumber(raw, kind, such);
    case "percent":
      return readPercent(raw, kind, example);
    case "quantity":
      return readMeasure(raw, kind, example, units);
    case "hardness":
      return readHardness(raw, example);
    case "depth":
      return readDepth(raw, example, units);
    case "range":
      return readRange(raw, kind, example, units);
    case "band":
      return readBand(raw, kind, example, units);
    case "teeth":
      return readTeeth(raw, example);
    case "tooth loads":
      return readToothLoads(raw, example);
  }
}

/** "a length", "one of involute, straight": what a key takes, for messages and documents. */
export function kindInWords(kind: ValueKind): string {
  switch (kind.as) {
    case "text":
      return "a text";
    case "word":
      return "a word";
    case "choice":
      return `one of ${kind.of.join(", ")}`;
    case "count":
      return "a whole number";
    case "number":
      return "a plain number";
    case "percent":
      return "a percentage";
    case "quantity":
      return kind.dimension === "pitch"
        ? "teeth per inch"
        : `${kind.dimension === "angle" ? "an" : "a"} ${kind.dimension}`;
    case "hardness":
      return "a hardness or a range of it";
    case "depth":
      return "a depth or a range of it";
    case "range":
      return `a ${kind.dimension ?? "plain number"} or a range of it`;
    case "band":
      return "two limits";
    case "teeth":
      return "a list of tooth numbers";
    case "tooth loads":
      return "tooth numbers with their shares";
  }
}

/** "more than 0 and up to 10000 mm": the limits of a key, empty when it has none; in inch units, rounded inward, where asked for. */
export function limitsInWords(kind: ValueKind, inch = false): string {
  const measured = kind.as === "quantity" || kind.as === "range" || kind.as === "band" ? kind : null;
  const dimension = measured?.as === "band" ? "length" : measured?.dimension;
  const shown = inch && dimension && INCH[dimension];
  if (measured && shown) {
    const { perUnit, unit } = shown;
    const [least, most] = [measured.least / perUnit, measured.most / perUnit];
    const down = (x: number): number => (x < 0 ? -Number(atLeast(-x, 5)) : Number(atMost(x, 5)));
    return span(
      -down(-least),
      down(most),
      ` ${unit}`,
      measured.as === "quantity" && measured.aboveZero === true,
    );
  }
  switch (kind.as) {
    case "count":
    case "number":
      return span(kind.least, kind.most, "", "aboveZero" in kind);
    case "percent":
      return span(100 * kind.least, 100 * kind.most, " %", kind.aboveZero === true);
    case "quantity": {
      const { perUnit, unit } = SHOWN[kind.dimension];
      return span(kind.least / perUnit, kind.most / perUnit, ` ${unit}`, kind.aboveZero === true);
    }
    case "range": {
      const { perUnit, unit } = kind.dimension ? SHOWN[kind.dimension] : { perUnit: 1, unit: "" };
      return span(kind.least / perUnit, kind.most / perUnit, unit && ` ${unit}`, kind.aboveZero === true);
    }
    case "band":
      return span(kind.least, kind.most, " mm", false);
    default:
      return "";
  }
}

/** Unit in which limits are told, and own units in one of it. */
const SHOWN: Readonly<Record<Dimension, { readonly unit: string; readonly perUnit: number }>> = {
  length: { unit: "mm", perUnit: 1 },
  angle: { unit: "deg", perUnit: Math.PI / 180 },
  torque: { unit: "N m", perUnit: 1000 },
  stress: { unit: "MPa", perUnit: 1 },
  force: { unit: "N", perUnit: 1 },
  pitch: { unit: "/in", perUnit: 1 },
};

/** The same of what inch files are written in. */
const INCH: Readonly<Partial<Record<Dimension, { readonly unit: string; readonly perUnit: number }>>> = {
  length: { unit: "in", perUnit: MM_PER_INCH },
  torque: { unit: "lbf ft", perUnit: NMM_PER_LBF_FT },
  stress: { unit: "ksi", perUnit: MPA_PER_KSI },
  force: { unit: "lbf", perUnit: N_PER_LBF },
};

function span(least: number, most: number, unit: string, aboveZero: boolean): string {
  const text = (x: number) => String(Number(x.toPrecision(6)));
  return aboveZero ? `more than 0 and up to ${text(most)}${unit}` : `${text(least)} to ${text(most)}${unit}`;
}

function inLimits(
  value: number,
  kind: { readonly least: number; readonly most: number; readonly aboveZero?: true },
): boolean {
  // the limits are typed in whole degrees and may differ from what was read in the last bit
  const slack = 1e-12 * Math.max(Math.abs(kind.least), Math.abs(kind.most));
  return value >= kind.least - slack && value <= kind.most + slack && !(kind.aboveZero && value <= 0);
}

function notOne(raw: unknown): string {
  if (Array.isArray(raw)) return "is a list";
  if (typeof raw === "object" && raw !== null) return "holds keys of its own";
  return `${quote(String(raw))} is no value for this key`;
}

function readChoice(raw: unknown, { of, called }: ValueKind & { as: "choice" }): Reading<Value> {
  if (typeof raw !== "string")
    return refuse(
      typeof raw === "number" ? `${raw} is no choice here` : notOne(raw),
      `use one of: ${of.join(", ")}`,
    );
  const plain = raw.trim().replace(/\s+/g, " ");
  const found =
    of.find((option) => option.toLowerCase() === plain.toLowerCase()) ??
    of.find((option) => option.replace(/ /g, "") === plain.replace(/[·* ]/g, ""));
  if (found !== undefined) return { ok: true, value: { as: "word", word: found } };
  const near = nearest(plain, of);
  const meant = near === null ? called?.(plain) : null;
  return refuse(
    `${quote(raw)} is no choice here`,
    near === null
      ? `${meant ? `${meant}; ` : ""}use one of: ${of.join(", ")}`
      : `did you mean "${near}"? The choices are: ${of.join(", ")}`,
  );
}

function readNumber(
  raw: unknown,
  kind: ValueKind & { as: "count" | "number" },
  such: string,
): Reading<Value> {
  if (typeof raw === "string" && /%\s*$/.test(raw)) return refuse(`${quote(raw)} is a percentage`, such);
  if (typeof raw === "string") return refuse(`${quote(raw)} is no plain number`, such);
  if (typeof raw !== "number") return refuse(notOne(raw), such);
  if (!Number.isFinite(raw)) return refuse("is no finite number", such);
  if (kind.as === "count" && !Number.isInteger(raw)) return refuse(`${raw} is no whole number`, such);
  if (!inLimits(raw, kind)) return refuse(`${raw} is out of range`, `use ${limitsInWords(kind)}`);
  return { ok: true, value: { as: "number", value: raw } };
}

function readPercent(raw: unknown, kind: ValueKind & { as: "percent" }, example: string): Reading<Value> {
  const such = `write a percentage such as ${example}${kind.words ? `, or "${kind.words.join('", "')}"` : ""}`;
  if (typeof raw === "number")
    return refuse(
      Number.isFinite(raw) ? `${raw} could be a fraction or a percentage` : "is no finite number",
      such,
    );
  if (typeof raw !== "string") return refuse(notOne(raw), such);
  const word = kind.words?.find((known) => known === raw.trim().toLowerCase());
  if (word) return { ok: true, value: { as: "word", word } };
  const percent = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(?:%|percent|per cent)$/.exec(raw.trim());
  if (!percent)
    return refuse(
      `${quote(raw)} is no percentage`,
      kind.notKnown ? `${such} (not known? ${kind.notKnown})` : such,
    );
  const value = Number((Number(percent[1]) / 100).toPrecision(15));
  if (!inLimits(value, kind)) return refuse(`${raw.trim()} is out of range`, `use ${limitsInWords(kind)}`);
  return { ok: true, value: { as: "number", value } };
}

type MeasureKind = ValueKind & { as: "quantity" };

/** A shorter edge is lost in the rounding of the largest parts that can be written. */
const SHORTEST_MM = 1e-5;

function readMeasure(raw: unknown, kind: MeasureKind, example: string, units: FileUnits): Reading<Value> {
  const { dimension } = kind;
  const or = kind.words ? `, or "${kind.words.join('", "')}"` : "";
  if (typeof raw === "string") {
    const word = kind.words?.find((known) => known === raw.trim().toLowerCase());
    if (word) return { ok: true, value: { as: "word", word } };
  }
  const read = readRaw(raw, dimension, example, units, kind.bare === true);
  if (!read.ok) return { ...read, remedy: read.remedy + or };
  const found = String(raw).trim();
  if (dimension === "length" && read.value > 0 && read.value < SHORTEST_MM) {
    const zero = kind.least === 0 && !kind.aboveZero ? "0 for none, or " : "";
    return refuse(
      `${found} is shorter than anything that is cut`,
      `write ${zero}${SHORTEST_MM.toFixed(5)} mm or more${or}`,
    );
  }
  if (!inLimits(read.value, kind)) {
    const instead = read.value === 0 && kind.insteadOfZero;
    return refuse(
      `${found} is out of range`,
      instead || `use ${limitsInWords(kind, isInch(raw, dimension, units))}${or}`,
    );
  }
  return { ok: true, value: { as: "number", value: read.value } };
}

/** Is a quantity that was read written in inch units? */
function isInch(raw: unknown, dimension: Dimension, units: FileUnits): boolean {
  if (typeof raw !== "string") return unitSystem(units.bare[dimension] ?? "") === "inch";
  const read = readQuantity(raw, dimension, "");
  return read.ok && read.value.system === "inch";
}

/** A quantity with unit, 0, or a bare number where the file declared a unit; in the dimension's own unit. */
function readRaw(
  raw: unknown,
  dimension: Dimension,
  example: string,
  units: FileUnits,
  bareAllowed: boolean,
): Reading<number> {
  if (typeof raw === "number") {
    if (!Number.isFinite(raw)) return refuse("is no finite number", `write a quantity such as ${example}`);
    if (raw === 0) return { ok: true, value: 0 };
    if (bareAllowed) {
      if (dimension === "pitch") units.used.add("inch");
      return { ok: true, value: raw };
    }
    const declared = units.bare[dimension];
    if (declared === undefined)
      return refuse(
        `${raw} has no unit`,
        `write it with its unit, such as ${example}${dimension === "pitch" ? "" : `; or declare "${dimension}" under "units"`}`,
      );
    units.used.add(unitSystem(declared));
    return { ok: true, value: inOwnUnit(raw, unitFactor(declared, dimension) as number, dimension) };
  }
  if (typeof raw !== "string") return refuse(notOne(raw), `write a quantity such as ${example}`);
  const read = readQuantity(raw, dimension, example);
  if (!read.ok) return read;
  if (!Number.isFinite(read.value.value))
    return refuse(`${quote(raw)} is no finite number`, `write a quantity such as ${example}`);
  units.used.add(read.value.system);
  return { ok: true, value: read.value.value };
}

const PLAIN_NUMBER = String.raw`\d+(?:\.\d+)?`;
const RANGE_DASH = String.raw`\s*(?:\.\.\.?|…|–|-|\bto\b)\s*`;
const HARDNESS = new RegExp(
  `^(?:(HRC|HV|HB|HBW)\\s*)?(${PLAIN_NUMBER})(?:${RANGE_DASH}(${PLAIN_NUMBER}))?\\s*(HRC|HV|HB|HBW)?$`,
  "i",
);

function readHardness(raw: unknown, example: string): Reading<Value> {
  const such = `write a hardness such as ${example} or 40 HRC (HRC, HV, HB)`;
  if (typeof raw === "number") return refuse(`${raw} has no hardness scale`, such);
  if (typeof raw !== "string") return refuse(notOne(raw), such);
  const match = HARDNESS.exec(raw.trim());
  if (!match) {
    // as shops and older drawings have them
    const usual = raw
      .trim()
      .replace(/\b(?:Rc|RC|R_C|HRc)\b/i, "HRC")
      .replace(/\bBHN\b/i, "HB");
    return refuse(
      `${quote(raw)} is no hardness`,
      HARDNESS.test(usual) && usual !== raw.trim() ? `write ${quote(usual)}` : such,
    );
  }
  const named = (match[1] ?? match[4])?.toUpperCase();
  if (named === undefined || (match[1] && match[4]))
    return refuse(`${quote(raw)} has ${named ? "two hardness scales" : "no hardness scale"}`, such);
  const scale = (named === "HBW" ? "HB" : named) as HardnessScale;
  const a = Number(match[2]);
  const b = match[3] === undefined ? a : Number(match[3]);
  if (a > b) return refuse(`${quote(raw)} runs downward`, `write the softer end first: ${b}..${a} ${named}`);
  const low = convertHardness(a, scale, "HRC");
  const high = convertHardness(b, scale, "HRC");
  if (low === null || high === null) {
    const [softest, hardest] = hardnessRange(scale);
    return refuse(
      `${quote(raw)} is outside the hardness tables`,
      `use ${softest} to ${hardest} ${scale}${low === null && a < softest ? '; of softer steel nothing is known here but the stresses, without a "steel" section' : ""}`,
    );
  }
  return { ok: true, value: { as: "window", low, high, text: raw.trim() } };
}

const RANGE = new RegExp(`^([+-]?${PLAIN_NUMBER})${RANGE_DASH}([+-]?${PLAIN_NUMBER})\\s*(.*)$`);

/**
 * Both ends of a range as they would be written alone, or the one value that it is; null for a range that lacks its unit. A bare
 * one takes the unit that the file declares, as bare single numbers do.
 */
function rangeEnds(
  range: RegExpExecArray | null,
  raw: unknown,
  dimension: Dimension | null,
  units: FileUnits,
): readonly unknown[] | null {
  if (!range) return [raw];
  const [, low, high, unit] = range;
  if (unit !== "") return [`${low} ${unit}`, `${high} ${unit}`];
  if (dimension !== null && units.bare[dimension] === undefined) return null;
  return [Number(low), Number(high)];
}

function readDepth(raw: unknown, example: string, units: FileUnits): Reading<Value> {
  const such = `write a depth such as ${example}`;
  if (typeof raw !== "string" && typeof raw !== "number") return refuse(notOne(raw), such);
  const ends = rangeEnds(RANGE.exec(String(raw).trim()), raw, "length", units);
  if (!ends) return refuse(`${quote(String(raw))} has no unit`, such);
  const depths: number[] = [];
  for (const end of ends) {
    const read = readRaw(end, "length", example, units, false);
    if (!read.ok) return read;
    if (!(read.value > (depths[0] ?? 0) && read.value <= 20))
      return refuse(`${quote(String(raw))} is no depth of a case`, `${such}, smaller end first`);
    depths.push(read.value);
  }
  return {
    ok: true,
    value: { as: "window", low: depths[0]!, high: depths.at(-1)!, text: String(raw).trim() },
  };
}

/** One value, or "low..high" with one unit for both; plain numbers where the key has no dimension. */
function readRange(
  raw: unknown,
  kind: ValueKind & { as: "range" },
  example: string,
  units: FileUnits,
): Reading<Value> {
  const { dimension } = kind;
  const such = `write ${kindInWords(kind)} such as ${example}`;
  const range = typeof raw === "string" ? RANGE.exec(raw.trim()) : null;
  const ends = rangeEnds(range, raw, dimension, units);
  if (!ends) return refuse(`${quote(String(raw))} has no unit`, such);
  if (range && !dimension && range[3] !== "")
    return refuse(`${quote(String(raw))} has a unit, or something else behind its numbers`, such);
  const unit = range?.[3] ? ` ${range[3]}` : "";
  const found: number[] = [];
  for (const end of ends) {
    let value: number;
    if (dimension) {
      const read = readRaw(end, dimension, example, units, false);
      if (!read.ok) return read;
      value = read.value;
    } else {
      value = typeof end === "number" ? end : Number(String(end).trim() || Number.NaN);
      if (!Number.isFinite(value))
        return refuse(
          typeof raw === "string"
            ? `${quote(raw)} is no plain number and no range of it`
            : typeof raw === "number"
              ? "is no finite number"
              : notOne(raw),
          such,
        );
    }
    if (!inLimits(value, kind))
      return refuse(
        `${String(end).trim()} is out of range`,
        `use ${limitsInWords(kind, dimension !== null && isInch(end, dimension, units))}`,
      );
    found.push(value);
  }
  const [low, high = low] = found as [number, number?];
  if (low > high)
    return refuse(
      `${quote(String(raw))} runs downward`,
      `write the smaller end first: ${range![2]}..${range![1]}${unit}`,
    );
  return { ok: true, value: { as: "window", low, high, text: String(raw).trim() } };
}

function readBand(
  raw: unknown,
  kind: ValueKind & { as: "band" },
  example: string,
  units: FileUnits,
): Reading<Value> {
  const such = `write its limits such as ${example}`;
  if (typeof raw !== "object" || raw === null || Array.isArray(raw))
    return refuse("is no pair of limits", such);
  const extra = Object.keys(raw).find((key) => key !== "from" && key !== "to");
  if (extra !== undefined) return refuse(`holds an unknown key ${quote(extra)}`, such);
  const ends: number[] = [];
  for (const end of ["from", "to"] as const) {
    const given = (raw as Record<string, unknown>)[end];
    if (given === undefined || given === null) return refuse(`has no "${end}"`, such);
    const read = readRaw(given, "length", end === "from" ? "32.4 mm" : "36 mm", units, false);
    if (!read.ok) return refuse(`"${end}": ${read.problem}`, read.remedy);
    if (!inLimits(read.value, kind))
      return refuse(
        `"${end}" ${String(given)} is out of range`,
        `use ${limitsInWords(kind, isInch(given, "length", units))}`,
      );
    ends.push(read.value);
  }
  if (!(ends[0]! < ends[1]!)) return refuse('"from" is not less than "to"', "give the smaller limit first");
  return { ok: true, value: { as: "band", from: ends[0]!, to: ends[1]! } };
}

function toothNumber(raw: unknown): number | null {
  const value = typeof raw === "string" && /^\d+$/.test(raw.trim()) ? Number(raw) : raw;
  return typeof value === "number" && Number.isInteger(value) && value >= 1 ? value : null;
}

function readTeeth(raw: unknown, example: string): Reading<Value> {
  const such = `list tooth numbers counted from 1, such as ${example}`;
  if (typeof raw === "object" && raw !== null && !Array.isArray(raw))
    return refuse(
      "gives shares, which belong under another key",
      `write "tooth loads" for teeth with their shares, or ${such}`,
    );
  if (!Array.isArray(raw) || raw.length === 0) return refuse("is no list of tooth numbers", such);
  if (raw.length > 400) return refuse(`lists ${raw.length} teeth`, such);
  const teeth = raw.flatMap((item) => toothNumber(item) ?? []);
  const odd = raw.filter((item) => toothNumber(item) === null).map((item) => quote(String(item)));
  const twice = [...new Set(teeth.filter((tooth, k) => teeth.indexOf(tooth) !== k))];
  if (odd.length + twice.length > 0)
    return refuse(
      [
        ...(odd.length > 0
          ? [`${odd.join(", ")} ${odd.length > 1 ? "are no tooth numbers" : "is no tooth number"}`]
          : []),
        ...(twice.length > 0
          ? [
              twice.length > 1
                ? `teeth ${twice.join(", ")} are listed twice`
                : `tooth ${twice[0]} is listed twice`,
            ]
          : []),
      ].join(", and "),
      twice.length === 0 ? such : odd.length === 0 ? "list each tooth once" : `${such}, each once`,
    );
  return {
    ok: true,
    value: { as: "shares", shares: teeth.map((tooth) => [tooth, 1 / teeth.length] as const) },
  };
}

function readToothLoads(raw: unknown, example: string): Reading<Value> {
  const such = `write tooth numbers with their shares, such as ${example}`;
  if (Array.isArray(raw))
    return refuse("is a list without shares", `write "loaded teeth" for teeth that carry alike, or ${such}`);
  if (typeof raw !== "object" || raw === null) return refuse("holds no tooth numbers", such);
  const entries = Object.entries(raw);
  if (entries.length === 0 || entries.length > 400) return refuse(`names ${entries.length} teeth`, such);
  const shares: [number, number][] = [];
  let sum = 0;
  for (const [key, share] of entries) {
    const tooth = toothNumber(key);
    if (tooth === null) return refuse(`${quote(key)} is no tooth number`, such);
    const read = readPercent(share, { as: "percent", least: 0, most: 1 }, "50 %");
    if (!read.ok) return refuse(`tooth ${tooth}: ${read.problem}`, read.remedy);
    const value = read.value.as === "number" ? read.value.value : 0;
    shares.push([tooth, value]);
    sum += value;
  }
  // thirds are written 33.3 %: a thousandth may be missing and is spread over all
  if (Math.abs(sum - 1) > 1.001e-3)
    return refuse(
      `the shares add up to ${Number((100 * sum).toPrecision(4))} %`,
      "make them add up to 100 %",
    );
  return {
    ok: true,
    value: { as: "shares", shares: shares.map(([tooth, value]) => [tooth, value / sum] as const) },
  };
}
