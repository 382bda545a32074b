import type { Mesh } from "../mesh/index.ts";
import { firstPrincipal, type Material, type NodalStress, vonMises } from "../solver/index.ts";
import type { PlacedStress } from "./result.ts";

/** Largest values found along a set of boundary sides. */
export interface Peaks {
  readonly principal: PlacedStress;
  readonly vonMises: PlacedStress;
  /** Where each is along the boundary. */
  readonly principalSpot: BoundarySpot;
  readonly vonMisesSpot: BoundarySpot;
}

/** A boundary side, and a place along it, 0 … 1 in the side's own parameter. */
export interface BoundarySpot {
  readonly side: number;
  readonly t: number;
}

/** Points looked at along each boundary side; the field is quadratic there, so its maximum is met to about 1e-3 of its rise. */
const POINTS_PER_SIDE = 16;

/** A boundary side as its three nodes see it: start, end, mid-side. */
export interface SideFrame {
  readonly nodes: Uint32Array;
  /** Angle of the boundary's tangent at each node, rad. */
  readonly angle: Float64Array;
}

export function createSideFrame(): SideFrame {
  return { nodes: new Uint32Array(3), angle: new Float64Array(3) };
}

/** Node in the middle of boundary side `b`. */
export const middleNode = ({ elements, sideElement, sideLocal }: Mesh, b: number): number =>
  elements[6 * sideElement[b] + 3 + sideLocal[b]];

/** Reads boundary side b of a mesh into `frame`. */
export function readSideFrame(
  { xy, elements, sideElement, sideLocal }: Mesh,
  b: number,
  frame: SideFrame,
): void {
  const e = 6 * sideElement[b];
  const s = sideLocal[b];
  const { nodes, angle } = frame;
  nodes[0] = elements[e + s];
  nodes[1] = elements[e + ((s + 1) % 3)];
  nodes[2] = elements[e + 3 + s];
  const ax = xy[2 * nodes[0]];
  const ay = xy[2 * nodes[0] + 1];
  const bx = xy[2 * nodes[1]];
  const by = xy[2 * nodes[1] + 1];
  const mx = xy[2 * nodes[2]];
  const my = xy[2 * nodes[2] + 1];
  // slopes of the side's parabola at its ends and middle
  angle[0] = Math.atan2(4 * my - 3 * ay - by, 4 * mx - 3 * ax - bx);
  angle[1] = Math.atan2(3 * by + ay - 4 * my, 3 * bx + ax - 4 * mx);
  angle[2] = Math.atan2(by - ay, bx - ax);
}

/** Places in `xy` of a side's start, end and middle. */
export function sideNodes(
  { elements, sideElement, sideLocal }: Mesh,
  side: number,
): [number, number, number] {
  const e = 6 * sideElement[side];
  const s = sideLocal[side];
  return [2 * elements[e + s], 2 * elements[e + ((s + 1) % 3)], 2 * elements[e + 3 + s]];
}

/** Chord of a boundary side, mm. */
export function sideLength(mesh: Mesh, side: number): number {
  const { xy } = mesh;
  const [i, j] = sideNodes(mesh, side);
  return Math.hypot(xy[j] - xy[i], xy[j + 1] - xy[i + 1]);
}

/** Place of a spot of the boundary, mm. */
export function spotPlace(mesh: Mesh, { side, t }: BoundarySpot): [number, number] {
  const { xy } = mesh;
  const [i0, i1, im] = sideNodes(mesh, side);
  const n = new Float64Array(3);
  sideShares(t, n);
  return [
    n[0] * xy[i0] + n[1] * xy[i1] + n[2] * xy[im],
    n[0] * xy[i0 + 1] + n[1] * xy[i1 + 1] + n[2] * xy[im + 1],
  ];
}

/** Unit normal into the material at a spot of the boundary: the material lies on the left of the direction of travel. */
export function inwardNormal(mesh: Mesh, { side, t }: BoundarySpot): [number, number] {
  const { xy } = mesh;
  const [i0, i1, im] = sideNodes(mesh, side);
  // slope of the side's parabola
  const d0 = 4 * t - 3;
  const d1 = 4 * t - 1;
  const dm = 4 - 8 * t;
  const tx = d0 * xy[i0] + d1 * xy[i1] + dm * xy[im];
  const ty = d0 * xy[i0 + 1] + d1 * xy[i1 + 1] + dm * xy[im + 1];
  const length = Math.hypot(tx, ty);
  return [-ty / length, tx / length];
}

