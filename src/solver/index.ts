export * from "./problem.ts";
export * from "./sideLoads.ts";
export { Solver, solveLoads, solveProblem } from "./solveProblem.ts";
export * from "./stressMeasures.ts";
