import type { Problem } from "../problem.ts";

/** Elements at whose corner node i sits: `list[ptr[i]] … list[ptr[i + 1] - 1]`; none for mid-side nodes. */
export interface Round {
  readonly ptr: Uint32Array;
  readonly list: Uint32Array;
}

export function elementsRound(nodes: number, elements: Uint32Array): Round {
  const ptr = new Uint32Array(nodes + 1);
  for (let k = 0; k < elements.length; k += 6) {
    for (let a = 0; a < 3; a++) ptr[elements[k + a] + 1]++;
  }
  for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
  const next = ptr.slice(0, nodes);
  const list = new Uint32Array(ptr[nodes]);
  for (let k = 0; k < elements.length; k += 6) {
    for (let a = 0; a < 3; a++) list[next[elements[k + a]]++] = k / 6;
  }
  return { ptr, list };
}

/** Tied partners of nodes: entries `ptr[i] … ptr[i + 1] - 1` name the partner and the motion from its place to i's. */
export interface TieNeighbours {
  readonly any: boolean;
  readonly ptr: Uint32Array;
  readonly partner: Uint32Array;
  /** cos, sin, dx, dy by entry. */
  readonly motion: Float64Array;
}

export function tieNeighbours({ outline, mesh }: Problem, nodes: number): TieNeighbours {
  const { tieLeader, tieFollower, tieIndex } = mesh;
  const ptr = new Uint32Array(nodes + 1);
  for (let k = 0; k < tieLeader.length; k++) {
    ptr[tieLeader[k] + 1]++;
    ptr[tieFollower[k] + 1]++;
  }
  for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
  const next = ptr.slice(0, nodes);
  const partner = new Uint32Array(2 * tieLeader.length);
  const motion = new Float64Array(8 * tieLeader.length);
  for (let k = 0; k < tieLeader.length; k++) {
    const { angle, dx, dy } = outline.ties![tieIndex[k]].motion;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const l = tieLeader[k];
    const f = tieFollower[k];
    let n = next[f]++;
    partner[n] = l;
    motion.set([c, s, dx, dy], 4 * n);
    n = next[l]++;
    partner[n] = f;
    motion.set([c, -s, -(c * dx + s * dy), s * dx - c * dy], 4 * n);
  }
  return { any: tieLeader.length > 0, ptr, partner, motion };
}
