import {
  curveLength,
  curvePoint,
  type Edge,
  movePoint,
  type Outline,
  outlineArea,
  outlineDiagonal,
  outlineEdges,
} from "../geometry/index.ts";
import { curveTurn } from "./boundary.ts";
import { elementArea, jacobianRatio } from "./jacobian.ts";
import type { Mesh, MeshQuality } from "./mesh.ts";

/** Boundary nodes must lie on their curve, and tied nodes on their image, to this share of the outline's size. */
const PLACE_TOLERANCE = 1e-10;
/** Scratch. */
const POINT = new Float64Array(2);

/**
 * Verifies a finished mesh against the outline it is to fill, and measures it:
 * every element's Jacobian is positive throughout (by the sign of its Bernstein coefficients); neighbours share
 * both corners and the mid-side node, and each side belongs to two elements or to the boundary; the boundary sides
 * cover each edge of the outline exactly once, in order, their three nodes on the true curve; tied nodes are images
 * of each other and every leader's node is tied once; and the area is the outline's, but for what parabolas for
 * arcs can leave.
 * @throws Error naming the element, side or node at fault, and its place.
 */
export function checkMesh(mesh: Mesh, outline: Outline): MeshQuality {
  checkShapes(mesh, outline);
  const { minAngle, minJacobian, area } = checkElements(mesh);
  checkSides(mesh);
  const slack = checkBoundary(mesh, outline);
  checkTies(mesh, outline);
  const exact = outlineArea(outline);
  const areaError = (area - exact) / exact;
  if (!(Math.abs(area - exact) <= slack + 1e-10 * exact)) {
    throw new Error(
      `mesh: its area is ${area} mm², the outline's ${exact} mm²; curved sides explain ${slack.toExponential(2)} mm² at most`,
    );
  }
  return {
    nodes: mesh.xy.length / 2,
    elements: mesh.elements.length / 6,
    minAngle,
    minJacobian,
    areaError,
  };
}

function checkShapes(mesh: Mesh, outline: Outline): void {
  const nodes = mesh.xy.length / 2;
  const elements = mesh.elements.length / 6;
  const sides = mesh.sideElement.length;
  const ties = mesh.tieLeader.length;
  if (!(Number.isInteger(elements) && elements > 0))
    throw new Error(`mesh: ${mesh.elements.length} element entries`);
  const lengths: [string, number, number][] = [
    ["neighbours", mesh.neighbours.length, 3 * elements],
    ["sideLocal", mesh.sideLocal.length, sides],
    ["sideEdge", mesh.sideEdge.length, sides],
    ["sideU", mesh.sideU.length, 2 * sides],
    ["tieFollower", mesh.tieFollower.length, ties],
    ["tieIndex", mesh.tieIndex.length, ties],
  ];
  for (const [name, found, wanted] of lengths) {
    if (found !== wanted) throw new Error(`mesh: ${name} has ${found} entries instead of ${wanted}`);
  }
  for (let i = 0; i < 2 * nodes; i++) {
    if (!Number.isFinite(mesh.xy[i]!)) throw new Error(`mesh: node ${i >> 1} has no finite place`);
  }
  // 1: used as a corner, 2: as a mid-side
  const use = new Uint8Array(nodes);
  for (let i = 0; i < 6 * elements; i++) {
    const node = mesh.elements[i]!;
    if (node >= nodes) throw new Error(`mesh: element ${(i / 6) | 0} names node ${node} of ${nodes}`);
    use[node] = use[node]! | (i % 6 < 3 ? 1 : 2);
  }
  for (let i = 0; i < nodes; i++) {
    if (use[i] === 0) throw new Error(`mesh: node ${i} at ${place(mesh, i)} belongs to no element`);
    if (use[i] === 3) throw new Error(`mesh: node ${i} at ${place(mesh, i)} is both corner and mid-side`);
  }
  const edges = outlineEdges(outline).length;
  for (let b = 0; b < sides; b++) {
    if (mesh.sideElement[b]! >= elements || mesh.sideLocal[b]! > 2 || mesh.sideEdge[b]! >= edges) {
      throw new Error(`mesh: boundary side ${b} names an element, side or edge that is not there`);
    }
  }
  for (let k = 0; k < ties; k++) {
    if (mesh.tieLeader[k]! >= nodes || mesh.tieFollower[k]! >= nodes) {
      throw new Error(`mesh: tie ${k} names a node that is not there`);
    }
    if (mesh.tieIndex[k]! >= (outline.ties?.length ?? 0)) throw new Error(`mesh: tie ${k} has no motion`);
  }
}

function checkElements(mesh: Mesh): { minAngle: number; minJacobian: number; area: number } {
  const found = new Float64Array([Infinity, Infinity, 0]);
  for (let e = 0; 6 * e < mesh.elements.length; e++) checkElement(mesh, e, found);
  return { minAngle: (found[0]! * 180) / Math.PI, minJacobian: found[1]!, area: found[2]! };
}

