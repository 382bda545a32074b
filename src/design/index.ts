export * from "./design.ts";
export * from "./hardness.ts";
export { fileStem, LONGEST_NAME, quote, variantNameProblem } from "./names.ts";
export * from "./part.ts";
export * from "./proportions.ts";
export { readPart } from "./readPart.ts";
export { LARGEST_PART_FILE, sizeFault } from "./source.ts";
export * from "./steelGrades.ts";
export * from "./units.ts";
