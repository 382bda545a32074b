export * from "./mesh.ts";
