export * from "./curve.ts";
export * from "./outline.ts";
export * from "./repeat.ts";
