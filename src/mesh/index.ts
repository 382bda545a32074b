export { checkMesh } from "./checkMesh.ts";
export { elementArea, jacobianRatio } from "./jacobian.ts";
export { buildLocator, ElementLocator, type Locator } from "./locate.ts";
export * from "./mesh.ts";
export { MeshLimitError } from "./meshLimitError.ts";
export { type MeshOptions, MOST_NODES, meshOutline } from "./meshOutline.ts";
export { nodalSize } from "./nodalSize.ts";
export { repeatMesh } from "./repeatMesh.ts";
export { minSize, type OutlineSizeOptions, outlineSize, type SizeSource } from "./sizeField.ts";
