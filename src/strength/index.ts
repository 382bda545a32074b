export * from "./arithmetic/band.ts";
export {
  type Change,
  type ChangeWorth,
  type Ends,
  type FairSplit,
  fairSplit,
  SPLIT_SOURCE,
} from "./arithmetic/fairSplit.ts";
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
} from "./arithmetic/inverse.ts";
export { subsets } from "./arithmetic/subsets.ts";
export { inwardTenths } from "./arithmetic/tenths.ts";
export {
  type CornerIntensity,
  type CornerPlace,
  cornerIntensity,
  cornerMeanOpening,
  cornerOpening,
} from "./field/cornerIntensity.ts";
export {
  criticalDistance,
  lineStress,
  pointStress,
  ROOT_METRE,
  type RootPaths,
  type WorstPath,
} from "./field/criticalDistance.ts";
export {
  type OpeningPath,
  openingPath,
  pathLength,
  readPath,
  type StressSampler,
} from "./field/openingPath.ts";
export {
  type FractureRegime,
  fractureRegime,
  type PlasticFigures,
  plasticForce,
  plasticTooth,
  twoCriteria,
} from "./field/plasticLimit.ts";
export { repeatedSampler } from "./field/repeatedSampler.ts";
export { type WallForces, wallBand, wallForces, wallTorque } from "./field/ringWall.ts";
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
} from "./field/rootField.ts";
export { NoRootPath, type PathStart, placesBeside, type RootStart, scanPaths } from "./field/rootPlaces.ts";
export { elasticTwist, plasticTwist, type Shaft } from "./field/shaftTwist.ts";
export { flawIntensity, openingAt, withFlaw } from "./field/surfaceFlaw.ts";
export { type ToothSection, toothSections } from "./field/toothSections.ts";
export { type CornerField, type CornerMode, cornerField, williamsExponent } from "./field/williams.ts";
export {
  assess,
  type Capacity,
  capacity,
} from "./judge/capacity.ts";
export {
  checkStrength,
  designCapacity,
  designQuery,
  designWindow,
  evenSharing,
} from "./judge/designCapacity.ts";
export { type ChangeFor, firstChange } from "./judge/firstChange.ts";
export {
  type HardnessLine,
  type HardnessWindow,
  hardnessWindow,
  type WindowOptions,
} from "./judge/hardnessWindow.ts";
export type { Levers, Together } from "./judge/tryLevers.ts";
export type { UncountedRange } from "./judge/uncountedRanges.ts";
export type { Lacking } from "./judge/whatLacks.ts";
export {
  type Conditions,
  type Settled,
  SOFTEST_PEENED,
  type SteelQuery,
  settle,
} from "./modes/conditions.ts";
export {
  criticalDistanceLife,
  type FatigueCase,
  type LifeCurve,
  type LifeCurves,
  lifeTorque,
  notchFactorLife,
  shocksAt,
} from "./modes/fatigueLife.ts";
export * from "./modes/fatigueNotch.ts";
export type { Validity } from "./modes/fractureValidity.ts";
export type { Mode, ModeId } from "./modes/mode.ts";
export * from "./modes/splineAllowables.ts";
export { UNCOUNTED_NAMES, type Uncounted } from "./modes/uncounted.ts";
export {
  clicksOverBack,
  type DriveHold,
  driveHold,
  type Holding,
  heldByDrag,
  holding,
} from "./overRun/driveHold.ts";
export {
  assessOverRun,
  couplingOf,
  designOverRun,
  type Giving,
  type OverFriction,
  type OverRun,
  type OverRunEnd,
  pinBand,
} from "./overRun/overRun.ts";
export { type PinGuard, pinGuard } from "./overRun/pinGuard.ts";
export * from "./overRun/pinShear.ts";
export * from "./overRun/rampRelease.ts";
export { type RingOutcome, ringOutcome } from "./overRun/ringOutcome.ts";
export { catalogueOf, ownGrades } from "./steel/ownSteels.ts";
export {
  BUILT_IN,
  extendCatalogue,
  findSteel,
  type PropertyRow,
  type SteelCatalogue,
  type SteelRecord,
} from "./steel/steelCatalogue.ts";
export { type Property, type SteelState, steelState } from "./steel/steelState.ts";
export * from "./steel/steelStrength.ts";
export * from "./steel/tensileFromHardness.ts";
export { followingFigures } from "./variants/followingFigures.ts";
export { type Brought, type Gain, type Lever, leversOf, loadedRadius } from "./variants/levers.ts";
export {
  atFriction,
  hasOverRunCase,
  overRunCases,
  overRunField,
  reverseCase,
  reverses,
} from "./variants/overRunCase.ts";
export { type VariantChanges, variantChanges } from "./variants/variantChanges.ts";
export { largestRootRadius, withRootRadius } from "./variants/withRootRadius.ts";
