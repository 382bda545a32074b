import { closesAfter, type Motion } from "../../geometry/index.ts";
import { type Equations, equations, NO_NODE } from "../equations.ts";
import type { RingProblem } from "./ringProblem.ts";

/**
 * Unknowns of one sector cut free from its neighbours, counted in its own axes: the axes of copy k are those of the
 * whole turned by k times the tie's angle. Frames of the following cut are those of the leading one turned once more, so
 * that the unknowns of node `follower[j]` in copy k are simply those of node `leader[j]` in copy k + 1.
 *
 * Equations are numbered inner nodes first, then the leading cut, then the following one in the same order:
 *
 *     0 … inner − 1 | inner … inner + cut − 1 | inner + cut … inner + 2 cut − 1
 */
export interface SectorEquations {
  readonly eq: Equations;
  readonly inner: number;
  /** Nodes on a cut that have an equation. */
  readonly cut: number;
  /** 1 for nodes on the following cut. */
  readonly follows: Uint8Array;
  readonly motion: Motion;
  /** True when the last copy meets the first in nodes; otherwise a tie joins them. */
  readonly closed: boolean;
}

/** Directions that differ by less than this (1 − cosine) are one. */
const SAME_DIRECTION = 1e-9;

/** @throws Error when the sector is not joined by one tie, or an edge is not held in every copy alike. */
export function sectorEquations(problem: RingProblem, nodeOf: Uint32Array): SectorEquations {
  const { sector, copies } = problem;
  const { mesh, outline } = sector;
  if (outline.ties?.length !== 1) {
    throw new Error(`solveRing: a repeating sector has one tie, this one ${outline.ties?.length ?? 0}`);
  }
  const { motion } = outline.ties[0];
  const nodes = mesh.xy.length / 2;
  const follows = new Uint8Array(nodes);
  const leads = new Uint8Array(nodes);
  for (let j = 0; j < mesh.tieFollower.length; j++) {
    follows[mesh.tieFollower[j]] = 1;
    leads[mesh.tieLeader[j]] = 1;
  }
  for (let i = 0; i < nodes; i++) {
    if (!(follows[i] && leads[i])) continue;
    throw new Error("solveRing: the sector reaches the point it turns about, which belongs to all copies");
  }

  const cos = new Float64Array(nodes).fill(1);
  const sin = new Float64Array(nodes);
  const held = new Uint8Array(2 * nodes);
  const value = new Float64Array(2 * nodes);
  const edgeSupports = problem.supports.flatMap(({ point: _, ...rest }) => (rest.edges ? [rest] : []));
  if (edgeSupports.length > 0) {
    const whole = equations({ ...problem, supports: edgeSupports });
    for (let i = 0; i < nodes; i++) {
      const w = nodeOf[i];
      const c = whole.classOf[w];
      if (!(whole.held[2 * c] || whole.held[2 * c + 1])) continue;
      cos[i] = whole.cos[w];
      sin[i] = whole.sin[w];
      for (let d = 0; d < 2; d++) {
        held[2 * i + d] = whole.held[2 * c + d];
        value[2 * i + d] = whole.value[2 * c + d];
      }
    }
    checkAlike(whole, { cos, sin, held, value, follows, motion }, nodeOf, copies);
  }
  const turnCos = Math.cos(motion.angle);
  const turnSin = Math.sin(motion.angle);
  for (let j = 0; j < mesh.tieFollower.length; j++) {
    const f = mesh.tieFollower[j];
    const l = mesh.tieLeader[j];
    cos[f] = turnCos * cos[l] - turnSin * sin[l];
    sin[f] = turnSin * cos[l] + turnCos * sin[l];
    for (let d = 0; d < 2; d++) {
      held[2 * f + d] = held[2 * l + d];
      value[2 * f + d] = value[2 * l + d];
    }
  }

  const equation = new Uint32Array(nodes).fill(NO_NODE);
  const hasEquation = (i: number) => !(held[2 * i] && held[2 * i + 1]);
  let count = 0;
  for (let i = 0; i < nodes; i++) if (!follows[i] && !leads[i] && hasEquation(i)) equation[i] = count++;
  const inner = count;
  for (let j = 0; j < mesh.tieLeader.length; j++) {
    if (hasEquation(mesh.tieLeader[j])) equation[mesh.tieLeader[j]] = count++;
  }
  const cut = count - inner;
  for (let j = 0; j < mesh.tieLeader.length; j++) {
    if (hasEquation(mesh.tieLeader[j])) equation[mesh.tieFollower[j]] = count++;
  }
  const classOf = Uint32Array.from({ length: nodes }, (_, i) => i);
  const eq: Equations = { classes: nodes, classOf, cos, sin, equation, count, held, value };
  return { eq, inner, cut, follows, motion, closed: closesAfter(motion, copies) };
}

/** Every copy must be held where the first one is, in the same direction and by the same amount as seen from itself. */
function checkAlike(
  whole: Equations,
  first: Pick<Equations, "cos" | "sin" | "held" | "value"> & Pick<SectorEquations, "follows" | "motion">,
  nodeOf: Uint32Array,
  copies: number,
): void {
  const nodes = first.cos.length;
  const scale = first.value.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  const refuse = (k: number): never => {
    throw new Error(`solveRing: copy ${k} is not held as copy 0 is; hold the edge in every copy alike`);
  };
  for (let k = 0; k < copies; k++) {
    const c = Math.cos(k * first.motion.angle);
    const s = Math.sin(k * first.motion.angle);
    for (let i = 0; i < nodes; i++) {
      if (first.follows[i]) continue;
      const w = nodeOf[k * nodes + i];
      const own = whole.classOf[w];
      // cosine between the two frames, the copy's turned back
      const x = c * whole.cos[w] + s * whole.sin[w];
      const y = c * whole.sin[w] - s * whole.cos[w];
      const along = x * first.cos[i] + y * first.sin[i];
      const both = first.held[2 * i] && first.held[2 * i + 1];
      for (let d = 0; d < 2; d++) {
        if (whole.held[2 * own + d] !== first.held[2 * i + d]) refuse(k);
        if (!first.held[2 * i + d]) continue;
        if (both) {
          // held altogether: frames mean nothing, the displacement does
          const u = whole.value[2 * own];
          const v = whole.value[2 * own + 1];
          const wanted =
            d === 0
              ? first.cos[i] * first.value[2 * i] - first.sin[i] * first.value[2 * i + 1]
              : first.sin[i] * first.value[2 * i] + first.cos[i] * first.value[2 * i + 1];
          const found = d === 0 ? x * u - y * v : y * u + x * v;
          if (Math.abs(found - wanted) > 1e-9 * scale) refuse(k);
        } else {
          if (1 - Math.abs(along) > SAME_DIRECTION) refuse(k);
          const found = Math.sign(along) * whole.value[2 * own + d];
          if (Math.abs(found - first.value[2 * i + d]) > 1e-9 * scale) refuse(k);
        }
      }
    }
  }
}
