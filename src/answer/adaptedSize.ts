import { type Mesh, minSize, nodalSize, type SizeField } from "../mesh/index.ts";
import type { ReadingError } from "./readingError.ts";

/** Of the error aimed at: what the elements' shares may scatter by, and what the recovery may miss. */
const SCATTER_SHARE = 0.3;
const RECOVERY_SHARE = 0.4;
/** An element's share falls with the fourth power of its side: h² of strain, h² of area. */
const SHARE_ORDER = 4;
/** The bound on the recovery's own error at a fillet falls with powers 4 to 6 of the side; the lowest is the safe one. */
const RECOVERY_ORDER = 4;
/** One pass changes sides by no more than this: an estimate says little of meshes far from its own. */
const SMALLEST_STEP = 0.35;
const LARGEST_STEP = 1.5;
/** A pass that is to be finer must have this many times the elements at least. */
export const LEAST_GROWTH = 1.2;

/**
 * Element sizes for the next mesh. `sector` is the mesh of one repeating piece, of which the estimated model has any number of
 * copies, element for element. `allowed` MPa is the error aimed at, `coarsest` what keeps the geometry resolved, `mostGrowth`
 * how many times more elements there may be.
 *
 * Shares have either sign, so what counts is their sum of squares: for a given number of elements it is least
 * when all shares are alike. With N elements of side h turned into N (h/h')² of side h' and shares (h'/h)⁴ as large, the
 * common share s that brings the sum of squares to t² is (t² / Σ |share|^½)^(2/3), and h'/h = (s/|share|)^¼.
 */
export function adaptedSize(
  sector: Mesh,
  copies: number,
  model: Mesh,
  error: ReadingError,
  allowed: number,
  coarsest: SizeField,
  mostGrowth: number,
): SizeField {
  const count = sector.elements.length / 6;
  const share = smoothed(model, error.byElement);
  let roots = 0;
  for (let e = 0; e < share.length; e++) roots += Math.sqrt(share[e]);
  const even = ((SCATTER_SHARE * allowed) ** 2 / roots) ** (2 / 3);
  const recovery = Math.min(1, ((RECOVERY_SHARE * allowed) / error.recovery) ** (1 / RECOVERY_ORDER));
  const near = nearRead(model, error.read);
  // one factor for an element and its copies: the least
  const factor = new Float64Array(count).fill(LARGEST_STEP);
  for (let k = 0; k < copies; k++) {
    for (let e = 0; e < count; e++) {
      const i = k * count + e;
      let f = share[i] > 0 ? (even / share[i]) ** (1 / SHARE_ORDER) : LARGEST_STEP;
      if (near[i]) f = Math.min(f, recovery);
      if (f < factor[e]) factor[e] = Math.max(SMALLEST_STEP, f);
    }
  }
  const growth = growthOf(factor);
  // a finer mesh that is hardly finer would tell nothing new; one that is too large is cut down evenly
  const wanted = Math.min(mostGrowth, Math.max(growth, LEAST_GROWTH));
  const scale = Math.sqrt(growth / wanted);
  for (let e = 0; e < count; e++) factor[e] *= scale;
  return minSize(nodalSize(sector, nodalSizes(sector, factor)), coarsest);
}

/** Root mean square of each element's share and its neighbours': single ones vanish by chance where they change sign. */
function smoothed({ neighbours }: Mesh, byElement: Float64Array): Float64Array {
  const out = new Float64Array(byElement.length);
  for (let e = 0; e < out.length; e++) {
    let sum = byElement[e] ** 2;
    let n = 1;
    for (let s = 0; s < 3; s++) {
      const other = neighbours[3 * e + s];
      if (other < 0) continue;
      sum += byElement[other] ** 2;
      n++;
    }
    out[e] = Math.sqrt(sum / n);
  }
  return out;
}

/** 1 for elements that the reading's polynomials are fitted on, or that touch one. */
function nearRead({ elements }: Mesh, read: Uint8Array): Uint8Array {
  const count = elements.length / 6;
  let nodes = read;
  let near = new Uint8Array(count);
  for (let ring = 0; ring < 2; ring++) {
    near = new Uint8Array(count);
    const next = nodes.slice();
    for (let k = 0; k < elements.length; k++) if (nodes[elements[k]]) near[(k / 6) | 0] = 1;
    for (let k = 0; k < elements.length; k++) if (near[(k / 6) | 0]) next[elements[k]] = 1;
    nodes = next;
  }
  return near;
}

/** Elements expected, over those of the mesh at hand. */
function growthOf(factor: Float64Array): number {
  let sum = 0;
  for (const f of factor) sum += 1 / (f * f);
  return sum / factor.length;
}

/** Wanted side at the corner nodes: geometric mean over the elements there of side length × factor. */
function nodalSizes({ xy, elements }: Mesh, factor: Float64Array): Float64Array {
  const nodes = xy.length / 2;
  const logs = new Float64Array(nodes);
  const counts = new Uint16Array(nodes);
  for (let e = 0; e < factor.length; e++) {
    let length = 0;
    for (let k = 0; k < 3; k++) {
      const a = 2 * elements[6 * e + k];
      const b = 2 * elements[6 * e + ((k + 1) % 3)];
      length += Math.hypot(xy[a] - xy[b], xy[a + 1] - xy[b + 1]) / 3;
    }
    const log = Math.log(length * factor[e]);
    for (let k = 0; k < 3; k++) {
      const i = elements[6 * e + k];
      logs[i] += log;
      counts[i]++;
    }
  }
  return logs.map((log, i) => (counts[i] > 0 ? Math.exp(log / counts[i]) : 0));
}
