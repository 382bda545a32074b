/**
 * A mesh of six-node triangles with curved sides, held as flat arrays. Node `i` sits at
 * `xy[2 * i], xy[2 * i + 1]`; element `e` owns the six entries from `elements[6 * e]`. Built once, then
 * only read.
 *
 * Local numbering: corners 0 1 2 counter-clockwise, then mid-sides 3 (between 0 and 1), 4 (1 and 2),
 * 5 (2 and 0). Side `s` of an element runs from corner s to corner (s + 1) % 3 over mid-side 3 + s.
 */
export interface Mesh {
  /** Node coordinates `[x0, y0, x1, y1, …]`, mm; length 2 × nodes. */
  readonly xy: Float64Array;
  /** Node indices, six per element. */
  readonly elements: Uint32Array;
  /** Element across side s of element e at `3 * e + s`; -1 on the boundary. */
  readonly neighbours: Int32Array;
  /** Boundary side b belongs to element `sideElement[b]`, whose local side `sideLocal[b]` (0…2) it is. */
  readonly sideElement: Uint32Array;
  readonly sideLocal: Uint8Array;
  /** Index of the outline edge (see `outlineEdges`) that boundary side b lies on. */
  readonly sideEdge: Uint32Array;
  /** Arc-length fractions on that edge where side b starts and ends: `sideU[2 b] < sideU[2 b + 1]`. */
  readonly sideU: Float64Array;
  /** Tied nodes: node `tieFollower[k]` is the image of node `tieLeader[k]` under `ties[tieIndex[k]].motion`. */
  readonly tieLeader: Uint32Array;
  readonly tieFollower: Uint32Array;
  readonly tieIndex: Uint32Array;
}

/** Wanted element side length at (x, y), mm. */
export type SizeField = (x: number, y: number) => number;

/** What the checks of a finished mesh found; every run prints it. */
export interface MeshQuality {
  readonly nodes: number;
  readonly elements: number;
  /** Smallest corner angle, degrees, measured between the chords of the sides. */
  readonly minAngle: number;
  /** Smallest ratio of the Jacobian's minimum to its mean over an element; ≤ 0 means inside out. */
  readonly minJacobian: number;
  /** (mesh area − outline area) / outline area; the curved sides make it small, not zero. */
  readonly areaError: number;
}
