import {
  type Curve,
  checkOutline,
  curveLength,
  curvePoint,
  curveTangent,
  type Edge,
  type Motion,
  movePoint,
  type Outline,
  outlineEdges,
  type Tie,
} from "../geometry/index.ts";
import type { SizeField } from "./mesh.ts";
import { MeshLimitError } from "./meshLimitError.ts";
import type { Triangulation } from "./triangulation.ts";

/** An outline corner below this angle of material gets its sides split at powers of two from the corner. */
const SHELL_ANGLE = Math.PI / 2;
/** A corner below this angle of material cannot be meshed with usable elements. */
const CUSP_ANGLE = (2 * Math.PI) / 180;
/** Mark of a vertex that is on no edge. */
export const INTERIOR = -1_073_741_824;

/**
 * The outline cut into segments, one per boundary side of the mesh to be. Segment s lies on edge `edge[s]`
 * between arc-length fractions `u0[s] < u1[s]` and runs from vertex `from[s]` to `to[s]`, material on its left.
 * A segment on a tied edge has its image in `twin[s]` (-1 otherwise); both are always split together.
 */
export interface Boundary {
  readonly edges: readonly Edge[];
  readonly lengths: readonly number[];
  readonly edge: number[];
  readonly u0: number[];
  readonly u1: number[];
  readonly from: number[];
  readonly to: number[];
  readonly twin: number[];
  /** How often the segment was halved since the outline was first cut up. */
  readonly depth: number[];
  /** Per edge: the tie it belongs to or -1, and for a follower its leader's edge, else -1. */
  readonly tieOf: readonly number[];
  readonly leaderOf: readonly number[];
  readonly motions: readonly Motion[];
  /** First vertex of each edge, and the angle of material there, rad. */
  readonly corner: number[];
  readonly cornerAngle: number[];
  /** Edge before and after each edge in its loop. */
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** Edge that vertex v lies on; `-1 - e` for the outline vertex at which edge e starts; else INTERIOR. */
  readonly vertexEdge: number[];
}

/** Turn of the tangent between two arc-length fractions of a curve, rad, unsigned. */
export function curveTurn(c: Curve, u0: number, u1: number): number {
  if (c.kind === "line") return 0;
  if (c.kind === "arc") return Math.abs((c.end - c.start) * (u1 - u0));
  const s0 = c.start * c.start;
  const ds = c.end * c.end - s0;
  return Math.abs(Math.sqrt(Math.max(0, s0 + u1 * ds)) - Math.sqrt(Math.max(0, s0 + u0 * ds)));
}

/**
 * Cuts every edge into segments as long as the size field asks and no more than `turnPerSide` of turn, and
 * enters their vertices into the triangulation's list (no triangles yet). Followers of ties copy their leaders.
 * @throws MeshLimitError, before there are any, when they would have more than `maxNodes` nodes.
 */
export function cutOutline(
  outline: Outline,
  size: SizeField,
  turnPerSide: number,
  mesh: Triangulation,
  maxNodes: number,
): Boundary {
  checkOutline(outline);
  const edges = outlineEdges(outline);
  const ties = outline.ties ?? [];
  const boundary: Boundary = {
    edges,
    lengths: edges.map((e) => curveLength(e.curve)),
    edge: [],
    u0: [],
    u1: [],
    from: [],
    to: [],
    twin: [],
    depth: [],
    ...tiedEdges(edges, ties),
    motions: ties.map((t) => t.motion),
    corner: [],
    cornerAngle: [],
    ...loopNeighbours(outline),
    vertexEdge: [],
  };
  for (let e = 0; e < edges.length; e++) addCorner(boundary, mesh, e);
  for (let e = 0; e < edges.length; e++) placeImages(boundary, mesh, e);
  const segments = new Array<number[]>(edges.length);
  for (let e = 0; e < edges.length; e++) {
    if (boundary.leaderOf[e]! >= 0) continue;
    // each segment has a vertex and a node in its middle
    const left = maxNodes / 2 - boundary.edge.length;
    const cuts = cutEdge(edges[e]!.curve, boundary.lengths[e]!, size, turnPerSide, left);
    if (!cuts) throw new MeshLimitError(maxNodes);
    segments[e] = addSegments(boundary, mesh, e, cuts);
  }
  for (let e = 0; e < edges.length; e++) {
    const lead = boundary.leaderOf[e]!;
    if (lead >= 0) addImageSegments(boundary, mesh, e, segments[lead]!);
  }
  return boundary;
}

