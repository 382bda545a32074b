export * from "./profileOutline.ts";