/** Shape functions of a side's start, end and middle at t. */
export function sideShares(t: number, out: Float64Array): void {
  out[0] = (1 - t) * (1 - 2 * t);
  out[1] = t * (2 * t - 1);
  out[2] = 4 * t * (1 - t);
}

/**
 * Components along the tangent, across it, and shear, of the nodal stress at the three nodes of a side, each in its own node's
 * frame, into `out[3 k …]`.
 */
export function tangentStress(stress: NodalStress, { nodes, angle }: SideFrame, out: Float64Array): void {
  for (let k = 0; k < 3; k++) {
    const i = 3 * nodes[k];
    const c = Math.cos(angle[k]);
    const s = Math.sin(angle[k]);
    const xx = stress[i];
    const yy = stress[i + 1];
    const xy = stress[i + 2];
    out[3 * k] = c * c * xx + s * s * yy + 2 * c * s * xy;
    out[3 * k + 1] = s * s * xx + c * c * yy - 2 * c * s * xy;
    out[3 * k + 2] = c * s * (yy - xx) + (c * c - s * s) * xy;
  }
}

/** A component of `tangentStress` (0 along, 1 across, 2 shear) at the shares n of a side, as `sideShares` gives them. */
export const sideStress = (local: Float64Array, n: Float64Array, component: 0 | 1 | 2): number =>
  n[0] * local[component] + n[1] * local[3 + component] + n[2] * local[6 + component];

/**
 * Largest first principal and von Mises stress along the boundary sides that `wanted` accepts, MPa and mm.
 * Between the three nodes of a side the components are interpolated quadratically, so a peak between nodes is not missed; they
 * are those along and across the surface, which change slowly round a fillet where x and y components swing. Where places are left out,
 * `clear` is asked at each, so that the edge of what counts does not move with the mesh. Returns null when nothing is accepted.
 */
export function boundaryPeaks(
  mesh: Mesh,
  stress: NodalStress,
  material: Material,
  wanted: (side: number, x: number, y: number) => boolean,
  clear: ((x: number, y: number) => boolean) | null = null,
): Peaks | null {
  const { xy, sideElement } = mesh;
  const frame = createSideFrame();
  const local = new Float64Array(9);
  const n = new Float64Array(3);
  const { nodes } = frame;
  let p = -Infinity;
  let px = 0;
  let py = 0;
  let v = -Infinity;
  let vx = 0;
  let vy = 0;
  let side = -1;
  let place = 0;
  let vSide = -1;
  let vPlace = 0;
  for (let b = 0; b < sideElement.length; b++) {
    const middle = 2 * middleNode(mesh, b);
    if (!wanted(b, xy[middle], xy[middle + 1])) continue;
    readSideFrame(mesh, b, frame);
    tangentStress(stress, frame, local);
    for (let k = 0; k <= POINTS_PER_SIDE; k++) {
      const t = k / POINTS_PER_SIDE;
      sideShares(t, n);
      const along = sideStress(local, n, 0);
      const across = sideStress(local, n, 1);
      const shear = sideStress(local, n, 2);
      const principal = firstPrincipal(along, across, shear);
      const equivalent = vonMises(along, across, shear, material);
      if (principal > p || equivalent > v) {
        const x = n[0] * xy[2 * nodes[0]] + n[1] * xy[2 * nodes[1]] + n[2] * xy[2 * nodes[2]];
        const y = n[0] * xy[2 * nodes[0] + 1] + n[1] * xy[2 * nodes[1] + 1] + n[2] * xy[2 * nodes[2] + 1];
        if (clear && !clear(x, y)) continue;
        if (principal > p) {
          p = principal;
          px = x;
          py = y;
          side = b;
          place = t;
        }
        if (equivalent > v) {
          v = equivalent;
          vx = x;
          vy = y;
          vSide = b;
          vPlace = t;
        }
      }
    }
  }
  if (side < 0) return null;
  return {
    principal: { stress: p, x: px, y: py },
    vonMises: { stress: v, x: vx, y: vy },
    principalSpot: { side, t: place },
    vonMisesSpot: { side: vSide, t: vPlace },
  };
}
