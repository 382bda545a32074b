export { buildProfile, largestFillet } from "./buildProfile.ts";
export { type FilletLimit, type LargestFillet, LEAST_BAND } from "./filletLimits.ts";
export * from "./measure.ts";
export type { ProfileOutline, RootCorner } from "./profileOutline.ts";
export { splineFlank } from "./splineFlank.ts";
