import { orient2d } from "robust-predicates";
import { type Boundary, boundaryPoint, splitFraction, splitSegment, tieParts } from "./boundary.ts";
import type { Triangulation } from "./triangulation.ts";

/** Rounds of splitting until the segments can stand side by side. */
const ROUNDS = 40;

/**
 * Triangulates the material inside the boundary's segments: constrained Delaunay, no vertices but theirs.
 * Segments that cross, or whose curve bulges over another vertex, are split (with their twins) and the
 * triangulation starts afresh; their number is small.
 * @throws Error naming two edges when they still cross after 40 rounds of splitting.
 */
export function triangulateBoundary(mesh: Triangulation, b: Boundary): void {
  for (let round = 0; ; round++) {
    mesh.triangles = 0;
    const clash = tryTriangulate(mesh, b);
    if (clash.size === 0) return;
    if (round >= ROUNDS) {
      const names = [...clash].slice(0, 2).map((s) => `"${b.edges[b.edge[s]!]!.name}"`);
      throw new Error(`mesh: the outline crosses or touches itself near ${names.join(" and ")}`);
    }
    const done = new Set<number>();
    for (const s of clash) {
      if (done.has(s)) continue;
      const t = b.twin[s]!;
      done.add(s);
      const u = splitFraction(b, s);
      const s2 = splitAlone(mesh, b, s, u);
      if (t >= 0) {
        done.add(t);
        tieParts(b, s, s2, t, splitAlone(mesh, b, t, 1 - u));
      }
    }
  }
}

function splitAlone(mesh: Triangulation, b: Boundary, s: number, u: number): number {
  const p = boundaryPoint(b, b.edge[s]!, u, new Float64Array(2));
  const v = mesh.addVertex(p[0]!, p[1]!);
  b.vertexEdge.push(b.edge[s]!);
  return splitSegment(b, s, u, v);
}

