/**
 * Reads "0.030 in", "915 lbf ft", "3/8 in", "30 deg 15 min" into the project's own units. The unit algebra is
 * mathjs's, built from its unit class alone: the rest of that library would cost 0.1 s of every start.
 */
import { createUnitClass } from "mathjs";
import { quote } from "./names.ts";

declare module "mathjs" {
  interface BareUnit {
    toNumber(unit: string): number;
    equalBase(other: BareUnit): boolean;
  }
  interface BareUnitClass {
    parse(text: string): BareUnit;
    createUnitSingle(name: string, definition: { readonly definition: string }): BareUnit;
  }
  /** Factory without the typed-function machinery; the library exports it but leaves it out of its types. */
  function createUnitClass(dependencies: Readonly<Record<string, unknown>>): BareUnitClass;
}

/** What a quantity measures. "pitch" is teeth per length (diametral pitch). */
export type Dimension = "length" | "angle" | "torque" | "stress" | "force" | "pitch";

/** Own unit of each dimension, and how a reader is told to write one. */
export const DIMENSIONS: Readonly<
  Record<Dimension, { readonly unit: string; readonly a: string; readonly units: string }>
> = {
  length: { unit: "mm", a: "a length", units: "mm, cm, m, um, in, thou, ft" },
  angle: { unit: "rad", a: "an angle", units: "deg, rad" },
  torque: { unit: "N mm", a: "a torque", units: "N m, kN m, N mm, lbf ft, lbf in" },
  stress: { unit: "MPa", a: "a stress", units: "MPa, GPa, N/mm^2, psi, ksi" },
  force: { unit: "N", a: "a force", units: "N, kN, lbf" },
  pitch: { unit: "1/in", a: "a pitch per length", units: "1/in" },
};

export type UnitSystem = "metric" | "inch" | "neither";

export type Reading<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: string; readonly remedy: string };

export interface Measure {
  /** In the dimension's own unit. */
  readonly value: number;
  readonly system: UnitSystem;
}

const Unit = createUnitClass({
  config: { number: "number", predictable: false },
  addScalar: (a: number, b: number) => a + b,
  subtractScalar: (a: number, b: number) => a - b,
  multiplyScalar: (a: number, b: number) => a * b,
  divideScalar: (a: number, b: number) => a / b,
  pow: (a: number, b: number) => a ** b,
  abs: Math.abs,
  fix: Math.trunc,
  round: Math.round,
  equal: (a: number, b: number) => a === b,
  isNumeric: (x: unknown) => typeof x === "number",
  format: String,
  number: Number,
  Complex: class {},
  BigNumber: class {},
  Fraction: class {},
});

Unit.createUnitSingle("ksi", { definition: "1000 psi" });
Unit.createUnitSingle("thou", { definition: "0.001 in" });

/** What an unexpected unit turns out to measure, so that a message can name it. Torque and energy share one. */
const KINDS: readonly (readonly [string, string])[] = [
  ["a length", "mm"],
  ["an angle", "rad"],
  ["a torque", "N m"],
  ["a stress", "MPa"],
  ["a force", "N"],
  ["a mass", "kg"],
  ["a time", "s"],
  ["a pitch per length", "mm^-1"],
  ["an area", "mm^2"],
  ["a mass times a length", "kg m"],
];

