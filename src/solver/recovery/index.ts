export { type RecoveryDoubt, recoverStress } from "./recoverStress.ts";
export { recoveryLoad } from "./recoveryLoad.ts";
