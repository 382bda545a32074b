export * from "./chartFormulas.ts";
export { FORMULA_CARDS, type FormulaCard, type FormulaId } from "./formulaCards.ts";
export {
  AGREEMENT,
  type Beside,
  type HandCheck,
  type HandInput,
  type HandSheet,
  handChecks,
  type InputKind,
} from "./handChecks.ts";
export * from "./loadedTooth.ts";
export type { Reason, ReasonKey } from "./reasons.ts";
export * from "./rootSections.ts";
export { shearAllowance } from "./shearAllowance.ts";
export * from "./toothFormulas.ts";
