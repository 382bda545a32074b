import { outlineEdges } from "../geometry/index.ts";
import { nearestNode } from "../mesh/index.ts";
import type { Problem, Support } from "./problem.ts";

/**
 * Which unknowns a mesh node stands on. Nodes tied to each other form one class with one pair of unknowns q:
 *
 *     displacement of node i = R(frame_i) q(class of i),   R turning by (cos[i], sin[i])
 *
 * A class with one held component has its frame laid along it, so that holding is holding one unknown.
 * A class held altogether has no equation.
 */
export interface Equations {
  readonly classes: number;
  /** Class of each mesh node. */
  readonly classOf: Uint32Array;
  /** Frame of each mesh node. */
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  /** Equation node of each class, or `NO_NODE` where both components are held. */
  readonly equation: Uint32Array;
  /** Number of equation nodes: the matrix has twice as many rows. */
  readonly count: number;
  /** 1 where component c of class k is prescribed, at `2 * k + c`; and its value, mm, in the class frame. */
  readonly held: Uint8Array;
  readonly value: Float64Array;
}

/** Stands for "no equation", as in the sparse pattern. */
export const NO_NODE = 0xffffffff;

/** Two directions closer than this (sine of the angle between them) count as one. */
const PARALLEL = 1e-6;

/**
 * Resolves ties and supports. A node that is its own image under a turn (the centre of a full set of sectors) can
 * only stay where it is; it is held.
 * @throws Error naming the place where two supports contradict each other, or the edge no outline has.
 */
export function equations(problem: Problem): Equations {
  const { mesh } = problem;
  const nodes = mesh.xy.length / 2;
  const { root, turn, pinned } = tiedClasses(problem);

  const classOf = new Uint32Array(nodes);
  const number = new Int32Array(nodes).fill(-1);
  let classes = 0;
  for (let i = 0; i < nodes; i++) {
    const r = root[i];
    if (number[r] < 0) number[r] = classes++;
    classOf[i] = number[r];
  }

  // per class: rank of what is prescribed, and up to two rows d · u_root = value
  const rank = new Uint8Array(classes);
  const rows = new Float64Array(6 * classes);
  const prescribed = prescriptions(problem);
  let scale = 0;
  for (const p of prescribed) scale = Math.max(scale, Math.abs(p.value));
  for (let i = 0; i < nodes; i++) {
    if (pinned[i]) {
      const k = classOf[i];
      rank[k] = 2;
      rows.set([1, 0, 0, 0, 1, 0], 6 * k);
    }
  }
  for (const { node, dx, dy, value, what } of prescribed) {
    const k = classOf[node];
    const c = Math.cos(turn[node]);
    const s = Math.sin(turn[node]);
    // d · R u_root = (Rᵀ d) · u_root
    const ex = turn[node] === 0 ? dx : c * dx + s * dy;
    const ey = turn[node] === 0 ? dy : -s * dx + c * dy;
    const at = 6 * k;
    const clash = (wanted: number, found: number): Error =>
      new Error(
        `support: ${what} at (${mesh.xy[2 * node].toPrecision(6)}, ${mesh.xy[2 * node + 1].toPrecision(6)}) ` +
          `prescribes ${wanted} mm where another support or tie already prescribes ${found} mm`,
      );
    const tolerance = 1e-9 * scale;
    if (rank[k] === 0) {
      rows[at] = ex;
      rows[at + 1] = ey;
      rows[at + 2] = value;
      rank[k] = 1;
    } else if (rank[k] === 1) {
      const cross = rows[at] * ey - rows[at + 1] * ex;
      if (Math.abs(cross) > PARALLEL) {
        rows[at + 3] = ex;
        rows[at + 4] = ey;
        rows[at + 5] = value;
        rank[k] = 2;
      } else {
        const there = Math.sign(rows[at] * ex + rows[at + 1] * ey) * rows[at + 2];
        if (Math.abs(there - value) > tolerance) throw clash(value, there);
      }
    } else {
      const [ux, uy] = meet(rows, at);
      const there = ex * ux + ey * uy;
      if (Math.abs(there - value) > tolerance) throw clash(value, there);
    }
  }

  const held = new Uint8Array(2 * classes);
  const value = new Float64Array(2 * classes);
  const equation = new Uint32Array(classes);
  const rootTurn = new Float64Array(classes);
  let count = 0;
  for (let k = 0; k < classes; k++) {
    equation[k] = rank[k] === 2 ? NO_NODE : count++;
    if (rank[k] === 0) continue;
    const at = 6 * k;
    if (rank[k] === 2) {
      const [ux, uy] = meet(rows, at);
      held[2 * k] = 1;
      held[2 * k + 1] = 1;
      value[2 * k] = ux;
      value[2 * k + 1] = uy;
    } else if (Math.abs(rows[at + 1]) < 1e-14) {
      held[2 * k] = 1;
      value[2 * k] = rows[at] < 0 ? -rows[at + 2] : rows[at + 2];
    } else if (Math.abs(rows[at]) < 1e-14) {
      held[2 * k + 1] = 1;
      value[2 * k + 1] = rows[at + 1] < 0 ? -rows[at + 2] : rows[at + 2];
    } else {
      held[2 * k] = 1;
      value[2 * k] = rows[at + 2];
      rootTurn[k] = Math.atan2(rows[at + 1], rows[at]);
    }
  }

  const cos = new Float64Array(nodes).fill(1);
  const sin = new Float64Array(nodes);
  for (let i = 0; i < nodes; i++) {
    const angle = turn[i] + rootTurn[classOf[i]];
    if (angle !== 0) {
      cos[i] = Math.cos(angle);
      sin[i] = Math.sin(angle);
    }
  }
  return { classes, classOf, cos, sin, equation, count, held, value };
}

