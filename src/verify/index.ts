export * from "./case.ts";
export { caseLines, summaryLines } from "./caseLines.ts";
export { caseRows, type Picture, verificationDocument } from "./document.ts";
export { holeSection, pictures } from "./pictures.ts";
export {
  reliabilityLine,
  reliabilityMarkdown,
  reliabilityStudy,
  reliabilitySummary,
} from "./reliability.ts";
export { type CaseResult, chosen, groupOf, type Row, runCase, runCases, spoiled } from "./runCases.ts";
export { suite } from "./suite.ts";