/** Tie and leader of each edge, -1 where there is none. @throws Error naming an edge that is tied twice. */
function tiedEdges(edges: readonly Edge[], ties: readonly Tie[]): Pick<Boundary, "tieOf" | "leaderOf"> {
  const tieOf = new Array<number>(edges.length).fill(-1);
  const leaderOf = new Array<number>(edges.length).fill(-1);
  const index = new Map(edges.map((e, k) => [e.name, k]));
  for (let k = 0; k < ties.length; k++) {
    const { leader, follower } = ties[k]!;
    for (let i = 0; i < leader.length; i++) {
      const lead = index.get(leader[i]!)!;
      const follow = index.get(follower[i]!)!;
      for (const e of [lead, follow]) {
        if (tieOf[e] !== -1) throw new Error(`mesh: edge "${edges[e]!.name}" is tied twice`);
        tieOf[e] = k;
      }
      leaderOf[follow] = lead;
    }
  }
  return { tieOf, leaderOf };
}

/** The edges before and after each edge in its loop. */
export function loopNeighbours({ loops }: Outline): Pick<Boundary, "before" | "after"> {
  const before: number[] = [];
  const after: number[] = [];
  let first = 0;
  for (const { length } of loops) {
    for (let k = 0; k < length; k++) {
      before.push(first + ((k + length - 1) % length));
      after.push(first + ((k + 1) % length));
    }
    first += length;
  }
  return { before, after };
}

/** Enters the vertex at which edge e starts. @throws Error when the edge has no length or a cusp before it. */
function addCorner(b: Boundary, mesh: Triangulation, e: number): void {
  const { name, curve } = b.edges[e]!;
  const last = b.edges[b.before[e]!]!;
  if (!(b.lengths[e]! > 0)) throw new Error(`mesh: edge "${name}" has length ${b.lengths[e]} mm`);
  const p = curvePoint(curve, 0, new Float64Array(2));
  b.corner.push(mesh.addVertex(p[0]!, p[1]!));
  b.vertexEdge.push(-1 - e);
  curveTangent(last.curve, 1, p);
  const q = curveTangent(curve, 0, new Float64Array(2));
  const turn = Math.atan2(p[0]! * q[1]! - p[1]! * q[0]!, p[0]! * q[0]! + p[1]! * q[1]!);
  b.cornerAngle.push(Math.PI - turn);
  if (Math.PI - turn < CUSP_ANGLE) {
    throw new Error(
      `mesh: the material between "${last.name}" and "${name}" ends in a point of ` +
        `${(((Math.PI - turn) * 180) / Math.PI).toFixed(2)}°, too sharp for elements`,
    );
  }
}

/** Sets the corners of a follower where the images of its leader's are, to the last bit. */
function placeImages(b: Boundary, { xy }: Triangulation, e: number): void {
  const lead = b.leaderOf[e]!;
  if (lead < 0) return;
  const p = new Float64Array(2);
  for (let end = 0; end < 2; end++) {
    const image = b.corner[end === 0 ? e : b.after[e]!]!;
    const of = b.corner[end === 0 ? b.after[lead]! : lead]!;
    if (image === of) continue;
    movePoint(b.motions[b.tieOf[e]!]!, xy[2 * of]!, xy[2 * of + 1]!, p);
    xy[2 * image] = p[0]!;
    xy[2 * image + 1] = p[1]!;
  }
}

/** Cuts follower e where its leader is cut, into the segments `led`. */
function addImageSegments(b: Boundary, mesh: Triangulation, e: number, led: readonly number[]): void {
  const n = led.length;
  const cuts = [0];
  for (let k = n - 1; k > 0; k--) cuts.push(1 - b.u0[led[k]!]!);
  cuts.push(1);
  const following = addSegments(b, mesh, e, cuts);
  for (let k = 0; k < n; k++) {
    const s = following[k]!;
    const l = led[n - 1 - k]!;
    b.twin[s] = l;
    b.twin[l] = s;
  }
}

/** One segment for each pair of neighbouring cuts (0 … 1) of edge e; returns their numbers. */
function addSegments(b: Boundary, mesh: Triangulation, e: number, cuts: readonly number[]): number[] {
  const made: number[] = [];
  let from = b.corner[e]!;
  const p = new Float64Array(2);
  for (let k = 0; k + 1 < cuts.length; k++) {
    const last = k + 2 === cuts.length;
    let to = b.corner[b.after[e]!]!;
    if (!last) {
      boundaryPoint(b, e, cuts[k + 1]!, p);
      to = mesh.addVertex(p[0]!, p[1]!);
      b.vertexEdge.push(e);
    }
    made.push(b.edge.length);
    b.edge.push(e);
    b.u0.push(cuts[k]!);
    b.u1.push(cuts[k + 1]!);
    b.from.push(from);
    b.to.push(to);
    b.twin.push(-1);
    b.depth.push(0);
    from = to;
  }
  return made;
}

