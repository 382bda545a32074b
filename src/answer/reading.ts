import type { Mesh } from "../mesh/index.ts";
import type { Evaluator, NodalStress } from "../solver/index.ts";
import {
  createSideFrame,
  readSideFrame,
  type SideFrame,
  sideShares,
  tangentStress,
} from "./boundaryPeaks.ts";

/**
 * How the governing stress was read from the nodal stresses: the first principal at a place t of boundary side `side`, or the mean over
 * weighted points (five numbers each, as `pathPoints` and `cornerArc` give them); of several sets of points, their mean.
 */
export type Reading =
  | { readonly kind: "peak"; readonly value: number; readonly side: number; readonly t: number }
  | {
      readonly kind: "mean";
      readonly value: number;
      readonly points: readonly Float64Array[];
      /** True when the points lie on the path from the corner itself, where elements cannot follow the stress. */
      readonly onPath: boolean;
      /** Half the difference between two sets of points, MPa; 0 for one set. */
      readonly spread: number;
    };

/** Derivative of the reading by the nodal stresses, 3 × nodes: weights · stress changes as the reading does. */
export function readingWeights(
  mesh: Mesh,
  stress: NodalStress,
  field: Evaluator,
  reading: Reading,
): Float64Array {
  const weights = new Float64Array(stress.length);
  if (reading.kind === "peak") {
    const frame = createSideFrame();
    readSideFrame(mesh, reading.side, frame);
    const n = new Float64Array(3);
    sideShares(reading.t, n);
    const phi = principalTurn(stress, frame, n);
    for (let k = 0; k < 3; k++) {
      const i = 3 * frame.nodes[k];
      const c = Math.cos(frame.angle[k] + phi);
      const s = Math.sin(frame.angle[k] + phi);
      weights[i] += n[k] * c * c;
      weights[i + 1] += n[k] * s * s;
      weights[i + 2] += 2 * n[k] * c * s;
    }
    return weights;
  }
  const nodes = new Uint32Array(6);
  const shares = new Float64Array(6);
  const each = 1 / reading.points.length;
  for (const points of reading.points) {
    for (let k = 0; k < points.length; k += 5) {
      if (!field.sharesAt(points[k], points[k + 1], nodes, shares)) {
        throw new Error(`reading: (${points[k]}, ${points[k + 1]}) has left the material`);
      }
      for (let a = 0; a < 6; a++) {
        const w = each * shares[a];
        for (let c = 0; c < 3; c++) weights[3 * nodes[a] + c] += w * points[k + 2 + c];
      }
    }
  }
  return weights;
}

/**
 * Size of what the recovery itself may have got wrong in the reading, MPa, from the `gap` between the polynomials that meet at
 * mid-side nodes: of a peak, the largest on its side and the two beside it, along the principal direction; of a mean, the root
 * of the sum of squares over the nodes it is read from, and the spread of its sets of points.
 */
export function recoveryGap(
  mesh: Mesh,
  stress: NodalStress,
  gap: Float64Array,
  weights: Float64Array,
  reading: Reading,
): number {
  if (reading.kind === "mean") {
    let squares = 0;
    for (let i = 0; i < weights.length; i += 3) {
      const g = weights[i] * gap[i] + weights[i + 1] * gap[i + 1] + weights[i + 2] * gap[i + 2];
      squares += g * g;
    }
    return Math.sqrt(squares) + reading.spread;
  }
  const frame = createSideFrame();
  readSideFrame(mesh, reading.side, frame);
  const n = new Float64Array(3);
  sideShares(reading.t, n);
  const phi = principalTurn(stress, frame, n);
  const [start, end] = frame.nodes;
  let most = 0;
  for (let b = 0; b < mesh.sideElement.length; b++) {
    readSideFrame(mesh, b, frame);
    const { nodes, angle } = frame;
    if (b !== reading.side && nodes[1] !== start && nodes[0] !== end) continue;
    const i = 3 * nodes[2];
    const c = Math.cos(angle[2] + phi);
    const s = Math.sin(angle[2] + phi);
    most = Math.max(most, Math.abs(c * c * gap[i] + s * s * gap[i + 1] + 2 * c * s * gap[i + 2]));
  }
  return most;
}

/** Angle from the tangent to the first principal direction at the shares n of a side, rad. */
function principalTurn(stress: NodalStress, frame: SideFrame, n: Float64Array): number {
  const local = new Float64Array(9);
  tangentStress(stress, frame, local);
  const along = n[0] * local[0] + n[1] * local[3] + n[2] * local[6];
  const across = n[0] * local[1] + n[1] * local[4] + n[2] * local[7];
  const shear = n[0] * local[2] + n[1] * local[5] + n[2] * local[8];
  return Math.atan2(2 * shear, along - across) / 2;
}
