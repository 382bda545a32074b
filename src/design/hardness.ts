/**
 * Hardness scales of non-austenitic wrought steel: HRC, HV (10 kgf) and HB (3000 kgf, 10 mm ball). Exact at the
 * printed rows, straight between them, nothing outside.
 *
 * Source: ASTM E140 table 1 / ASTM A370 table 3 / SAE J417 numbers, read in a public transcription; rows the
 * transcription left out (HRC 43, 41, 39 … 21) are bridged. Its Brinell numbers of 47 and 48 HRC are those of the standard ball; the
 * carbide ball, which all others are of, has 443 and 455 (from memory). Conversion is good to ±1 HRC or ±3 %.
 */

/** `[HRC, HV, HB]`, softest first; NaN where the table prints no Brinell value. */
export const HARDNESS_ROWS: readonly (readonly [hrc: number, hv: number, hb: number])[] = [
  [20, 238, 226],
  [22, 248, 237],
  [24, 260, 247],
  [26, 272, 258],
  [28, 286, 271],
  [30, 302, 286],
  [32, 318, 301],
  [34, 336, 319],
  [36, 354, 336],
  [38, 372, 353],
  [40, 392, 371],
  [42, 412, 390],
  [44, 434, 409],
  [45, 446, 421],
  [46, 458, 432],
  [47, 471, 442],
  [48, 484, 451],
  [49, 498, 469],
  [50, 513, 481],
  [51, 528, 496],
  [52, 544, 512],
  [53, 560, 525],
  [54, 577, 543],
  [55, 595, 560],
  [56, 613, 577],
  [57, 633, 595],
  [58, 653, 615],
  [59, 674, Number.NaN],
  [60, 697, Number.NaN],
  [61, 720, Number.NaN],
  [62, 746, Number.NaN],
  [63, 772, Number.NaN],
  [64, 800, Number.NaN],
  [65, 832, Number.NaN],
  [66, 865, Number.NaN],
  [67, 900, Number.NaN],
  [68, 940, Number.NaN],
];

export type HardnessScale = "HRC" | "HV" | "HB";

const COLUMN: Readonly<Record<HardnessScale, number>> = { HRC: 0, HV: 1, HB: 2 };

/** Softest and hardest value the table carries in that scale. */
export function hardnessRange(scale: HardnessScale): readonly [number, number] {
  const column = HARDNESS_ROWS.map((row) => row[COLUMN[scale]]!).filter((value) => !Number.isNaN(value));
  return [column[0]!, column[column.length - 1]!];
}

/**
 * Straight line through rows of a table ascending in column `from`, read off in column `to`; null outside the
 * rows, or where either end of the interval is NaN. Exact at the rows.
 */
export function interpolateRows(
  rows: readonly (readonly number[])[],
  from: number,
  to: number,
  x: number,
): number | null {
  for (let k = 0; k < rows.length; k++) {
    const a = rows[k]![from]!;
    if (x === a) return Number.isNaN(rows[k]![to]!) ? null : rows[k]![to]!;
    const next = rows[k + 1];
    if (!next || !(x > a && x < next[from]!)) continue;
    const value = rows[k]![to]! + ((x - a) / (next[from]! - a)) * (next[to]! - rows[k]![to]!);
    return Number.isNaN(value) ? null : value;
  }
  return null;
}

/** `value` of one scale in another; null outside the printed rows. */
export function convertHardness(value: number, from: HardnessScale, to: HardnessScale): number | null {
  return interpolateRows(HARDNESS_ROWS, COLUMN[from], COLUMN[to], value);
}

export const hrcToHv = (hrc: number): number | null => convertHardness(hrc, "HRC", "HV");
export const hrcToHb = (hrc: number): number | null => convertHardness(hrc, "HRC", "HB");
