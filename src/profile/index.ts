export * from "./buildProfile.ts";
export * from "./faceToothOutline.ts";
export * from "./measure.ts";
export * from "./profileOutline.ts";
export * from "./splineOutline.ts";
