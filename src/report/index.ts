export { addTo } from "./addTo.ts";
export { capacityText, marginText, modeName, spanText, torqueBandText } from "./capacityText.ts";
export { capitalised } from "./capitalised.ts";
export { CAUTIONS, cautionsBlock, OVER_RUN_LIMITS } from "./cautions.ts";
export {
  type ChangesChartInput,
  changesChart,
  effectText,
  effectUnitsText,
  type LoadCase,
  noPart,
  splitSentences,
  splitWords,
} from "./changesChart.ts";
export { comparisonSheet, MOST_COMPARED } from "./comparisonSheet.ts";
export { comparisonTable } from "./comparisonTable.ts";
export { type ContactEntry, type ContactPage, contactSheet } from "./contactSheet.ts";
export { radiusText, rootText } from "./describe.ts";
export {
  driveHolding,
  driveHoldNotes,
  driveHoldRecord,
  driveVerdict,
  partingFirst,
  partingText,
  partsInDrive,
} from "./driveHoldText.ts";
export { escapeXml, plainText } from "./escapeXml.ts";
export { firstNames } from "./firstNames.ts";
export {
  type HardnessChartInput,
  hardnessChart,
  hardnessRows,
  hrcText,
  mostText,
  notKnownText,
  orderText,
  sweptWords,
} from "./hardnessChart.ts";
export { judgedIn } from "./judgedIn.ts";
export { VERDICT_HEAD, wantedMargin, wantedWords, withWanted } from "./marginVerdict.ts";
export { aboutText, type Noted, notedOf, sharedNotes } from "./notes.ts";
export {
  clickText,
  frictionText,
  overRunText,
  pinsText,
} from "./overRunText.ts";
export { passesChart } from "./passesChart.ts";
export { pinGuardNotes, pinGuardTurn } from "./pinGuardText.ts";
export { ratioSentence } from "./ratioSentence.ts";
export { releaseChart } from "./releaseChart.ts";
export {
  enoughWords,
  givesNotes,
  givesTable,
  marginWords,
  type ReleaseEntry,
  releaseTable,
} from "./releaseTable.ts";
export {
  type FailedVariant,
  RESULTS_FORMAT,
  RESULTS_VERSION,
  type RunRecord,
  resultsJson,
  resultsJsonPieces,
} from "./resultsJson.ts";
export { type ShortNames, shortNames } from "./shortNames.ts";
export { type MapInput, stressMap } from "./stressMap.ts";
export { type StressScale, stressScale } from "./stressScale.ts";
export { summaryCsv } from "./summaryCsv.ts";
export { terminalWidth } from "./textWidth.ts";
export {
  leastAngleText,
  lengthText,
  sharedUnits,
  torqueAtMostText,
  torqueHeads,
  torqueUnits,
} from "./units.ts";
export {
  type HoldsWords,
  holdsWords,
  LETS_GO,
  type Question,
  STAYS_TOGETHER,
  type VerdictTurn,
  verdictTurn,
  verdictTurnText,
} from "./verdictTurn.ts";
