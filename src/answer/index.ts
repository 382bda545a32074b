export {
  type Answer,
  type AnswerOptions,
  answerDesign,
  capacityOf,
  mostUnknowns,
  overRunOf,
  whyNoCapacity,
} from "./answerDesign.ts";
export { idleRootNote, toothAt } from "./governingTooth.ts";
export { type ModelSize, memoryNeeded, memoryWords } from "./memoryNeeded.ts";
export { NumericalError } from "./numericalError.ts";
export type * from "./result.ts";
