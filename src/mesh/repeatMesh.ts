import {
  closesAfter,
  movePoint,
  type Outline,
  outlineDiagonal,
  outlineEdges,
  repeatingTie,
  repeatMotion,
  repeatOutline,
} from "../geometry/index.ts";
import type { Mesh } from "./mesh.ts";

/**
 * Copies the mesh of a repeating sector n times, as `repeatOutline` does its outline, and joins the copies node
 * for node along the tied cuts. Elements of copy k are `k × elements … `, in the sector's order; `sideEdge` counts in
 * `outlineEdges` of the outline returned.
 * @throws Error unless the outline has exactly one tie and every cut side has its image.
 */
export function repeatMesh(mesh: Mesh, outline: Outline, n: number): { outline: Outline; mesh: Mesh } {
  const whole = repeatOutline(outline, n);
  const tie = repeatingTie(outline, n);
  const closed = closesAfter(tie.motion, n);
  const sectorEdges = outlineEdges(outline);
  const nodes = mesh.xy.length / 2;
  const count = mesh.elements.length / 6;

  const leaderNode = new Int32Array(nodes).fill(-1); // by follower node
  for (let k = 0; k < mesh.tieLeader.length; k++) leaderNode[mesh.tieFollower[k]!] = mesh.tieLeader[k]!;
  const pivot = pivotNodes(mesh, outline);

  // numbers in the whole mesh by copy and node, given as elements first touch them
  const number = new Int32Array(n * nodes).fill(-1);
  const xy = new Float64Array(2 * n * nodes);
  const p = new Float64Array(2);
  const motions = Array.from({ length: n + 1 }, (_, k) => repeatMotion(tie.motion, k));
  let made = 0;
  const place = (copy: number, node: number): number => {
    let k = copy;
    let i = node;
    if (pivot[i]) k = 0;
    else if (leaderNode[i]! >= 0 && (closed || k < n - 1)) {
      k = (k + 1) % n;
      i = leaderNode[i]!;
    }
    const key = k * nodes + i;
    if (number[key]! < 0) {
      movePoint(motions[k]!, mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!, p);
      xy[2 * made] = p[0]!;
      xy[2 * made + 1] = p[1]!;
      number[key] = made++;
    }
    return number[key]!;
  };
  const elements = new Uint32Array(6 * count * n);
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < 6 * count; i++) elements[6 * count * k + i] = place(k, mesh.elements[i]!);
  }

  const neighbours = new Int32Array(3 * count * n);
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < 3 * count; i++) {
      const across = mesh.neighbours[i]!;
      neighbours[3 * count * k + i] = across < 0 ? -1 : across + k * count;
    }
  }
  const leaders = new Set(tie.leader);
  const followers = new Set(tie.follower);
  const sideAt = new Map<number, number>(); // leader side by its mid-side node
  const sides = mesh.sideElement.length;
  const halfOf = (b: number) => 3 * mesh.sideElement[b]! + mesh.sideLocal[b]!;
  const midOf = (b: number) => mesh.elements[6 * mesh.sideElement[b]! + 3 + mesh.sideLocal[b]!]!;
  const nameOf = (b: number) => sectorEdges[mesh.sideEdge[b]!]!.name;
  for (let b = 0; b < sides; b++) if (leaders.has(nameOf(b))) sideAt.set(midOf(b), b);
  for (let b = 0; b < sides; b++) {
    if (!followers.has(nameOf(b))) continue;
    const lead = sideAt.get(leaderNode[midOf(b)]!);
    if (lead === undefined) throw new Error(`repeatMesh: side ${b} on "${nameOf(b)}" has no image`);
    for (let k = 0; k < n; k++) {
      if (!closed && k === n - 1) continue;
      const other = (k + 1) % n;
      neighbours[3 * count * k + halfOf(b)] = count * other + mesh.sideElement[lead]!;
      neighbours[3 * count * other + halfOf(lead)] = count * k + mesh.sideElement[b]!;
    }
  }

  const edgeIndex = new Map(outlineEdges(whole).map((e, i) => [e.name, i]));
  const kept: { edge: number; side: number; copy: number }[] = [];
  for (let k = 0; k < n; k++) {
    for (let b = 0; b < sides; b++) {
      const edge = edgeIndex.get(`${nameOf(b)}#${k}`);
      if (edge !== undefined) kept.push({ edge, side: b, copy: k });
    }
  }
  kept.sort((a, b) => a.edge - b.edge || mesh.sideU[2 * a.side]! - mesh.sideU[2 * b.side]!);
  const sideElement = new Uint32Array(kept.length);
  const sideLocal = new Uint8Array(kept.length);
  const sideEdge = new Uint32Array(kept.length);
  const sideU = new Float64Array(2 * kept.length);
  for (const [i, { edge, side, copy }] of kept.entries()) {
    sideElement[i] = count * copy + mesh.sideElement[side]!;
    sideLocal[i] = mesh.sideLocal[side]!;
    sideEdge[i] = edge;
    sideU[2 * i] = mesh.sideU[2 * side]!;
    sideU[2 * i + 1] = mesh.sideU[2 * side + 1]!;
  }
  const ties = closed ? 0 : mesh.tieLeader.length;
  const tieLeader = new Uint32Array(ties);
  const tieFollower = new Uint32Array(ties);
  for (let k = 0; k < ties; k++) {
    const lead = place(0, mesh.tieLeader[k]!);
    const follow = place(n - 1, mesh.tieFollower[k]!);
    tieLeader[k] = lead;
    tieFollower[k] = follow;
    movePoint(motions[n]!, xy[2 * lead]!, xy[2 * lead + 1]!, p);
    xy[2 * follow] = p[0]!;
    xy[2 * follow + 1] = p[1]!;
  }
  return {
    outline: whole,
    mesh: {
      xy: xy.slice(0, 2 * made),
      elements,
      neighbours,
      sideElement,
      sideLocal,
      sideEdge,
      sideU,
      tieLeader,
      tieFollower,
      tieIndex: new Uint32Array(ties),
    },
  };
}

/** Marks nodes that the tie's motion leaves where they are: the centre of a sector that reaches it. */
function pivotNodes(mesh: Mesh, outline: Outline): Uint8Array {
  const { motion } = outline.ties![0]!;
  const mark = new Uint8Array(mesh.xy.length / 2);
  if (motion.angle === 0) return mark;
  const tolerance = 1e-11 * outlineDiagonal(outline);
  const p = new Float64Array(2);
  for (let b = 0; b < mesh.sideElement.length; b++) {
    const node = mesh.elements[6 * mesh.sideElement[b]! + mesh.sideLocal[b]!]!;
    const x = mesh.xy[2 * node]!;
    const y = mesh.xy[2 * node + 1]!;
    movePoint(motion, x, y, p);
    if (Math.hypot(p[0]! - x, p[1]! - y) <= tolerance) mark[node] = 1;
  }
  return mark;
}
