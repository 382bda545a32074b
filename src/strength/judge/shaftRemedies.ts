import { tenthUp } from "../arithmetic/tenths.ts";
import type { Shaft } from "../field/shaftTwist.ts";
import type { Lacking } from "./whatLacks.ts";

/** What makes a shaft stand the twist by itself. */
export interface ShaftRemedies {
  /** How many times as thick it must be, to be told a tenth up; 1 where it is not known. */
  readonly times: number;
  /** A bore that is enough, mm; null where none is known. */
  readonly bore: number | null;
}

/** The part made anew and judged: with a bore of so many mm, and with all of it but its face width so many times as large. */
export interface ShaftTrials {
  readonly bore: (mm: number) => boolean;
  readonly thicker: (times: number) => boolean;
  /** Down to the next bore that a drawing tells. */
  readonly round: (mm: number) => number;
}

/** A bore under this share of the diameter is no bore. */
const LEAST_BORE = 0.1;
/** A bore that is not enough is tried smaller by so much, so many times; */
const NEXT_BORE = 0.93;
const BORES = 4;
/** and a shaft thicker, in tenths. */
const SHAFTS = 4;

/**
 * From what the twist alone would take on: with thicker metal behind them the teeth may give in another way, and cracks from twist count where
 * they did not.
 */
export function shaftRemedies(
  shaft: Shaft | null,
  { shaft: times, bore }: Lacking,
  trials: ShaftTrials,
): ShaftRemedies {
  return {
    times: times === null ? 1 : thickness(times, trials),
    bore: shaft && smallerBore(shaft, bore, trials),
  };
}

function thickness(times: number, trials: ShaftTrials): number {
  if (!(times > 1)) return 1;
  for (let k = 0; k < SHAFTS; k++) {
    const thicker = times + k / 10;
    if (trials.thicker(Number(tenthUp(thicker)))) return thicker;
  }
  return 1;
}

/** From the one which leaves the shaft so many times the twist, at first yield (D⁴ − d⁴) or plastic (D³ − d³), on downward. */
function smallerBore({ bore, diameter }: Shaft, times: number, trials: ShaftTrials): number | null {
  if (bore === 0 || !(times > 1)) return null;
  const share = bore / diameter;
  const left = [3, 4].map((power) => Math.max(0, 1 - times * (1 - share ** power)) ** (1 / power));
  let smaller = Math.max(...left) * diameter;
  for (let k = 0; k < BORES; k++, smaller *= NEXT_BORE) {
    const told = trials.round(smaller);
    if (told < LEAST_BORE * diameter) return null;
    if (trials.bore(told)) return told;
  }
  return null;
}
