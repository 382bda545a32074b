import { outlineDiagonal } from "../../geometry/index.ts";
import { equations } from "../equations.ts";
import type { RigidHarmonic } from "./cutRing.ts";
import type { RingProblem } from "./ringProblem.ts";
import type { SectorEquations } from "./sectorEquations.ts";

/** A rigid motion of the whole ring: u = tx − turn (y − cy), v = ty + turn (x − cx); `turn` is per mm. */
export interface RigidMotion {
  readonly tx: number;
  readonly ty: number;
  readonly turn: number;
  readonly cx: number;
  readonly cy: number;
}

/** Share of the whole held resistance below which a motion counts as free, as in `freeMotion`. */
const FREE = 1e-10;

export function moveRigidly({ tx, ty, turn, cx, cy }: RigidMotion, x: number, y: number): [number, number] {
  return [tx - turn * (y - cy), ty + turn * (x - cx)];
}

/**
 * Rigid motions that neither held edges nor the joining of the copies resist. Joined by a shift, copies may shift
 * together; joined by a turn they may turn together, and shift as well once the ring is closed.
 */
export function freeRingMotions(
  { sector }: RingProblem,
  { eq, motion, closed }: SectorEquations,
): RigidMotion[] {
  const { xy } = sector.mesh;
  let cx = 0;
  let cy = 0;
  if (motion.angle !== 0) {
    // the point that stays put: c = (I − R)⁻¹ d
    const cos = Math.cos(motion.angle);
    const sin = Math.sin(motion.angle);
    const det = 2 - 2 * cos;
    cx = ((1 - cos) * motion.dx - sin * motion.dy) / det;
    cy = (sin * motion.dx + (1 - cos) * motion.dy) / det;
  }
  const scale = 2 / outlineDiagonal(sector.outline);
  // sums over held directions d: of d dᵀ, and of the square of d · turn
  let xx = 0;
  let xyd = 0;
  let yy = 0;
  let turned = 0;
  for (let i = 0; i < xy.length / 2; i++) {
    for (let d = 0; d < 2; d++) {
      if (!eq.held[2 * i + d]) continue;
      const dx = d === 0 ? eq.cos[i] : -eq.sin[i];
      const dy = d === 0 ? eq.sin[i] : eq.cos[i];
      xx += dx * dx;
      xyd += dx * dy;
      yy += dy * dy;
      turned += (scale * (dy * (xy[2 * i] - cx) - dx * (xy[2 * i + 1] - cy))) ** 2;
    }
  }
  const held = xx + yy;
  const still = { tx: 0, ty: 0, turn: 0, cx, cy };
  const motions: RigidMotion[] = [];
  if (motion.angle === 0) {
    if (held === 0) motions.push({ ...still, tx: 1 }, { ...still, ty: 1 });
    else if (xx * yy - xyd * xyd <= FREE * held * held) {
      const along = Math.atan2(2 * xyd, xx - yy) / 2; // the direction held
      motions.push({ ...still, tx: -Math.sin(along), ty: Math.cos(along) });
    }
    return motions;
  }
  // what one copy holds in one direction, the others hold in all
  if (closed && held === 0) motions.push({ ...still, tx: 1 }, { ...still, ty: 1 });
  if (turned <= FREE * held) motions.push({ ...still, turn: scale });
  return motions;
}

/** The same motions as the harmonics of the leading cut see them. */
export function rigidHarmonics(
  { sector, copies }: RingProblem,
  { eq, inner, cut, motion }: SectorEquations,
  motions: readonly RigidMotion[],
): RigidHarmonic[] {
  const { mesh } = sector;
  const made = (
    harmonic: number,
    at: (x: number, y: number) => readonly [number, number, number, number],
  ) => {
    const x = new Float64Array(2 * cut);
    const y = new Float64Array(2 * cut);
    for (const i of mesh.tieLeader) {
      const place = 2 * (eq.equation[i] - inner);
      if (!(place >= 0 && place < 2 * cut)) continue;
      const [ux, uy, vx, vy] = at(mesh.xy[2 * i], mesh.xy[2 * i + 1]);
      const c = eq.cos[i];
      const s = eq.sin[i];
      if (!eq.held[2 * i]) {
        x[place] = c * ux + s * uy;
        y[place] = c * vx + s * vy;
      }
      if (!eq.held[2 * i + 1]) {
        x[place + 1] = c * uy - s * ux;
        y[place + 1] = c * vy - s * vx;
      }
    }
    return { harmonic, x, y };
  };
  const harmonics: RigidHarmonic[] = [];
  let shifts = 0;
  for (const m of motions) {
    const shift = m.turn === 0;
    if (shift && motion.angle !== 0) shifts++;
    else harmonics.push(made(0, (x, y) => [...moveRigidly(m, x, y), 0, 0]));
  }
  if (shifts === 2) {
    // a fixed direction turns backwards in the copies' own axes: (1, i) goes round as e^{iθ} when the tie turns forwards
    const way = Math.sign(motion.angle);
    harmonics.push(made(1, () => [1, 0, 0, way]));
    if (copies === 2) harmonics.push(made(1, () => [1, 0, 0, -way]));
  }
  return harmonics;
}

/** A row d · u(node) = value that a point is held by. */
export interface PointRow {
  readonly node: number;
  readonly dx: number;
  readonly dy: number;
  readonly value: number;
  /** The same row as each node tied to the first one sees it, that one among them: reactions are spread over them. */
  readonly at: readonly { readonly node: number; readonly dx: number; readonly dy: number }[];
}

/** What the supports at points ask for; a point tied to another is held once. */
export function pointRows(problem: RingProblem): PointRow[] {
  const supports = problem.supports.flatMap(({ edges: _, ...rest }) => (rest.point ? [rest] : []));
  if (supports.length === 0) return [];
  const { classOf, cos, sin, held, value } = equations({ ...problem, supports });
  const nodesOf = new Map<number, number[]>();
  for (let node = 0; node < classOf.length; node++) {
    const c = classOf[node];
    if (!(held[2 * c] || held[2 * c + 1])) continue;
    const list = nodesOf.get(c);
    if (list) list.push(node);
    else nodesOf.set(c, [node]);
  }
  const rows: PointRow[] = [];
  for (const [c, nodes] of nodesOf) {
    for (let d = 0; d < 2; d++) {
      if (!held[2 * c + d]) continue;
      const at = nodes.map((node) => ({
        node,
        dx: d === 0 ? cos[node] : -sin[node],
        dy: d === 0 ? sin[node] : cos[node],
      }));
      rows.push({ ...at[0], value: value[2 * c + d], at });
    }
  }
  return rows;
}