/** Takes element e into `found`: smallest angle, rad, smallest Jacobian ratio, area, mm². */
function checkElement(mesh: Mesh, e: number, found: Float64Array): void {
  const { xy, elements } = mesh;
  const ratio = jacobianRatio(mesh, e);
  if (!(ratio > 0)) {
    throw new Error(
      `mesh: element ${e} at ${place(mesh, elements[6 * e]!)} turns inside out (Jacobian ratio ${ratio})`,
    );
  }
  found[1] = Math.min(found[1]!, ratio);
  found[2]! += elementArea(mesh, e);
  for (let k = 0; k < 3; k++) {
    const a = 2 * elements[6 * e + k]!;
    const b = 2 * elements[6 * e + ((k + 1) % 3)]!;
    const c = 2 * elements[6 * e + ((k + 2) % 3)]!;
    const ux = xy[b]! - xy[a]!;
    const uy = xy[b + 1]! - xy[a + 1]!;
    const vx = xy[c]! - xy[a]!;
    const vy = xy[c + 1]! - xy[a + 1]!;
    found[0] = Math.min(found[0]!, Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
  }
}

function checkSides(mesh: Mesh): void {
  const { elements, neighbours } = mesh;
  const nodes = mesh.xy.length / 2;
  const owners = new Uint8Array(nodes); // sides that use a mid-side node
  const walls = new Uint8Array(neighbours.length);
  for (let b = 0; b < mesh.sideElement.length; b++) {
    const h = 3 * mesh.sideElement[b]! + mesh.sideLocal[b]!;
    if (walls[h])
      throw new Error(`mesh: side ${h % 3} of element ${(h / 3) | 0} is listed twice on the boundary`);
    walls[h] = 1;
  }
  for (let h = 0; h < neighbours.length; h++) {
    const e = (h / 3) | 0;
    const k = h % 3;
    const a = elements[6 * e + k]!;
    const b = elements[6 * e + ((k + 1) % 3)]!;
    const m = elements[6 * e + 3 + k]!;
    owners[m] = owners[m]! + 1;
    const n = neighbours[h]!;
    if (n < 0) {
      if (!walls[h])
        throw new Error(`mesh: side ${k} of element ${e} at ${place(mesh, m)} has nothing across it`);
      continue;
    }
    if (walls[h]) throw new Error(`mesh: side ${k} of element ${e} is on the boundary yet has a neighbour`);
    let found = 0;
    for (let j = 0; j < 3; j++) {
      if (
        elements[6 * n + j] === b &&
        elements[6 * n + ((j + 1) % 3)] === a &&
        elements[6 * n + 3 + j] === m &&
        neighbours[3 * n + j] === e
      ) {
        found++;
      }
    }
    if (found !== 1) {
      throw new Error(`mesh: elements ${e} and ${n} do not share their side at ${place(mesh, m)}`);
    }
  }
  for (let h = 0; h < neighbours.length; h++) {
    const m = elements[6 * ((h / 3) | 0) + 3 + (h % 3)]!;
    if (owners[m] !== (walls[h] ? 1 : 2)) {
      throw new Error(`mesh: mid-side node ${m} at ${place(mesh, m)} belongs to ${owners[m]} sides`);
    }
  }
}

/** Checks the boundary sides and returns by how much, mm², their parabolas may miss the area under the true curves. */
function checkBoundary(mesh: Mesh, outline: Outline): number {
  const edges = outlineEdges(outline);
  const tolerance = PLACE_TOLERANCE * outlineDiagonal(outline);
  const byEdge: number[][] = edges.map(() => []);
  for (let b = 0; b < mesh.sideEdge.length; b++) byEdge[mesh.sideEdge[b]!]!.push(b);
  const firstNode = new Int32Array(edges.length).fill(-1);
  const lastNode = new Int32Array(edges.length);
  let slack = 0;
  for (let e = 0; e < edges.length; e++) {
    const { name, curve } = edges[e]!;
    const length = curveLength(curve);
    const sides = byEdge[e]!;
    sides.sort((a, b) => mesh.sideU[2 * a]! - mesh.sideU[2 * b]!);
    let reached = 0;
    let node = -1;
    for (let i = 0; i < sides.length; i++) {
      const b = sides[i]!;
      const u0 = mesh.sideU[2 * b]!;
      const u1 = mesh.sideU[2 * b + 1]!;
      if (u0 !== reached || !(u1 > u0)) {
        throw new Error(`mesh: edge "${name}" is not covered once between fractions ${reached} and ${u0}`);
      }
      reached = u1;
      const k = mesh.sideLocal[b]!;
      const from = mesh.elements[6 * mesh.sideElement[b]! + k]!;
      if (node >= 0 && from !== node)
        throw new Error(`mesh: sides on edge "${name}" do not meet at fraction ${u0}`);
      if (node < 0) firstNode[e] = from;
      node = mesh.elements[6 * mesh.sideElement[b]! + ((k + 1) % 3)]!;
      checkPlaces(mesh, b, edges[e]!, tolerance);
      // parabola against arc: L² θ³ / 960 (series of segment area minus 2/3 chord × rise); on an involute the
      // curvature changes along the side, which is of lower order
      const side = (u1 - u0) * length;
      const turn = curveTurn(curve, u0, u1);
      slack += curve.kind === "involute" ? (side * side * turn) / 50 : (side * side * turn ** 3) / 800;
    }
    if (reached !== 1) throw new Error(`mesh: edge "${name}" is covered up to fraction ${reached} only`);
    lastNode[e] = node;
  }
  let first = 0;
  for (const loop of outline.loops) {
    for (let k = 0; k < loop.length; k++) {
      if (lastNode[first + k] !== firstNode[first + ((k + 1) % loop.length)]) {
        throw new Error(`mesh: the end of edge "${loop[k]!.name}" is not the start of the next edge`);
      }
    }
    first += loop.length;
  }
  return slack;
}

/** Holds the three nodes of boundary side b to their places on the edge's curve. */
function checkPlaces(mesh: Mesh, b: number, { name, curve }: Edge, tolerance: number): void {
  const { xy, sideU } = mesh;
  const k = mesh.sideLocal[b]!;
  const u0 = sideU[2 * b]!;
  const u1 = sideU[2 * b + 1]!;
  for (let step = 0; step < 3; step++) {
    const local = step === 0 ? k : step === 1 ? 3 + k : (k + 1) % 3;
    const i = mesh.elements[6 * mesh.sideElement[b]! + local]!;
    curvePoint(curve, step === 0 ? u0 : step === 1 ? (u0 + u1) / 2 : u1, POINT);
    const miss = distance(xy[2 * i]! - POINT[0]!, xy[2 * i + 1]! - POINT[1]!);
    if (!(miss <= tolerance)) {
      throw new Error(
        `mesh: node ${i} at ${place(mesh, i)} is ${miss.toExponential(2)} mm off edge "${name}"`,
      );
    }
  }
}

/** Math.hypot is many times slower. */
function distance(dx: number, dy: number): number {
  return Math.sqrt(dx * dx + dy * dy);
}

function checkTies(mesh: Mesh, outline: Outline): void {
  const ties = outline.ties ?? [];
  const tolerance = PLACE_TOLERANCE * outlineDiagonal(outline);
  const p = new Float64Array(2);
  const nodes = mesh.xy.length / 2;
  const image = ties.map(() => new Int32Array(nodes).fill(-1));
  for (let k = 0; k < mesh.tieLeader.length; k++) {
    const tie = mesh.tieIndex[k]!;
    const lead = mesh.tieLeader[k]!;
    const follow = mesh.tieFollower[k]!;
    movePoint(ties[tie]!.motion, mesh.xy[2 * lead]!, mesh.xy[2 * lead + 1]!, p);
    const miss = distance(mesh.xy[2 * follow]! - p[0]!, mesh.xy[2 * follow + 1]! - p[1]!);
    if (!(miss <= tolerance)) {
      throw new Error(
        `mesh: node ${follow} at ${place(mesh, follow)} is ${miss.toExponential(2)} mm off the image of node ${lead}`,
      );
    }
    if (image[tie]![lead] !== -1) throw new Error(`mesh: node ${lead} at ${place(mesh, lead)} is tied twice`);
    image[tie]![lead] = follow;
  }
  const edges = outlineEdges(outline);
  for (let t = 0; t < ties.length; t++) {
    const { leader, follower, motion } = ties[t]!;
    const leads = new Set(leader);
    const follows = new Set(follower);
    const leadSide = Uint8Array.from(edges, ({ name }) => (leads.has(name) ? 1 : 0));
    const followSide = Uint8Array.from(edges, ({ name }) => (follows.has(name) ? 1 : 0));
    const onFollower = nodesOfSides(mesh, followSide);
    const onLeader = nodesOfSides(mesh, leadSide);
    for (let i = 0; i < nodes; i++) {
      if (!onLeader[i]) continue;
      const j = image[t]![i]!;
      if (j >= 0 && onFollower[j]) continue;
      movePoint(motion, mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!, p);
      if (distance(mesh.xy[2 * i]! - p[0]!, mesh.xy[2 * i + 1]! - p[1]!) <= tolerance) continue; // its own image
      // with two ties sharing a corner, one tie may reach it through the other
      if (ties.length > 1 && image.some((other) => other.includes(i) || other[i]! >= 0)) continue;
      throw new Error(`mesh: node ${i} at ${place(mesh, i)} on a tied edge has no image`);
    }
  }
}

/** 1 at the nodes of boundary sides on the edges marked in `marked`. */
function nodesOfSides(mesh: Mesh, marked: Uint8Array): Uint8Array {
  const on = new Uint8Array(mesh.xy.length / 2);
  for (let b = 0; b < mesh.sideEdge.length; b++) {
    if (!marked[mesh.sideEdge[b]!]) continue;
    const e = 6 * mesh.sideElement[b]!;
    const k = mesh.sideLocal[b]!;
    on[mesh.elements[e + k]!] = 1;
    on[mesh.elements[e + 3 + k]!] = 1;
    on[mesh.elements[e + ((k + 1) % 3)]!] = 1;
  }
  return on;
}

function place(mesh: Mesh, node: number): string {
  return `(${mesh.xy[2 * node]!.toPrecision(6)}, ${mesh.xy[2 * node + 1]!.toPrecision(6)})`;
}
