export * from "./steelStrength.ts";
export * from "./tensileFromHardness.ts";
