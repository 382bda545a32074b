export { buildProfile, largestFillet } from "./buildProfile.ts";
export type { FilletLimit, LargestFillet } from "./filletLimits.ts";
export * from "./measure.ts";
export type { ProfileOutline, RootCorner } from "./profileOutline.ts";
export { splineFlank } from "./splineFlank.ts";