/** The displacement two rows d · u = value agree on. */
function meet(rows: Float64Array, at: number): [number, number] {
  const ax = rows[at];
  const ay = rows[at + 1];
  const av = rows[at + 2];
  const bx = rows[at + 3];
  const by = rows[at + 4];
  const bv = rows[at + 5];
  const det = ax * by - ay * bx;
  return [(av * by - ay * bv) / det, (ax * bv - av * bx) / det];
}

/**
 * Union of tied nodes with the turn of each against its root: u_i = R(turn[i]) u_root[i]. `pinned` marks roots that a
 * chain of ties leads back to under another turn.
 */
function tiedClasses({ outline, mesh }: Problem): {
  root: Uint32Array;
  turn: Float64Array;
  pinned: Uint8Array;
} {
  const nodes = mesh.xy.length / 2;
  const root = new Uint32Array(nodes);
  for (let i = 0; i < nodes; i++) root[i] = i;
  const turn = new Float64Array(nodes);
  const pinned = new Uint8Array(nodes);
  const ties = outline.ties ?? [];

  // follows a node to its root, leaving it hung directly on that root
  const settle = (i: number): number => {
    let r = i;
    let total = 0;
    while (root[r] !== r) {
      total += turn[r];
      r = root[r];
    }
    if (root[i] !== r) {
      let k = i;
      while (root[k] !== r && k !== r) {
        const up = root[k];
        const own = turn[k];
        root[k] = r;
        turn[k] = total;
        total -= own;
        k = up;
      }
    }
    return r;
  };

  for (let k = 0; k < mesh.tieFollower.length; k++) {
    const tie = ties[mesh.tieIndex[k]];
    if (!tie) throw new Error(`mesh: tied pair ${k} names tie ${mesh.tieIndex[k]} of ${ties.length}`);
    const f = mesh.tieFollower[k];
    const l = mesh.tieLeader[k];
    const rf = settle(f);
    const rl = settle(l);
    const between = tie.motion.angle + turn[l] - turn[f]; // u_rf = R(between) u_rl
    if (rf === rl) {
      if (Math.abs(Math.sin(between / 2)) > 1e-9) pinned[rl] = 1;
    } else {
      root[rf] = rl;
      turn[rf] = between;
    }
  }
  for (let i = 0; i < nodes; i++) settle(i);
  for (let i = 0; i < nodes; i++) if (pinned[i] && root[i] !== i) pinned[root[i]] = 1;
  return { root, turn, pinned };
}

interface Prescription {
  readonly node: number;
  readonly dx: number;
  readonly dy: number;
  readonly value: number;
  readonly what: string;
}

