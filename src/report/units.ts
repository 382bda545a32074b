import {
  atMost,
  formatStress,
  inUnits,
  MM_PER_INCH,
  NMM_PER_LBF_FT,
  significant,
  type UnitChoice,
} from "../design/index.ts";

/** As in a table, which has a dash where there is no number. */
export const figures = (value: number, count = 3): string =>
  Number.isFinite(value) ? significant(value, count) : "–";

/** A dimension from a drawing: up to `decimals` places, no trailing zeros. */
export function trimmed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
}

/** In the user's first unit only, where room is short. */
export function shortStressText(mpa: number, units: UnitChoice): string {
  return formatStress(mpa, units === "inch" ? "inch" : "metric");
}

/** "0.8 mm (0.0315 in)". `mm` in mm; at most 3 places in mm and 4 in inches. */
export function lengthText(mm: number, units: UnitChoice): string {
  // what is not nothing does not print as nothing
  const told = (value: number, decimals: number) =>
    value !== 0 && Number(value.toFixed(decimals)) === 0
      ? String(Number(value.toPrecision(2)))
      : trimmed(value, decimals);
  return inUnits(`${told(mm, 3)} mm`, `${told(mm / MM_PER_INCH, 4)} in`, units);
}

/** A unit that a column of torques stands in, and how many N·mm it is. */
export interface TorqueUnit {
  readonly name: "N·m" | "lbf·ft";
  readonly nmm: number;
}

/** The units of a table's torques: the user's, or both, the metric one first. */
export function torqueUnits(units: UnitChoice): [TorqueUnit, ...TorqueUnit[]] {
  const metric: TorqueUnit = { name: "N·m", nmm: 1000 };
  const inch: TorqueUnit = { name: "lbf·ft", nmm: NMM_PER_LBF_FT };
  return units === "metric" ? [metric] : units === "inch" ? [inch] : [metric, inch];
}

/** A torque in the user's units, or both, the second in brackets; `text` makes the figures of one, given its N·mm. */
export function inTorqueUnits(units: UnitChoice, text: (nmm: number) => string): string {
  const [main, other] = torqueUnits(units).map(({ name, nmm }) => `${text(nmm)} ${name}`);
  return other === undefined ? main! : `${main} (${other})`;
}

/** "1240 N·m (915 lbf·ft)", rounded down in each unit: a torque up to which something holds. */
export function torqueAtMostText(nmm: number, units: UnitChoice): string {
  return inTorqueUnits(units, (unit) => figures(Number(atMost(nmm / unit, 3))));
}

/** Heads of such columns: "at N·m", "(lbf·ft)". */
export function torqueHeads(units: UnitChoice, lead = "at "): string[] {
  return torqueUnits(units).map(({ name }, k) => (k === 0 ? `${lead}${name}` : `(${name})`));
}

/** What one table of several variants stands in: the units of all, or both where they differ. */
export function sharedUnits(designs: readonly { readonly units: UnitChoice }[]): UnitChoice {
  const choices = new Set(designs.map(({ units }) => units));
  return choices.size === 1 ? designs[0]!.units : "both";
}

/** "30°". `rad` in radians, at most two places. */
export function angleText(rad: number): string {
  return `${trimmed((rad * 180) / Math.PI, 2)}°`;
}

/** "31.9°": to a tenth and upward, of an angle of which less would not do. */
export function leastAngleText(rad: number): string {
  return `${(Math.ceil((1800 * rad) / Math.PI - 1e-9) / 10).toFixed(1)}°`;
}

/** "0.72" → "72 %"; three figures from 100 % on. */
export function shareText(share: number): string {
  const percent = 100 * share;
  return `${percent >= 100 ? figures(percent) : percent.toFixed(percent < 10 ? 1 : 0)} %`;
}
