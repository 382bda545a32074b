import type { Mesh } from "../mesh/index.ts";
import type { Evaluator, NodalStress } from "../solver/index.ts";
import {
  type BoundarySpot,
  createSideFrame,
  readSideFrame,
  type SideFrame,
  sideShares,
  sideStress,
  tangentStress,
} from "./boundaryPeaks.ts";

/** Parts of `recoveryBound`: of a mean, and of a peak. */
const OF_GAP = 2;
const OF_PEAK_GAP = 1.5;
const OF_TRACTION = 12;

/**
 * How the governing stress was read from the nodal stresses: the first principal at a place t of boundary side `side`, or the mean over
 * weighted points (five numbers each, as `pathPoints` and `cornerArc` give them); of several sets of points, their mean.
 */
export type Reading = PeakReading | MeanReading;

interface AnyReading {
  /** MPa. */
  readonly value: number;
  /** What errors are held against, MPa: the size of the value. */
  readonly scale: number;
}

export interface PeakReading extends AnyReading, BoundarySpot {
  /** The first principal stress at a spot; or, of a root that is not pulled, the von Mises stress where it peaks. */
  readonly kind: "peak" | "pressed";
}

export interface MeanReading extends AnyReading {
  readonly kind: "mean";
  readonly points: readonly Float64Array[];
  /** True when the points lie on the path from the corner itself, where elements cannot follow the stress. */
  readonly onPath: boolean;
  /** Half the difference between two sets of points, MPa; 0 for one set. */
  readonly spread: number;
}

/** Derivative of the reading by the nodal stresses, 3 × nodes: weights · stress changes as the reading does. */
export function readingWeights(
  mesh: Mesh,
  stress: NodalStress,
  field: Evaluator,
  reading: Reading,
): Float64Array {
  const weights = new Float64Array(stress.length);
  if (reading.kind !== "mean") {
    const frame = createSideFrame();
    readSideFrame(mesh, reading.side, frame);
    const n = new Float64Array(3);
    sideShares(reading.t, n);
    const phi = principalTurn(stress, frame, n, reading.kind);
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
 * Bound meant for what the recovery itself misses in a reading, MPa, all else exact. Measured by recovering the stress from the
 * displacements of a mesh 4 to 5 times finer, of 700 random profiles, 2 meshes each:
 *
 * Of a peak: the gap between the two polynomials that meet at the middle of its side, all components together, and the traction
 * that the recovered stress puts on a surface that has none. One component of the gap is at times nothing by chance, the principal one
 * among them where the polynomials cross; all three hardly ever are, nor is the traction, which falls with the fourth power of the
 * sides as the error does. The error was under the bound in all but one of those 1400 meshes; by the gap along the principal
 * direction alone and 10 times the traction, in all but 17, up to 2.7 times.
 *
 * Of a mean: the gaps at the nodes it is read from, as the root of their sum of squares, and the spread of its sets of points.
 */
export function recoveryBound(
  mesh: Mesh,
  load: Float64Array,
  stress: NodalStress,
  gap: Float64Array,
  weights: Float64Array,
  reading: Reading,
): number {
  if (reading.kind !== "mean") return peakRecoveryBound(mesh, load, stress, gap, reading);
  let squares = 0;
  for (let i = 0; i < weights.length; i += 3) {
    const g = weights[i] * gap[i] + weights[i + 1] * gap[i + 1] + weights[i + 2] * gap[i + 2];
    squares += g * g;
  }
  return OF_GAP * (Math.sqrt(squares) + reading.spread);
}

/** The same of a peak. At a node that is loaded, as the end of a contact is, the traction is no stray one. @param load nodal, N, 2 × nodes. */
export function peakRecoveryBound(
  mesh: Mesh,
  load: Float64Array,
  stress: NodalStress,
  gap: Float64Array,
  reading: Pick<PeakReading, "side">,
): number {
  const frame = createSideFrame();
  readSideFrame(mesh, reading.side, frame);
  const i = 3 * frame.nodes[2];
  const atMiddle = Math.sqrt(gap[i] ** 2 + gap[i + 1] ** 2 + 2 * gap[i + 2] ** 2);
  const local = new Float64Array(9);
  tangentStress(stress, frame, local);
  let traction = 0;
  for (const [k, node] of frame.nodes.entries())
    if (load[2 * node] === 0 && load[2 * node + 1] === 0)
      traction = Math.max(traction, Math.hypot(local[3 * k + 1], local[3 * k + 2]));
  return OF_PEAK_GAP * atMiddle + OF_TRACTION * traction;
}

/** Angle from the tangent to the first principal direction (of a pressed root, that of the larger principal) at the shares n of a side, rad. */
function principalTurn(
  stress: NodalStress,
  frame: SideFrame,
  n: Float64Array,
  kind: PeakReading["kind"],
): number {
  const local = new Float64Array(9);
  tangentStress(stress, frame, local);
  const along = sideStress(local, n, 0);
  const across = sideStress(local, n, 1);
  const shear = sideStress(local, n, 2);
  const first = Math.atan2(2 * shear, along - across) / 2;
  // the second principal is the larger where the mean of the two is negative
  return kind === "pressed" && along + across < 0 ? first + Math.PI / 2 : first;
}
