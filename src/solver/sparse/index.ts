export * from "./nodeMatrix.ts";
