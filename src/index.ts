/**
 * The library. From a part file to root stresses:
 *
 *     const { designs } = readPart(text, "hub.yaml");
 *     const { result, field, profile } = answerDesign(designs[0]);
 *     result.root.peakPrincipal?.stress; // MPa
 *     const svg = stressMap({ result, field, profile, scale: stressScale(result, [result]) });
 *
 * or, for any closed outline, `solveOutline`. Everything is mm, N, MPa, N·mm and radians; nothing here reads or
 * writes files.
 */

export type {
  Pass,
  PlacedStress,
  RootAnswer,
  SteelStrength,
  VariantField,
  VariantResult,
  ZonePeak,
} from "./answer/index.ts";
export { type Answer, type AnswerOptions, answerDesign, NumericalError } from "./answer/index.ts";
export {
  type DefaultUsed,
  type Design,
  DesignError,
  type FaceToothProfile,
  type Fault,
  faultLine,
  type InvoluteFlank,
  type JsonObject,
  type Load,
  type Part,
  type Place,
  type Profile,
  type ProfileKind,
  partFileSchema,
  readPart,
  type SplineProfile,
  type SteelChoice,
  type StraightFlank,
  starterPart,
  type UnitChoice,
} from "./design/index.ts";
export {
  type ArcCurve,
  arc,
  type Curve,
  checkOutline,
  curveLength,
  curvePoint,
  type Edge,
  type InvoluteCurve,
  involute,
  type LineCurve,
  line,
  type Motion,
  type Outline,
  outlineArea,
  type Tie,
} from "./geometry/index.ts";
export {
  checkMesh,
  type Mesh,
  type MeshOptions,
  type MeshQuality,
  meshOutline,
  type SizeField,
} from "./mesh/index.ts";
export {
  buildProfile,
  type LargestFillet,
  largestFillet,
  type ProfileOutline,
  type RootCorner,
} from "./profile/index.ts";
export {
  CAUTIONS,
  comparisonSheet,
  comparisonTable,
  type MapInput,
  type RunRecord,
  resultsJson,
  type StressScale,
  stressMap,
  stressScale,
  summaryCsv,
} from "./report/index.ts";
export {
  type EdgeLoad,
  type FieldPoint,
  firstPrincipal,
  type Material,
  type NodalStress,
  type OutlineAnswer,
  type OutlineQuestion,
  type Problem,
  recoverStress,
  type Solution,
  type Support,
  solveOutline,
  solveProblem,
  type Traction,
  vonMises,
} from "./solver/index.ts";
export { steelStrength } from "./strength/index.ts";
