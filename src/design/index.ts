export { defaultBack, LEAST_BACK } from "./behindTeeth.ts";
export * from "./design.ts";
export { eachOnce } from "./eachOnce.ts";
export { faceToothTaper, filletEnd, flankEnd, straightFlank } from "./faceToothDefaults.ts";
export { AS_TOLD, atMost, degrees } from "./figures.ts";
export * from "./hardness.ts";
export { MOST_DESIGNS, PROFILE_KINDS, type ProfileKind, ROOT_FINISHES, SWEPT_NAMES } from "./keys.ts";
export { type LengthWords, lengthWords } from "./lengthWords.ts";
export { fileStem, LONGEST_NAME, quote, variantNameProblem } from "./names.ts";
export { nearest, nearestGrade } from "./nearest.ts";
export { MOST_RAMP, OILED_BAND } from "./overRunDefaults.ts";
export {
  type FrictionOf,
  loadsOverRunFlank,
  ownFriction,
  turnedFriction,
  withFriction,
} from "./ownFriction.ts";
export * from "./part.ts";
export { partFileDocument } from "./partFileDocument.ts";
export { type JsonObject, partFileSchema } from "./partFileSchema.ts";
export { largestPin } from "./pinPlace.ts";
export { placeFaults } from "./placeFaults.ts";
export * from "./proportions.ts";
export { readQuantity } from "./quantity.ts";
export { inFileOrder, type OwnSteels, type PartDraft, readDraft, readPart } from "./readPart.ts";
export { LARGEST_PART_FILE, readSource, sizeFault } from "./source.ts";
export { starterPart } from "./starterPart.ts";
export * from "./steelGrades.ts";
export * from "./units.ts";
