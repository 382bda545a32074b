export * from "./problem.ts";
