export * from "./curve.ts";
export * from "./outline.ts";
