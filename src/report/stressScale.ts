import type { VariantResult } from "../answer/result.ts";
import { judgedStress } from "./judged.ts";

/** A stress that a contour line is drawn and labelled at. */
export interface NamedStress {
  readonly stress: number;
  readonly name: string;
}

/** What full colour stands for on one sheet. */
export interface StressScale {
  /** Stress at 100 %, MPa. */
  readonly full: number;
  /** "yield": low end of this steel's yield band; "reference": a stress common to the run, where no steel is named. */
  readonly basis: "yield" | "reference";
  /** One line for the sheet: what 100 % is. */
  readonly meaning: string;
  /** Lines drawn across the part, ascending. */
  readonly lines: readonly NamedStress[];
  /** Second limit shown beyond 100 % (low end of the tensile band), MPa. */
  readonly tensile: number | null;
}

/** Number of colour steps from 0 to 100 %. */
export const BANDS = 10;

/**
 * The scale of one variant. With a steel, 100 % is the low end of its yield band at its hardness, so equal
 * colours on two sheets are equal shares. Without one, 100 % is the highest root stress of the whole run.
 * @throws Error when `run` holds no usable stress.
 */
export function stressScale(result: VariantResult, run: readonly VariantResult[]): StressScale {
  const { steel } = result;
  if (steel) {
    const lines = [
      { stress: steel.yieldLow / 2, name: "half yield" },
      { stress: steel.yieldLow, name: "yield" },
      { stress: steel.tensileLow, name: "tensile" },
    ];
    return {
      full: steel.yieldLow,
      basis: "yield",
      meaning: `low end of the yield band of ${steel.grade} at ${steel.hardnessText}`,
      lines: lines.sort((a, b) => a.stress - b.stress),
      tensile: steel.tensileLow,
    };
  }
  const unnamed = run.filter((r) => r.steel === null);
  const full = Math.max(...[...unnamed, result].map(judgedStress));
  if (!(full > 0)) throw new Error(`stress scale: the highest root stress of the run is ${full} MPa`);
  return {
    full,
    basis: "reference",
    meaning: "reference stress: the highest root stress of this run (no steel named)",
    lines: [
      { stress: full / 2, name: "half reference" },
      { stress: full, name: "reference" },
    ],
    tensile: null,
  };
}

/** Levels at which colour changes, MPa: every tenth of `full` from 10 % to 100 %, then the tensile limit. */
export function bandLevels(scale: StressScale): number[] {
  const levels = Array.from({ length: BANDS }, (_, k) => (scale.full * (k + 1)) / BANDS);
  if (scale.tensile !== null && scale.tensile > scale.full) levels.push(scale.tensile);
  return levels;
}
