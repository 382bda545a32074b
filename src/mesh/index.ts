export * from "./mesh.ts";
export { type MeshOptions, meshOutline } from "./meshOutline.ts";
export { minSize, type OutlineSizeOptions, outlineSize, type SizeSource } from "./sizeField.ts";
