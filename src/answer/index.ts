export { type Answer, type AnswerOptions, answerDesign, mostUnknowns } from "./answerDesign.ts";
export { idleRootNote, toothAt } from "./governingTooth.ts";
export { capacityOf, overRunOf } from "./judge.ts";
export { type ModelSize, memoryNeeded, memoryWords } from "./memoryNeeded.ts";
export { NumericalError } from "./numericalError.ts";
export type * from "./result.ts";
