export { type Answer, type AnswerOptions, answerDesign } from "./answerDesign.ts";
export { NumericalError } from "./numericalError.ts";
export type * from "./result.ts";
