import { extent, type Polyline } from "./bands.ts";
import { clearance, type FlatOutline, isInside } from "./flatOutline.ts";
import { lineAt, textAt } from "./svg.ts";
import { textWidth } from "./textWidth.ts";

/** A disc of the sheet that is taken. */
export interface Disc {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

export interface LabelJob {
  readonly text: string;
  readonly contours: readonly Polyline[];
}

const SIZE = 9.5;
const HALF_HEIGHT = SIZE * 0.6;
/** A contour smaller than this across, sheet units, is not worth a name at this magnification. */
const LEAST_EXTENT = 14;

/**
 * Lettering for contour lines. Each label lies along its own line where that is straight and clear enough of
 * the outline and of everything in `taken`; failing that it stands beside the line on a short leader; a line
 * with no room at all stays without. `allowed` says whether lettering may cover a point.
 * Labels placed are added to `taken`.
 */
export function contourLabels(
  jobs: readonly LabelJob[],
  outline: FlatOutline,
  taken: Disc[],
  allowed: (x: number, y: number) => boolean,
): string {
  let svg = "";
  for (const { text, contours: all } of jobs) {
    const contours = all.filter((contour) => extent(contour.points) >= LEAST_EXTENT);
    const half = textWidth(text, SIZE) / 2;
    const along = bestAlong(contours, half, outline, taken, allowed);
    if (along) {
      svg += textAt(along.x - along.sin * -SIZE * 0.34, along.y + along.cos * SIZE * 0.34, text, {
        size: SIZE,
        anchor: "middle",
        halo: true,
        turn: (Math.atan2(along.sin, along.cos) * 180) / Math.PI,
      });
      taken.push(...discs(along.x, along.y, along.cos, along.sin, half));
      continue;
    }
    const beside = bestBeside(contours, half, outline, taken, allowed);
    if (beside) {
      svg += lineAt(beside.fromX, beside.fromY, beside.edgeX, beside.edgeY, 1.8, "#fff");
      svg += lineAt(beside.fromX, beside.fromY, beside.edgeX, beside.edgeY, 0.6);
      svg += textAt(beside.x, beside.y + SIZE * 0.34, text, { size: SIZE, anchor: "middle", halo: true });
      taken.push(...discs(beside.x, beside.y, 1, 0, half));
    }
  }
  return svg;
}

/** Discs that cover a label of half length `half` lying in direction (cos, sin). */
function discs(x: number, y: number, cos: number, sin: number, half: number): Disc[] {
  const count = Math.max(2, Math.ceil(half / HALF_HEIGHT) + 1);
  return Array.from({ length: count }, (_, k) => {
    const s = -half + (2 * half * k) / (count - 1);
    return { x: x + s * cos, y: y + s * sin, radius: HALF_HEIGHT };
  });
}

function isFree(
  cover: readonly Disc[],
  outline: FlatOutline,
  taken: readonly Disc[],
  allowed: (x: number, y: number) => boolean,
): number {
  let least = Infinity;
  for (const d of cover) {
    if (!allowed(d.x, d.y) || !isInside(outline, d.x, d.y)) return -1;
    for (const t of taken) if (Math.hypot(t.x - d.x, t.y - d.y) < t.radius + d.radius + 3) return -1;
    least = Math.min(least, clearance(outline, d.x, d.y));
  }
  return least > HALF_HEIGHT + 2 ? least : -1;
}

interface Along {
  readonly x: number;
  readonly y: number;
  readonly cos: number;
  readonly sin: number;
}

function bestAlong(
  contours: readonly Polyline[],
  half: number,
  outline: FlatOutline,
  taken: readonly Disc[],
  allowed: (x: number, y: number) => boolean,
): Along | null {
  let best: Along | null = null;
  let bestScore = 0;
  for (const contour of contours) {
    const walk = evenly(contour, 3);
    const reach = Math.ceil((half + 4) / 3);
    for (let k = reach; k < walk.length / 2 - reach; k += 2) {
      const ax = walk[2 * (k - reach)]!;
      const ay = walk[2 * (k - reach) + 1]!;
      const bx = walk[2 * (k + reach)]!;
      const by = walk[2 * (k + reach) + 1]!;
      const chord = Math.hypot(bx - ax, by - ay);
      if (chord < 5.4 * reach) continue; // of 6 × reach along the line: not straight enough
      const flip = bx < ax ? -1 : 1;
      const cos = (flip * (bx - ax)) / chord;
      const sin = (flip * (by - ay)) / chord;
      const x = walk[2 * k]!;
      const y = walk[2 * k + 1]!;
      const off = Math.abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / chord;
      if (off > 5) continue;
      const free = isFree(discs(x, y, cos, sin, half), outline, taken, allowed);
      if (free < 0) continue;
      const score = Math.min(free, 25) + 10 * cos - 2 * off + 30;
      if (score > bestScore) {
        bestScore = score;
        best = { x, y, cos, sin };
      }
    }
  }
  return best;
}

interface Beside {
  readonly x: number;
  readonly y: number;
  readonly fromX: number;
  readonly fromY: number;
  readonly edgeX: number;
  readonly edgeY: number;
}

function bestBeside(
  contours: readonly Polyline[],
  half: number,
  outline: FlatOutline,
  taken: readonly Disc[],
  allowed: (x: number, y: number) => boolean,
): Beside | null {
  for (const distance of [26, 38, 54, 74, 100]) {
    let best: Beside | null = null;
    let bestFree = 0;
    for (const contour of contours) {
      const walk = evenly(contour, 6);
      const stride = 2 * Math.max(1, Math.floor(walk.length / 2 / 12));
      for (let k = 0; k < walk.length; k += stride) {
        const fromX = walk[k]!;
        const fromY = walk[k + 1]!;
        if (!allowed(fromX, fromY)) continue;
        for (let turn = 0; turn < 16; turn++) {
          const dx = Math.cos((turn * Math.PI) / 8);
          const dy = Math.sin((turn * Math.PI) / 8);
          const x = fromX + dx * (distance + half * Math.abs(dx));
          const y = fromY + dy * distance;
          const free = isFree(discs(x, y, 1, 0, half), outline, taken, allowed);
          if (free <= bestFree) continue;
          bestFree = free;
          const edgeX = x - Math.sign(dx) * Math.min(half + 3, Math.abs(x - fromX));
          const edgeY = Math.abs(dx) > 0.3 ? y : y - Math.sign(dy) * (HALF_HEIGHT + 1);
          best = { x, y, fromX, fromY, edgeX, edgeY };
        }
      }
    }
    if (best) return best;
  }
  return null;
}

/** Points `step` apart along a polyline, flat. */
function evenly({ points, closed }: Polyline, step: number): number[] {
  const out: number[] = [points[0]!, points[1]!];
  let left = step;
  const n = points.length;
  const end = closed ? n : n - 2;
  for (let k = 0; k < end; k += 2) {
    const ax = points[k]!;
    const ay = points[k + 1]!;
    const bx = points[(k + 2) % n]!;
    const by = points[(k + 3) % n]!;
    const length = Math.hypot(bx - ax, by - ay);
    let s = left;
    for (; s <= length; s += step) {
      out.push(ax + ((bx - ax) * s) / length, ay + ((by - ay) * s) / length);
    }
    left = s - length;
  }
  return out;
}
