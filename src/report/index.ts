export { CAUTIONS, cautionsBlock } from "./cautions.ts";
export { escapeXml, plainText } from "./escapeXml.ts";
export { type MapInput, stressMap } from "./stressMap.ts";
export { type StressScale, stressScale } from "./stressScale.ts";
export { terminalWidth } from "./textWidth.ts";
