import { hrcToHv, interpolateRows } from "../../design/index.ts";
import steels from "./steels.json" with { type: "json" };

const BY_HRC: readonly (readonly number[])[] = steels.tensileByHrc.rows;
const BY_HV: readonly (readonly number[])[] = steels.tensileByHv.rows.map(([hv, tensile]) => [
  Number(hv),
  Number(tensile),
]);

/** Softest and hardest that the US table has, HRC. */
export const TABLE_ENDS: readonly [number, number] = [BY_HRC[0]![0]!, BY_HRC.at(-1)![0]!];

/**
 * Tensile strength, MPa, at `hrc` by the US table (ASTM A370 / SAE J417 numbers); null outside 20 to 59 HRC.
 * Exact at printed rows, straight between.
 */
export function tensileFromHrc(hrc: number): number | null {
  return interpolateRows(BY_HRC, 0, 1, hrc);
}

/**
 * Tensile strength, MPa, at `hv` by the European table (DIN 50150 / ISO 18265 A.1); null outside 240 to 650 HV.
 * Rows above 470 HV are from memory.
 */
export function tensileFromHv(hv: number): number | null {
  return interpolateRows(BY_HV, 0, 1, hv);
}

/** What both tables say of one hardness, MPa: the European one read at the Vickers value of `hrc`. */
export function tensileByBothTables(hrc: number): {
  readonly us: number | null;
  readonly european: number | null;
} {
  const hv = hrcToHv(hrc);
  return { us: tensileFromHrc(hrc), european: hv === null ? null : tensileFromHv(hv) };
}