/** Every support as rows d · u_node = value in the global frame. */
function prescriptions({ outline, mesh, supports }: Problem): Prescription[] {
  const list: Prescription[] = [];
  const seen = new Uint8Array(mesh.xy.length / 2);
  for (const support of supports) {
    const targets = supportNodes({ outline, mesh }, support, seen);
    const what = support.edges ? `edge ${support.edges.map((n) => `"${n}"`).join(", ")}` : "point support";
    if (!Number.isFinite(support.angle ?? 0))
      throw new Error(`support: ${what} has an angle of ${support.angle} rad`);
    for (const node of targets) {
      const x = mesh.xy[2 * node];
      const y = mesh.xy[2 * node + 1];
      const angle = supportAngle(support, x, y);
      const c = angle === 0 ? 1 : Math.cos(angle);
      const s = angle === 0 ? 0 : Math.sin(angle);
      if (support.u !== undefined) {
        const value = typeof support.u === "function" ? support.u(x, y) : support.u;
        list.push({ node, dx: c, dy: s, value, what: `u of ${what}` });
      }
      if (support.v !== undefined) {
        const value = typeof support.v === "function" ? support.v(x, y) : support.v;
        list.push({ node, dx: -s, dy: c, value, what: `v of ${what}` });
      }
    }
  }
  for (const p of list) {
    if (!Number.isFinite(p.value)) throw new Error(`support: ${p.what} prescribes ${p.value} mm`);
  }
  return list;
}

/** Angle of a support's axes at (x, y), rad. */
export function supportAngle(support: Support, x: number, y: number): number {
  if (!support.polar) return support.angle ?? 0;
  if (x === 0 && y === 0) {
    const free = support.u === undefined || support.v === undefined;
    if (free || support.u !== 0 || support.v !== 0) {
      throw new Error(
        "support: a polar support has no radial direction at the origin; hold both or use u, v",
      );
    }
    return 0;
  }
  return Math.atan2(y, x) + (support.angle ?? 0);
}

/** Mesh nodes a support acts on; `seen` is scratch, 1 a node, left as it was. */
function supportNodes(
  { outline, mesh }: Pick<Problem, "outline" | "mesh">,
  support: Support,
  seen: Uint8Array,
): number[] {
  const list: number[] = [];
  if (support.edges) {
    for (const b of sidesOfEdges({ outline, mesh }, support.edges, "support")) {
      const at = 6 * mesh.sideElement[b];
      const s = mesh.sideLocal[b];
      for (const i of [mesh.elements[at + s], mesh.elements[at + 3 + s], mesh.elements[at + ((s + 1) % 3)]]) {
        if (seen[i]) continue;
        seen[i] = 1;
        list.push(i);
      }
    }
    for (const i of list) seen[i] = 0;
  }
  if (support.point) {
    const [x, y] = support.point;
    if (!(Number.isFinite(x) && Number.isFinite(y)))
      throw new Error(`support: the point (${x}, ${y}) is none; give two numbers`);
    const nearest = nearestNode(mesh, x, y);
    if (nearest >= 0) list.push(nearest);
  }
  if (!support.edges && !support.point) throw new Error("support: names neither edges nor a point");
  if (support.edges && support.point)
    throw new Error("support: names edges and a point; make it two supports, or leave one out");
  return list;
}

/** Boundary sides lying on the named edges. @throws Error naming an edge the outline has not. */
export function sidesOfEdges(
  { outline, mesh }: Pick<Problem, "outline" | "mesh">,
  names: readonly string[],
  who: string,
): number[] {
  const edges = outlineEdges(outline);
  const wanted = new Uint8Array(edges.length);
  for (const name of names) {
    const k = edges.findIndex((edge) => edge.name === name);
    if (k < 0) {
      throw new Error(
        `${who}: the outline has no edge "${name}"; it has ${edges.map((e) => `"${e.name}"`).join(", ")}`,
      );
    }
    wanted[k] = 1;
  }
  const sides: number[] = [];
  for (let b = 0; b < mesh.sideElement.length; b++) if (wanted[mesh.sideEdge[b]]) sides.push(b);
  return sides;
}