const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const FRACTION = /^(?:(\d+)[ -])?(\d+)\/(\d+)\s*([a-zA-Z"″].*)$/;
const PLAIN = new RegExp(`^(${NUMBER})\\s*(.*)$`, "s");
/** A diametral pitch as inch drawings write it, with the stub pitch that sets the tooth's height after a stroke. */
const WITH_STUB_PITCH = /^(\d+(?:\.\d+)?)\s*\/\s*(\d+(?:\.\d+)?)$/;
const DEGREES_MINUTES = /^([+-]?\d+)\s*(?:°|deg)\s*(\d+(?:\.\d+)?)\s*(?:'|′|min|arcmin)$/;

/** Splits "0.030 in" into its number and unit text; null when it does not start with a number. */
export function splitQuantity(text: string): { number: number; unit: string } | null {
  const trimmed = text.trim().replace(/^−/, "-");
  const fraction = FRACTION.exec(trimmed);
  if (fraction && Number(fraction[3]) !== 0)
    return {
      number: Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]),
      unit: fraction[4]!.trim(),
    };
  const plain = PLAIN.exec(trimmed);
  return plain ? { number: Number(plain[1]), unit: plain[2]!.trim() } : null;
}

/** A comma may part thousands or be the decimal mark: which it was is the user's to say, and one reading is a thousand times the other. */
function withoutComma(text: string): string {
  const european = /^[+-]?\d{1,3}(\.\d{3})+,\d/.test(text.trim());
  const point = (european ? text.replaceAll(".", "") : text).replace(",", ".").trim();
  const thousands = /^[+-]?\d{1,3}(,\d{3})+(?!\d)/.test(text.trim());
  if (!thousands) return `write decimals with a point: ${quote(point)}`;
  const plain = quote(text.replaceAll(",", "").trim());
  return text.indexOf(",") === text.lastIndexOf(",") && !text.includes(".")
    ? `write ${plain} if it parts thousands, ${quote(point)} if it is a decimal mark`
    : `write thousands without one: ${plain}`;
}

/** Reads one quantity of the given dimension. `example` shows the reader a good one. */
export function readQuantity(text: string, dimension: Dimension, example: string): Reading<Measure> {
  const { a, units } = DIMENSIONS[dimension];
  const remedy = `write ${a} such as ${example} (${units})`;
  const refuse = (problem: string, how = remedy): Reading<Measure> => ({ ok: false, problem, remedy: how });
  if (text.length > 60) return refuse(`${quote(text)} is too long to be a quantity`);
  const minutes = DEGREES_MINUTES.exec(text.trim());
  if (minutes && dimension === "angle") {
    const degrees = Math.abs(Number(minutes[1])) + Number(minutes[2]) / 60;
    const sign = minutes[1]!.startsWith("-") ? -1 : 1;
    return { ok: true, value: { value: (sign * degrees * Math.PI) / 180, system: "neither" } };
  }
  const stub = dimension === "pitch" ? WITH_STUB_PITCH.exec(text.trim()) : null;
  if (stub) {
    // ANSI B92.1: the second number of the designation is always twice the first
    if (Number(stub[2]) === 2 * Number(stub[1]))
      return { ok: true, value: { value: Number(stub[1]), system: "inch" } };
    return refuse(`${quote(text)} is no spline pitch: the stub pitch after the stroke is twice the pitch`);
  }
  if (/\d\s*(\.\.|…|–|to\s)\s*\d/.test(text))
    return refuse(`${quote(text)} is a range`, `${remedy}: one value here; list several under "sweep"`);
  if (/\d,\d/.test(text)) return refuse(`${quote(text)} has a comma`, withoutComma(text));
  const split = splitQuantity(text);
  if (!split) return refuse(`${quote(text)} does not begin with a number`);
  if (split.unit === "" || /^\/\s*\d+$/.test(split.unit)) return refuse(`${quote(text)} has no unit`);
  const factor = unitFactor(split.unit, dimension);
  if (typeof factor === "string") {
    const inForce = withForce(text);
    const pounds = inForce !== null && readQuantity(inForce, dimension, example).ok;
    return refuse(
      factor === ""
        ? `${quote(split.unit)} is no unit known here`
        : `${quote(text)} is ${factor}, ${a} was expected`,
      pounds ? `write ${quote(inForce)}: the pound of force is "lbf", "lb" alone is a mass` : remedy,
    );
  }
  return {
    ok: true,
    value: { value: inOwnUnit(split.number, factor, dimension), system: unitSystem(split.unit) },
  };
}

/** The same with every pound as one of force; null where there is none. */
function withForce(text: string): string | null {
  const pound = /\b(?:lbs?|pounds?)\b|(?<=[.·])lbs?\b/gi;
  return pound.test(text) ? text.replace(pound, "lbf").replace(/(?<=[a-z])\.(?=[a-z])/gi, " ") : null;
}

/** Fifteen figures, so that 0.030 in is 0.762 mm and not 0.7619999999999999. */
export function inOwnUnit(number: number, factor: number, dimension: Dimension): number {
  // 30 deg stays the same double as 30 * π / 180 is elsewhere
  const exact = factor === 1 || dimension === "angle";
  return exact ? number * factor : Number((number * factor).toPrecision(15));
}

const factors = new Map<string, number | string>();

/** Own units per one of `unit`; else what the unit measures instead, "" when it is no unit at all. */
export function unitFactor(unit: string, dimension: Dimension): number | string {
  const memo = `${dimension} ${unit}`;
  let factor = factors.get(memo);
  if (factor === undefined) {
    factor = computeFactor(plainUnit(unit), dimension);
    if (factors.size < 1000) factors.set(memo, factor);
  }
  return factor;
}

function computeFactor(unit: string, dimension: Dimension): number | string {
  const parsed = parseUnit(unit);
  if (!parsed) return "";
  const own = dimension === "pitch" ? "in^-1" : DIMENSIONS[dimension].unit;
  if (parsed.equalBase(Unit.parse(`1 ${own}`))) return parsed.toNumber(own);
  const kind = KINDS.find(([, example]) => parsed.equalBase(Unit.parse(`1 ${example}`)));
  return kind ? kind[0] : "something else";
}

function parseUnit(unit: string) {
  try {
    return Unit.parse(`1 ${unit}`);
  } catch {
    return null;
  }
}

/** A shop's spellings in the unit algebra's own. */
function plainUnit(spelt: string): string {
  // spaces that do not break lines, as word processors leave them
  const unit = spelt.replace(/\s+/g, " ");
  return unit
    .replace(/[·⋅•×*]/g, " ")
    .replace(/([a-zA-Z])-(?=[a-zA-Z])/g, "$1 ")
    .replace(/[µμ]/g, "u")
    .replace(/²/g, "^2")
    .replace(/°/g, "deg")
    .replace(/["″]/g, "in")
    .replace(/^(?:1\s*\/|per\b)\s*/, "/")
    .replace(/\b(k?N)(mm|m)\b/g, "$1 $2");
}

/** Which workshop a unit comes from; angles come from neither. */
export function unitSystem(unit: string): UnitSystem {
  const words = plainUnit(unit).match(/[a-zA-Z]+/g) ?? [];
  if (
    words.some((word) => /^(in|inch|inches|ft|foot|feet|yd|mil|mils|thou|lbf|psi|ksi|kip|kips)$/.test(word))
  )
    return "inch";
  return words.every((word) => /^(deg|degree|degrees|rad|radian|radians|arcmin|arcsec)$/.test(word))
    ? "neither"
    : "metric";
}
