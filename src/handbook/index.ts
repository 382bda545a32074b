export * from "./chartFormulas.ts";
export * from "./loadedTooth.ts";
export * from "./rootSections.ts";
export * from "./toothFormulas.ts";
