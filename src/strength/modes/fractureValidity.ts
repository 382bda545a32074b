import type { LengthWords } from "../../design/index.ts";
import type { Band } from "../arithmetic/band.ts";
import type { RootField } from "../field/rootField.ts";
import type { SteelState } from "../steel/steelState.ts";

/** One check of what linear fracture takes for granted. */
export interface Validity {
  readonly what: string;
  readonly holds: "yes" | "at the low end" | "no";
  readonly words: string;
}

/** What linear fracture takes for granted, checked and in words. */
export function fractureValidity(
  root: RootField,
  steel: SteelState,
  distance: Band | null,
  say: LengthWords,
): Validity[] {
  const { toughness, yield: sy } = steel;
  if (!toughness || !distance) return [];
  const { rootThickness: t, faceWidth: b } = root.tooth;
  const mm = (x: number) => say.length(x, 2);
  const need = { low: 2.5 * (toughness.low / sy.high) ** 2, high: 2.5 * (toughness.high / sy.low) ** 2 };
  const holds = (size: number, of: Band): Validity["holds"] =>
    size >= of.high ? "yes" : size >= of.low ? "at the low end" : "no";
  const said = {
    yes: "holds",
    "at the low end": "holds only at the low end of toughness",
    no: "does not hold",
  };
  const line = { low: 4 * distance.low, high: 4 * distance.high };
  const check = (what: string, size: number, of: Band, words: string): Validity => {
    const verdict = holds(size, of);
    return { what, holds: verdict, words: `${words}: ${said[verdict]}` };
  };
  return [
    check(
      "critical distance against the tooth",
      t,
      line,
      `the line 2L of ${mm(2 * distance.low)} to ${mm(2 * distance.high)} should stay within half the root thickness of ${mm(t)}`,
    ),
    check(
      "small-scale yielding",
      t,
      need,
      `a root thickness of ${mm(t)} against 2.5 (K_Ic/Sy)² of ${mm(need.low)} to ${mm(need.high)} (ASTM E399 size rule, from memory)`,
    ),
    check(
      "plane strain",
      b,
      need,
      `a face width of ${mm(b)} against the same; where it is less the steel is tougher than K_Ic says, and K_Ic is on the safe side`,
    ),
  ];
}
