import type { UnitChoice } from "../design/index.ts";
import { figures, torqueUnits } from "./units.ts";

/** A line of a logarithmic torque grid, N·mm, and what stands beside it. */
export interface TorqueLevel {
  readonly torque: number;
  readonly text: string;
  /** A whole power of ten of the unit. */
  readonly decade: boolean;
}

/** 1, 2 and 5 times every power of ten of the user's unit between two torques, N·mm; text as "200 (148)" where both units are wanted. */
export function torqueLevels([from, to]: readonly [number, number], units: UnitChoice): TorqueLevel[] {
  const [main, other] = torqueUnits(units);
  const levels: TorqueLevel[] = [];
  for (let power = Math.floor(Math.log10(from / main.nmm)); 10 ** power * main.nmm <= to; power++)
    for (const digit of [1, 2, 5]) {
      const torque = digit * 10 ** power * main.nmm;
      if (torque < from || torque > to) continue;
      const second = other ? ` (${figures(torque / other.nmm)})` : "";
      levels.push({ torque, text: figures(torque / main.nmm) + second, decade: digit === 1 });
    }
  return levels;
}
