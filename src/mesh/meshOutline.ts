import type { Outline } from "../geometry/index.ts";
import { type Boundary, cutOutline } from "./boundary.ts";
import { buildMesh, sidesInOrder } from "./buildMesh.ts";
import { triangulateBoundary } from "./constrain.ts";
import { jacobianRatio } from "./jacobian.ts";
import type { Mesh, SizeField } from "./mesh.ts";
import { Refiner } from "./refine.ts";
import { smooth } from "./smooth.ts";
import { Triangulation } from "./triangulation.ts";

export interface MeshOptions {
  /**
   * Wanted side length at each place, mm. Asked at vertices and centroids: a spot smaller than the elements round
   * it may go unseen when its size jumps; a field that grows by 0.5 mm per mm at most is met everywhere.
   */
  readonly size: SizeField;
  /** Smallest angle aimed at, degrees; default 25. Corners of the outline that are smaller stay. */
  readonly minAngle?: number;
  /** Refuses, with an Error, to make more nodes than this; default `MOST_NODES`. */
  readonly maxNodes?: number;
  /** Largest turn of the outline's tangent along one side, rad; default 0.35 (20°). */
  readonly turnPerSide?: number;
}

export const MOST_NODES = 2_000_000;

/** Elements whose Jacobian falls below this share of its mean get their boundary sides split. */
const LEAST_JACOBIAN = 0.2;
const SMOOTHING_ROUNDS = 4;
const REPAIRS = 6;

/**
 * Meshes the material inside an outline with curved six-node triangles: sides near the size field's length,
 * boundary nodes on the true curves, every outline vertex a node, tied edges alike node for node. The same
 * input gives the same mesh, bit for bit. Nothing is verified here: see `checkMesh`.
 * @throws Error when the outline does not close or crosses itself, or has a corner under 2°; MeshLimitError when it needs more than
 *   `maxNodes` nodes.
 */
export function meshOutline(outline: Outline, options: MeshOptions): Mesh {
  const { size, minAngle = 25, maxNodes = MOST_NODES, turnPerSide = 0.35 } = options;
  if (!(minAngle >= 0 && minAngle <= 33)) {
    throw new Error(`mesh: smallest angle ${minAngle}° is out of reach; ask for 0 to 33`);
  }
  if (!(maxNodes > 0)) throw new Error(`mesh: the limit of nodes must be positive, not ${maxNodes}`);
  if (!(turnPerSide > 0)) throw new Error(`mesh: turn per side must be positive, not ${turnPerSide}`);
  const tri = new Triangulation(1024);
  const boundary = cutOutline(outline, size, turnPerSide, tri, maxNodes);
  triangulateBoundary(tri, boundary);
  // a triangulation has about three sides a vertex, each with a node of its own
  const refiner = new Refiner(tri, boundary, {
    size,
    minAngle: (minAngle * Math.PI) / 180,
    maxVertices: maxNodes / 4,
  });
  refiner.run();
  smooth(tri, refiner.sizes, SMOOTHING_ROUNDS);
  let mesh = buildMesh(tri, boundary);
  for (let repair = 0; repair < REPAIRS; repair++) {
    const bent = bentSegments(mesh, boundary);
    if (bent.length === 0) break;
    const depth = boundary.depth.slice();
    for (const s of bent) if (boundary.depth[s] === depth[s]) refiner.splitNow(s);
    refiner.run();
    smooth(tri, refiner.sizes, SMOOTHING_ROUNDS);
    mesh = buildMesh(tri, boundary);
  }
  return mesh;
}

/** Curved segments of elements that come too near to turning inside out. */
function bentSegments(mesh: Mesh, b: Boundary): number[] {
  const order = sidesInOrder(b); // side i of the mesh is the i-th of them
  const bent: number[] = [];
  for (let i = 0; i < order.length; i++) {
    if (b.edges[mesh.sideEdge[i]!]!.curve.kind === "line") continue;
    if (jacobianRatio(mesh, mesh.sideElement[i]!) < LEAST_JACOBIAN) bent.push(order[i]!);
  }
  return bent;
}