/** Segments to split before another try; empty when the triangulation stands. */
function tryTriangulate(mesh: Triangulation, b: Boundary): Set<number> {
  const clash = new Set<number>();
  const n = mesh.vertices;
  const segments = b.edge.length;
  mesh.segmentHalf = new Int32Array(segments);
  // a triangle so large that it stays clear of everything; its three vertices are dropped at the end
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (let v = 0; v < n; v++) {
    x0 = Math.min(x0, mesh.xy[2 * v]!);
    x1 = Math.max(x1, mesh.xy[2 * v]!);
    y0 = Math.min(y0, mesh.xy[2 * v + 1]!);
    y1 = Math.max(y1, mesh.xy[2 * v + 1]!);
  }
  const reach = 50 * Math.max(x1 - x0, y1 - y0);
  const xm = (x0 + x1) / 2;
  const ym = (y0 + y1) / 2;
  mesh.addVertex(xm - reach, ym - reach);
  mesh.addVertex(xm + reach, ym - reach);
  mesh.addVertex(xm, ym + reach);
  const first = mesh.addTriangle();
  for (let k = 0; k < 3; k++) {
    mesh.corners[3 * first + k] = n + k;
    mesh.link[3 * first + k] = -1;
  }
  let t = first;
  for (let v = 0; v < n; v++) {
    const x = mesh.xy[2 * v]!;
    const y = mesh.xy[2 * v + 1]!;
    t = mesh.locate(x, y, t);
    for (let k = 0; k < 3; k++) {
      const w = mesh.corners[3 * t + k]!;
      if (mesh.xy[2 * w] === x && mesh.xy[2 * w + 1] === y) {
        throw new Error(`mesh: the outline touches itself at (${x}, ${y})`);
      }
    }
    mesh.openCavity(x, y, t);
    mesh.fillCavity(v);
    t = mesh.made[0]!;
  }
  const hub = new Int32Array(n + 3); // one half-edge that starts at each vertex
  const renewHub = (t: number) => {
    for (let k = 0; k < 3; k++) hub[mesh.corners[3 * t + k]!] = 3 * t + k;
  };
  for (let t = 0; t < mesh.triangles; t++) renewHub(t);

  const key = (v: number, w: number) => Math.min(v, w) * (n + 3) + Math.max(v, w);
  const fixed = new Map<number, number>(); // recovered segments by their two vertices
  for (let s = 0; s < segments; s++) {
    const crossed = recover(mesh, hub, renewHub, b.from[s]!, b.to[s]!, (v, w) => fixed.get(key(v, w)) ?? -1);
    if (crossed === -1) {
      const twin = fixed.get(key(b.from[s]!, b.to[s]!));
      if (twin !== undefined) clash.add(twin).add(s); // two segments between the same vertices
      fixed.set(key(b.from[s]!, b.to[s]!), s);
    } else {
      clash.add(s);
      if (crossed >= 0) clash.add(crossed);
    }
  }
  const dropSuper = () => {
    mesh.vertices = n;
  };
  if (clash.size > 0) {
    dropSuper();
    return clash;
  }
  // the segments become walls, then everything reached from their left sides is material
  const half = new Map<number, number>();
  for (let h = 0; h < 3 * mesh.triangles; h++) {
    half.set(mesh.corners[h]! * (n + 3) + mesh.corners[h % 3 === 2 ? h - 2 : h + 1]!, h);
  }
  const keep = new Uint8Array(mesh.triangles);
  const stack: number[] = [];
  for (let s = 0; s < segments; s++) {
    const h = half.get(b.from[s]! * (n + 3) + b.to[s]!)!;
    const g = half.get(b.to[s]! * (n + 3) + b.from[s]!)!;
    if (bulges(mesh, b, s, h) || bulges(mesh, b, s, g)) clash.add(s);
    mesh.link[g] = -1;
    mesh.join(h, -2 - s);
    stack.push((h / 3) | 0);
  }
  while (stack.length > 0) {
    const t = stack.pop()!;
    if (keep[t]) continue;
    keep[t] = 1;
    for (let k = 0; k < 3; k++) {
      const across = mesh.link[3 * t + k]!;
      if (across >= 0) stack.push((across / 3) | 0);
      if (mesh.corners[3 * t + k]! >= n || across === -1) {
        dropSuper();
        if (clash.size > 0) return clash;
        throw new Error("mesh: the outline's loops do not have the material on their left");
      }
    }
  }
  dropSuper();
  if (clash.size > 0) return clash;
  const place = new Int32Array(mesh.triangles).fill(-1);
  let kept = 0;
  for (let t = 0; t < mesh.triangles; t++) if (keep[t]) place[t] = kept++;
  for (let t = 0; t < mesh.triangles; t++) {
    const p = place[t]!;
    if (p < 0) continue;
    for (let k = 0; k < 3; k++) {
      const across = mesh.link[3 * t + k]!;
      mesh.corners[3 * p + k] = mesh.corners[3 * t + k]!;
      mesh.link[3 * p + k] = across;
      if (across >= 0) mesh.link[3 * p + k] = 3 * place[(across / 3) | 0]! + (across % 3);
      else mesh.segmentHalf[-2 - across] = 3 * p + k;
    }
  }
  mesh.triangles = kept;
  mesh.restoreDelaunay();
  return clash;
}

/**
 * True when the curve of segment s leaves its chord on the side of half-edge h and a vertex stands so near
 * there that the curve might pass on its wrong side.
 */
function bulges(mesh: Triangulation, b: Boundary, s: number, h: number): boolean {
  const e = b.edge[s]!;
  if (b.edges[e]!.curve.kind === "line") return false;
  const { xy, corners } = mesh;
  const p = 2 * corners[h]!;
  const q = 2 * corners[h % 3 === 2 ? h - 2 : h + 1]!;
  const apex = 2 * corners[h % 3 === 0 ? h + 2 : h - 1]!;
  const m = boundaryPoint(b, e, (b.u0[s]! + b.u1[s]!) / 2, new Float64Array(2));
  const cx = xy[q]! - xy[p]!;
  const cy = xy[q + 1]! - xy[p + 1]!;
  const sagitta = cx * (m[1]! - xy[p + 1]!) - cy * (m[0]! - xy[p]!); // chord × height over the chord
  if (sagitta <= 0) return false;
  const ax = xy[apex]! - xy[p]!;
  const ay = xy[apex + 1]! - xy[p + 1]!;
  const along = (ax * cx + ay * cy) / (cx * cx + cy * cy);
  return along > 0 && along < 1 && cx * ay - cy * ax < 1.5 * sagitta;
}

