export { factorFronts } from "./fronts";
export { solveFronts } from "./solveFronts";

/** First byte not taken by the module itself: everything from here on is laid out by its user. */
export function firstFree(): usize {
  return __heap_base;
}
