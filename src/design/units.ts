/**
 * How every report prints a quantity: three significant figures, in the units the part file speaks, both
 * where it mixes metric and inch. Arguments are in the project's own units (mm, N, MPa, N·mm, rad).
 */
import type { UnitChoice } from "./design.ts";
import { figure } from "./figures.ts";

/** 1 in = 25.4 mm, exact. */
export const MM_PER_INCH = 25.4;
/** 1 lbf = 0.45359237 kg × 9.80665 m/s², both exact by definition. */
export const N_PER_LBF = 0.45359237 * 9.80665;
export const MPA_PER_KSI = (1000 * N_PER_LBF) / MM_PER_INCH ** 2;
export const NMM_PER_LBF_FT = N_PER_LBF * 12 * MM_PER_INCH;
const DEGREE = Math.PI / 180;

/**
 * `x` with `digits` significant figures, never in powers of ten: 1239.6 → "1240", 0.8 → "0.800". Below 1e-6
 * it prints "0", so that rounding dust does not look like a value.
 */
export function significant(x: number, digits = 3): string {
  if (!Number.isFinite(x)) return x > 0 ? "unbounded" : Number.isNaN(x) ? "unknown" : "-unbounded";
  const size = Math.abs(x);
  if (size < 1e-6) return "0";
  const rounded = Number(size.toPrecision(digits));
  const whole = Math.floor(Math.log10(rounded)) + 1;
  const text = rounded.toFixed(Math.max(0, Math.min(20, digits - whole)));
  return x < 0 ? `-${text}` : text;
}

/** In the user's units, or both, the second in brackets. */
export function inUnits(metric: string, inch: string, units: UnitChoice): string {
  return units === "metric" ? metric : units === "inch" ? inch : `${metric} (${inch})`;
}

/** MPa → "812 MPa (118 ksi)". */
export function formatStress(stress: number, units: UnitChoice): string {
  return inUnits(`${significant(stress)} MPa`, `${significant(stress / MPA_PER_KSI)} ksi`, units);
}

/** MPa → "205 GPa (29700 ksi)". */
export function formatModulus(modulus: number, units: UnitChoice): string {
  return inUnits(`${significant(modulus / 1000)} GPa`, `${significant(modulus / MPA_PER_KSI)} ksi`, units);
}

/** N·mm → "1240 N·m (915 lbf·ft)". */
export function formatTorque(torque: number, units: UnitChoice): string {
  return inUnits(
    `${significant(torque / 1000)} N·m`,
    `${significant(torque / NMM_PER_LBF_FT)} lbf·ft`,
    units,
  );
}

/** mm → "0.800 mm (0.0315 in)". */
export function formatLength(length: number, units: UnitChoice): string {
  return inUnits(`${significant(length)} mm`, `${significant(length / MM_PER_INCH)} in`, units);
}

/** mm → "37.6 mm (1.4803 in)": a size that is cut and not a result, in as many figures as a drawing has. */
export function formatSize(length: number, units: UnitChoice): string {
  return inUnits(`${figure(length)} mm`, `${figure(length / MM_PER_INCH)} in`, units);
}

/** N → "8580 N (1930 lbf)". */
export function formatForce(force: number, units: UnitChoice): string {
  return inUnits(`${significant(force)} N`, `${significant(force / N_PER_LBF)} lbf`, units);
}

/** rad → "30.0°". */
export function formatAngle(angle: number): string {
  return `${significant(angle / DEGREE)}°`;
}

/** Fraction → "50 %", "0.850 %": three figures, trailing zeros of whole numbers left out. */
export function formatPercent(fraction: number): string {
  const text = significant(100 * fraction);
  return `${text.includes(".") ? text.replace(/\.0+$/, "") : text} %`;
}

/** The stress in the first unit of `units` as a bare number with its unit's name, for axes and tables. */
export function stressUnit(units: UnitChoice): { readonly name: string; readonly perMPa: number } {
  return units === "inch" ? { name: "ksi", perMPa: 1 / MPA_PER_KSI } : { name: "MPa", perMPa: 1 };
}

/** Likewise for lengths. */
export function lengthUnit(units: UnitChoice): { readonly name: string; readonly perMm: number } {
  return units === "inch" ? { name: "in", perMm: 1 / MM_PER_INCH } : { name: "mm", perMm: 1 };
}

/** Likewise for torques. */
export function torqueUnit(units: UnitChoice): { readonly name: string; readonly perNmm: number } {
  return units === "inch"
    ? { name: "lbf·ft", perNmm: 1 / NMM_PER_LBF_FT }
    : { name: "N·m", perNmm: 1 / 1000 };
}
