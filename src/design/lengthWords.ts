import type { UnitChoice } from "./design.ts";
import { atLeast, atMost, figure } from "./figures.ts";
import { MM_PER_INCH } from "./units.ts";

/** Lengths as the faults and notes of a part file print them, in its units: `length(1.461)` is "1.461 mm" or "0.05752 in". */
export interface LengthWords {
  /** To nearest, five digits unless told otherwise. */
  length(mm: number, digits?: number): string;
  /** Rounded to the side on which a limit still works, four digits unless told otherwise. */
  atMost(mm: number, digits?: number): string;
  atLeast(mm: number, digits?: number): string;
  /** "Ø37", "Ø1.4567 in". */
  diameter(mm: number): string;
  diameterAtMost(mm: number, digits: number): string;
  diameterAtLeast(mm: number, digits: number): string;
  /** "1.2001 and 3.9999 mm", each rounded inward. */
  limits(least: number, most: number): string;
  /** "0.4..0.6 mm", as a part file has it. */
  window(ends: readonly [number, number]): string;
  /** "1 to 4 mm". */
  range(from: number, to: number): string;
}

/** A file that mixes its units is told in millimetres. */
export function lengthWords(units: UnitChoice): LengthWords {
  const inch = units === "inch";
  const [per, unit, afterDiameter] = inch ? [MM_PER_INCH, "in", " in"] : [1, "mm", ""];
  return {
    length: (mm, digits) => `${figure(mm / per, digits)} ${unit}`,
    atMost: (mm, digits) => `${atMost(mm / per, digits)} ${unit}`,
    atLeast: (mm, digits) => `${atLeast(mm / per, digits)} ${unit}`,
    diameter: (mm) => `Ø${figure(mm / per)}${afterDiameter}`,
    diameterAtMost: (mm, digits) => `Ø${atMost(mm / per, digits)}${afterDiameter}`,
    diameterAtLeast: (mm, digits) => `Ø${atLeast(mm / per, digits)}${afterDiameter}`,
    limits: (least, most) => `${atLeast(least / per, 5)} and ${atMost(most / per, 5)} ${unit}`,
    window: ([from, to]) => `${figure(from / per)}..${figure(to / per)} ${unit}`,
    range: (from, to) => `${figure(from / per)} to ${figure(to / per)} ${unit}`,
  };
}
