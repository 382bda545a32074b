export type { RingProblem } from "./ringProblem.ts";
export { type RingOptions, RingSolver, solveRing } from "./ringSolver.ts";
