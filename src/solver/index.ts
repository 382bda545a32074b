export { elementStress } from "./elementStress.ts";
export { type Evaluator, evaluator, type FieldPoint } from "./evaluator.ts";
export { internalForces } from "./internalForces.ts";
export * from "./problem.ts";
export { type RecoveryDoubt, recoverStress, recoveryLoad } from "./recovery/index.ts";
export { type RingOptions, type RingProblem, RingSolver, solveRing } from "./ring/index.ts";
export { integrateSides, nodalResultant, type Resultant, sideLoads } from "./sideLoads.ts";
export { SolveError } from "./solveError.ts";
export { type OutlineAnswer, type OutlineQuestion, solveOutline } from "./solveOutline.ts";
export { type SolveOptions, Solver, solveLoads, solveProblem } from "./solveProblem.ts";
export { createWorkspace, type FactorWorkspace, type Ordering, withWorkspace } from "./sparse/index.ts";
export { stressError } from "./stressError.ts";
export {
  firstPrincipal,
  outOfPlaneStress,
  principalAngle,
  secondPrincipal,
  vonMises,
} from "./stressMeasures.ts";
export { elasticity, shapeSlopes, shapes } from "./triangle6.ts";