/** Writes the point of edge e at fraction u into `out`; on a follower, the image of its leader's point. */
export function boundaryPoint(b: Boundary, e: number, u: number, out: Float64Array): Float64Array {
  const lead = b.leaderOf[e]!;
  if (lead < 0) return curvePoint(b.edges[e]!.curve, u, out);
  curvePoint(b.edges[lead]!.curve, 1 - u, out);
  return movePoint(b.motions[b.tieOf[e]!]!, out[0]!, out[1]!, out);
}

/**
 * Where to split segment s: half way, or, with one end in an acute corner, at a power of two from the corner,
 * so that the segments on the corner's two sides end up equally long and stop encroaching on each other.
 */
export function splitFraction(b: Boundary, s: number): number {
  const e = b.edge[s]!;
  const u0 = b.u0[s]!;
  const u1 = b.u1[s]!;
  const startAcute = u0 === 0 && b.cornerAngle[e]! < SHELL_ANGLE;
  const endAcute = u1 === 1 && b.cornerAngle[b.after[e]!]! < SHELL_ANGLE;
  if (startAcute === endAcute) return (u0 + u1) / 2;
  const length = (u1 - u0) * b.lengths[e]!;
  const shell = 2 ** Math.round(Math.log2(length / 2));
  const du = shell / b.lengths[e]!;
  return startAcute ? u0 + du : u1 - du;
}

/**
 * Splits segment s at fraction u with vertex v: s keeps the first part, the new segment, whose number is
 * returned, is the second. The twin is not touched.
 */
export function splitSegment(b: Boundary, s: number, u: number, v: number): number {
  const n = b.edge.length;
  b.edge.push(b.edge[s]!);
  b.u0.push(u);
  b.u1.push(b.u1[s]!);
  b.from.push(v);
  b.to.push(b.to[s]!);
  b.twin.push(-1);
  b.depth.push(b.depth[s]! + 1);
  b.u1[s] = u;
  b.to[s] = v;
  b.depth[s] = b.depth[s]! + 1;
  return n;
}

/** After s and its twin t were split into (s, s2) and (t, t2): joins the parts that are images of each other. */
export function tieParts(b: Boundary, s: number, s2: number, t: number, t2: number): void {
  // t runs the other way: its second part is the image of the first part of s
  b.twin[s] = t2;
  b.twin[t2] = s;
  b.twin[s2] = t;
  b.twin[t] = s2;
}

/** Arc-length fractions 0 … 1 at which an edge is cut: equal shares of the integral of 1 / size. Null for more than `most` pieces. */
function cutEdge(
  c: Curve,
  length: number,
  size: SizeField,
  turnPerSide: number,
  most: number,
): number[] | null {
  const us: number[] = [0];
  const sum: number[] = [0];
  const p = new Float64Array(2);
  const sizeAt = (u: number) => {
    curvePoint(c, u, p);
    const h = size(p[0]!, p[1]!);
    if (!(h > 0)) throw new Error(`mesh: the size field gives ${h} mm at (${p[0]}, ${p[1]})`);
    return h;
  };
  const closed = curveTurn(c, 0, 1) > 4;
  const walk = (u0: number, h0: number, u1: number, h1: number, depth: number) => {
    // pieces to integrate over are as long as those to be, or half of that
    if (us.length > 4 * most) return;
    const um = (u0 + u1) / 2;
    const hm = sizeAt(um);
    const ds = (u1 - u0) * length;
    const turn = curveTurn(c, u0, u1);
    // short against the size where it is smallest, so that Simpson's rule sees the field's slope
    if (depth < 40 && (ds > Math.min(h0, hm, h1) || turn > turnPerSide || (closed && depth < 2))) {
      walk(u0, h0, um, hm, depth + 1);
      walk(um, hm, u1, h1, depth + 1);
      return;
    }
    const bySize = (ds * (1 / h0 + 4 / hm + 1 / h1)) / 6;
    us.push(u1);
    sum.push(sum[sum.length - 1]! + Math.max(bySize, turn / turnPerSide));
  };
  walk(0, sizeAt(0), 1, sizeAt(1), 0);
  const total = sum[sum.length - 1]!;
  // rounding to the nearer count keeps the mean at the size asked for; turn is a hard limit
  const byTurn = Math.ceil(curveTurn(c, 0, 1) / turnPerSide - 1e-9);
  const n = Math.max(1, Math.round(total), byTurn);
  if (n > most || us.length > 4 * most) return null;
  const cuts = [0];
  let i = 1;
  for (let k = 1; k < n; k++) {
    const wanted = (total * k) / n;
    while (sum[i]! < wanted) i++;
    const share = (wanted - sum[i - 1]!) / (sum[i]! - sum[i - 1]!);
    cuts.push(us[i - 1]! + share * (us[i]! - us[i - 1]!));
  }
  cuts.push(1);
  return cuts;
}
