import { curvePoint, type Outline } from "../geometry/index.ts";
import { sheetX, sheetY, type View } from "./view.ts";

/** An outline as short straight pieces on the sheet, for keeping lettering clear of it. */
export interface FlatOutline {
  /** `[x0, y0, x1, y1]` per piece. */
  readonly pieces: Float64Array;
  readonly box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
}

/** Sheet pieces of every edge: lines whole, curves in 24. */
export function flatOutline(outline: Outline, view: View): FlatOutline {
  const pieces: number[] = [];
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  const p: [number, number] = [0, 0];
  for (const loop of outline.loops) {
    for (const { curve } of loop) {
      const steps = curve.kind === "line" ? 1 : 24;
      let ax = 0;
      let ay = 0;
      for (let k = 0; k <= steps; k++) {
        curvePoint(curve, k / steps, p);
        const x = sheetX(view, p[0], p[1]);
        const y = sheetY(view, p[0], p[1]);
        if (k > 0) pieces.push(ax, ay, x, y);
        ax = x;
        ay = y;
        x0 = Math.min(x0, x);
        x1 = Math.max(x1, x);
        y0 = Math.min(y0, y);
        y1 = Math.max(y1, y);
      }
    }
  }
  return { pieces: Float64Array.from(pieces), box: { x0, y0, x1, y1 } };
}

/** Distance from (x, y) to the nearest piece. */
export function clearance({ pieces }: FlatOutline, x: number, y: number): number {
  let best = Infinity;
  for (let k = 0; k < pieces.length; k += 4) {
    const ax = pieces[k]!;
    const ay = pieces[k + 1]!;
    const bx = pieces[k + 2]! - ax;
    const by = pieces[k + 3]! - ay;
    const u = ((x - ax) * bx + (y - ay) * by) / (bx * bx + by * by || 1);
    const c = Math.min(1, Math.max(0, u));
    const d = (x - ax - c * bx) ** 2 + (y - ay - c * by) ** 2;
    if (d < best) best = d;
  }
  return Math.sqrt(best);
}

/** Whether (x, y) lies in the material (even-odd rule). */
export function isInside({ pieces }: FlatOutline, x: number, y: number): boolean {
  let inside = false;
  for (let k = 0; k < pieces.length; k += 4) {
    const ay = pieces[k + 1]!;
    const by = pieces[k + 3]!;
    if (ay > y === by > y) continue;
    const ax = pieces[k]!;
    if (x < ax + ((y - ay) / (by - ay)) * (pieces[k + 2]! - ax)) inside = !inside;
  }
  return inside;
}
