export { buildProfile, largestFillet } from "./buildProfile.ts";
export * from "./measure.ts";
export type { ProfileOutline, RootCorner } from "./profileOutline.ts";
export type { FilletLimit, LargestFillet } from "./splineOutline.ts";
