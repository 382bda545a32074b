import { type Ints, ints } from "../flat";
import { orderPattern } from "../orderPattern";
import { patternArrays } from "../patternArrays";
import { symbolicArrays } from "../symbolicArrays";

export {
  addWeights,
  fitField,
  fittedDisplacements,
  fittedStresses,
  newFieldFit,
  startFieldFit,
  startWeights,
  weightedLoad,
} from "./fieldFits";
export { factorFronts } from "./fronts";
export { solveFronts } from "./solveFronts";
export { addStraightElements } from "./straightElements";
export { orderPattern, patternArrays, symbolicArrays };

/** First byte not taken by the module itself: everything from here on is laid out by its user. */
export function firstFree(): usize {
  return __heap_base;
}

/** Forgets all arrays. */
export function reset(): void {
  heap.reset();
}

/** An array of zeros; its numbers start 16 bytes on. */
export function newInts(length: i32): Ints {
  return ints(length);
}