/**
 * Flips edges until a–b is one. Returns -1 when it stands, the number of a fixed segment that it would have to
 * cross, or -2 when it runs through a vertex.
 */
function recover(
  mesh: Triangulation,
  hub: Int32Array,
  renewHub: (t: number) => void,
  a: number,
  b: number,
  fixedAt: (v: number, w: number) => number,
): number {
  const { xy, corners, link } = mesh;
  const side = (p: number, q: number, r: number) =>
    -orient2d(xy[2 * p]!, xy[2 * p + 1]!, xy[2 * q]!, xy[2 * q + 1]!, xy[2 * r]!, xy[2 * r + 1]!);
  // turn about a until the wedge that holds b is found
  let h = hub[a]!;
  const start = h;
  let opposite = -1;
  do {
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const prev = h % 3 === 0 ? h + 2 : h - 1;
    const p = corners[next]!;
    const q = corners[prev]!;
    if (p === b || q === b) return -1;
    const sp = side(a, b, p);
    const sq = side(a, b, q);
    if (sp < 0 && sq > 0) {
      opposite = next;
      break;
    }
    if (
      sp === 0 &&
      (xy[2 * p]! - xy[2 * a]!) * (xy[2 * b]! - xy[2 * a]!) +
        (xy[2 * p + 1]! - xy[2 * a + 1]!) * (xy[2 * b + 1]! - xy[2 * a + 1]!) >
        0
    ) {
      return -2;
    }
    h = link[prev]!;
  } while (h !== start && h >= 0);
  if (opposite < 0) throw new Error(`mesh: no wedge at vertex ${a} holds vertex ${b}`);
  const crossing: number[] = []; // pairs of vertices: half-edges renumber when neighbours flip
  for (let e = opposite; ; ) {
    const p = corners[e]!;
    const q = corners[e % 3 === 2 ? e - 2 : e + 1]!;
    const wall = fixedAt(p, q);
    if (wall >= 0) return wall;
    crossing.push(p, q);
    const g = link[e]!;
    const apex = corners[g % 3 === 0 ? g + 2 : g - 1]!;
    if (apex === b) break;
    const sa = side(a, b, apex);
    if (sa === 0) return -2;
    // g runs q→p; next crossing edge is the one whose ends lie on both sides
    e = sa > 0 ? (g % 3 === 2 ? g - 2 : g + 1) : g % 3 === 0 ? g + 2 : g - 1;
  }
  let guard = 100 * crossing.length + 1000;
  for (let c = 0; c < crossing.length; c += 2) {
    if (guard-- < 0) return -2;
    const p = crossing[c]!;
    const q = crossing[c + 1]!;
    const e = findHalf(mesh, hub, p, q);
    if (e < 0) continue;
    const g = link[e]!;
    const left = corners[e % 3 === 0 ? e + 2 : e - 1]!;
    const right = corners[g % 3 === 0 ? g + 2 : g - 1]!;
    if (side(right, q, left) <= 0 || side(left, p, right) <= 0) {
      crossing.push(p, q); // not convex yet: its neighbours flip first
      continue;
    }
    mesh.flip(e);
    renewHub((e / 3) | 0);
    renewHub((g / 3) | 0);
    if (left === a || left === b || right === a || right === b) {
      // an end of the new edge is an end of the segment: it cannot cross
      continue;
    }
    const sl = side(a, b, left);
    const sr = side(a, b, right);
    if (sl > 0 !== sr > 0) crossing.push(right, left);
  }
  return -1;
}

/** Half-edge from p to q, or -1. */
function findHalf(mesh: Triangulation, hub: Int32Array, p: number, q: number): number {
  const { corners, link } = mesh;
  const start = hub[p]!;
  let h = start;
  do {
    if (corners[h % 3 === 2 ? h - 2 : h + 1] === q) return h;
    h = link[h % 3 === 0 ? h + 2 : h - 1]!;
  } while (h !== start && h >= 0);
  return -1;
}
