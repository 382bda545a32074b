export * from "./design.ts";
