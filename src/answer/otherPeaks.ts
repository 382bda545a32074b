import type { Mesh } from "../mesh/index.ts";
import { firstPrincipal, type Material, type NodalStress, vonMises } from "../solver/index.ts";
import {
  type BoundarySpot,
  createSideFrame,
  middleNode,
  readSideFrame,
  sideLength,
  sideShares,
  sideStress,
  spotPlace,
  tangentStress,
} from "./boundaryPeaks.ts";
import type { PeakReading, Reading } from "./reading.ts";

/** What is highest on an element's side, and where that is, mm. */
export interface SidePeak extends PeakReading {
  readonly x: number;
  readonly y: number;
  /** Of the side, mm. */
  readonly length: number;
}

/** The peaks along all rounded roots of a model, for what is told of them together; none where a sharp one is among them. */
export interface RootPeaks {
  /** First principals within reach of the governing one, a side each, and away from it. */
  readonly pulled: readonly SidePeak[];
  /** Von Mises stresses within reach of the highest, pulled or pushed, a side each, and away from the governing reading. */
  readonly pressed: readonly SidePeak[];
  /** The highest von Mises stress of any root, as it is told, MPa. */
  readonly highestVonMises: number;
}

export const NO_PEAKS: RootPeaks = { pulled: [], pressed: [], highestVonMises: 0 };

/** A peak beside the governing reading that may make a number told too low. */
export interface Rival {
  readonly reading: PeakReading;
  /** The number told, MPa. */
  readonly told: number;
}

/** A peak that falls short of the number told by more than this share does not reach it on a finer mesh. */
const IN_REACH = 0.95;
/** Of the sides beside the end of a contact, how many are no rivals. */
const BESIDE_END = 4;
/** And a stress differs by less than this share of it from that in the middle of its side. */
const BETWEEN_NODES = 0.35;
/** Places looked at along a side. */
const PLACES = [0, 0.25, 0.5, 0.75, 1];

/**
 * What comes near the numbers told along the sides that `wanted` accepts, away from where the governing stress was read: `reach` round it the
 * mesh is made for that; and away from `ends` of contacts, where the stress jumps, the recovered one swings about it on any mesh, and no
 * bound means anything.
 */
export function rootPeaks(
  mesh: Mesh,
  stress: NodalStress,
  material: Material,
  told: { readonly principal: number; readonly highestVonMises: number },
  { x, y, reach }: { readonly x: number; readonly y: number; readonly reach: number },
  ends: readonly (readonly [number, number])[],
  wanted: (side: number, x: number, y: number) => boolean,
): RootPeaks {
  const { xy, sideElement } = mesh;
  const frame = createSideFrame();
  const local = new Float64Array(9);
  const n = new Float64Array(3);
  const pulled: SidePeak[] = [];
  const pressed: SidePeak[] = [];
  const add = (to: SidePeak[], kind: PeakReading["kind"], value: number, spot: BoundarySpot) => {
    const [px, py] = spotPlace(mesh, spot);
    const length = sideLength(mesh, spot.side);
    if (ends.some(([ex, ey]) => Math.hypot(ex - px, ey - py) < BESIDE_END * length)) return;
    if (wanted(spot.side, px, py)) to.push({ kind, value, scale: value, ...spot, x: px, y: py, length });
  };
  // most sides are out of reach, whatever the direction of what is in their middle
  const least = (IN_REACH - BETWEEN_NODES) * Math.min(told.principal, told.highestVonMises);
  for (let side = 0; side < sideElement.length; side++) {
    const node = 3 * middleNode(mesh, side);
    if (Math.abs(stress[node]) + Math.abs(stress[node + 1]) + 2 * Math.abs(stress[node + 2]) < least)
      continue;
    const middle = 2 * middleNode(mesh, side);
    const [mx, my] = [xy[middle], xy[middle + 1]];
    if (Math.hypot(mx - x, my - y) < reach || !wanted(side, mx, my)) continue;
    readSideFrame(mesh, side, frame);
    tangentStress(stress, frame, local);
    let p = 0;
    let pt = 0;
    let v = 0;
    let vt = 0;
    for (const t of PLACES) {
      sideShares(t, n);
      const along = sideStress(local, n, 0);
      const across = sideStress(local, n, 1);
      const shear = sideStress(local, n, 2);
      const principal = firstPrincipal(along, across, shear);
      const equivalent = vonMises(along, across, shear, material);
      if (principal > p) [p, pt] = [principal, t];
      if (equivalent > v) [v, vt] = [equivalent, t];
    }
    if (p > IN_REACH * told.principal) add(pulled, "peak", p, { side, t: pt });
    if (v > IN_REACH * told.highestVonMises) add(pressed, "pressed", v, { side, t: vt });
  }
  return { pulled, pressed, highestVonMises: told.highestVonMises };
}

/** Sides within this many of each other are one hump. */
const ONE_HUMP = 2.5;

/** Whether a side is the highest round it: beside a hump the bound may be large, and yet nothing there outdoes it. */
const isHump = ({ x, y, value, length, side }: SidePeak, peaks: readonly SidePeak[]): boolean =>
  !peaks.some(
    (other) =>
      (other.value > value || (other.value === value && other.side < side)) &&
      Math.hypot(other.x - x, other.y - y) < ONE_HUMP * length,
  );

/**
 * Peaks that the accuracy of what is told hangs on besides the governing reading: that which may yet outdo it, and the highest von Mises
 * stress of any root, which is often that of a pushed one. Meshes are made for the governing reading alone, and what is told elsewhere
 * may be off by far more. @param bound what recovery may miss of a peak, MPa.
 */
export function rivals(
  reading: Reading,
  { pulled, pressed, highestVonMises }: RootPeaks,
  bound: (peak: PeakReading) => number,
): Rival[] {
  const highest = (peaks: readonly SidePeak[]): SidePeak | null => {
    let found: SidePeak | null = null;
    let most = 0;
    for (const peak of peaks.filter((one) => isHump(one, peaks))) {
      const reach = peak.value + bound(peak);
      if (reach <= most) continue;
      most = reach;
      found = peak;
    }
    return found;
  };
  const rival = reading.kind === "peak" ? highest(pulled) : null;
  const pushed = highest(pressed);
  const found: Rival[] = [];
  if (rival) found.push({ reading: rival, told: reading.value });
  // a free surface knows one stress only: where that is pulled it is the rival again
  if (pushed && pushed.side !== rival?.side) found.push({ reading: pushed, told: highestVonMises });
  return found;
}
