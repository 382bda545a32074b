export * from "./band.ts";
export {
  assess,
  type Capacity,
  capacity,
} from "./capacity.ts";
export {
  type Conditions,
  type Settled,
  SOFTEST_PEENED,
  type SteelQuery,
  settle,
} from "./conditions.ts";
export {
  type CornerIntensity,
  type CornerPlace,
  cornerIntensity,
  cornerMeanOpening,
  cornerOpening,
} from "./cornerIntensity.ts";
export {
  criticalDistance,
  lineStress,
  pointStress,
  ROOT_METRE,
  type RootPaths,
  type WorstPath,
} from "./criticalDistance.ts";
export { checkStrength, designCapacity, designQuery, designWindow, evenSharing } from "./designCapacity.ts";
export { clicksOverBack, type DriveHold, driveHold, type Holding, heldByDrag, holding } from "./driveHold.ts";
export {
  type Change,
  type ChangeWorth,
  type Ends,
  type FairSplit,
  fairSplit,
  SPLIT_SOURCE,
} from "./fairSplit.ts";
export {
  criticalDistanceLife,
  type FatigueCase,
  type LifeCurve,
  type LifeCurves,
  lifeTorque,
  notchFactorLife,
  shocksAt,
} from "./fatigueLife.ts";
export * from "./fatigueNotch.ts";
export { firstChange } from "./firstChange.ts";
export { followingFigures } from "./followingFigures.ts";
export type { Validity } from "./fractureValidity.ts";
export {
  type HardnessLine,
  type HardnessWindow,
  hardnessWindow,
  type UncountedRange,
  type WindowOptions,
} from "./hardnessWindow.ts";
export {
  type Found,
  highestBetween,
  largestReaching,
  largestTorque,
  type PayingLimit,
  payingLimit,
  type Search,
  smallestReaching,
  smallestRootRadius,
  type Trial,
} from "./inverse.ts";
export { type Gain, type Lever, leversOf } from "./levers.ts";
export type { Mode, ModeId } from "./modes/mode.ts";
export { type OpeningPath, openingPath, pathLength, readPath, type StressSampler } from "./openingPath.ts";
export {
  assessOverRun,
  couplingOf,
  designOverRun,
  type Giving,
  type OverFriction,
  type OverRun,
  type OverRunEnd,
  pinBand,
} from "./overRun.ts";
export {
  atFriction,
  hasOverRunCase,
  overRunCases,
  overRunField,
  reverseCase,
  reverses,
} from "./overRunCase.ts";
export { catalogueOf, ownGrades } from "./ownSteels.ts";
export { type PinGuard, pinGuard } from "./pinGuard.ts";
export * from "./pinShear.ts";
export {
  type FractureRegime,
  fractureRegime,
  type PlasticFigures,
  plasticForce,
  plasticTooth,
  twoCriteria,
} from "./plasticLimit.ts";
export * from "./rampRelease.ts";
export { repeatedSampler } from "./repeatedSampler.ts";
export { type WallForces, wallBand, wallForces, wallTorque } from "./ringWall.ts";
export {
  buildRootField,
  type ReversedRoot,
  type RootField,
  type RootFieldOptions,
  type SolvedRoot,
  type ToothFigures,
  toothFigures,
  withPushed,
  withReverse,
} from "./rootField.ts";
export { NoRootPath, type PathStart, placesBeside, type RootStart, scanPaths } from "./rootPlaces.ts";
export { elasticTwist, plasticTwist, type Shaft } from "./shaftTwist.ts";
export * from "./splineAllowables.ts";
export {
  BUILT_IN,
  extendCatalogue,
  findSteel,
  type PropertyRow,
  type SteelCatalogue,
  type SteelRecord,
} from "./steelCatalogue.ts";
export { type Property, type SteelState, steelState } from "./steelState.ts";
export * from "./steelStrength.ts";
export { subsets } from "./subsets.ts";
export { flawIntensity, openingAt, withFlaw } from "./surfaceFlaw.ts";
export * from "./tensileFromHardness.ts";
export { inwardTenths } from "./tenths.ts";
export { type ToothSection, toothSections } from "./toothSections.ts";
export { UNCOUNTED_NAMES, type Uncounted } from "./uncounted.ts";
export { type VariantChanges, variantChanges } from "./variantChanges.ts";
export { type CornerField, type CornerMode, cornerField, williamsExponent } from "./williams.ts";
export { largestRootRadius, withRootRadius } from "./withRootRadius.ts";
