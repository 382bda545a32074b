import { type Curve, curvePoint, type Edge, type InvoluteCurve, type Outline } from "../geometry/index.ts";
import { sheetX, sheetY, type View } from "./view.ts";

/** Largest distance between an involute and the curve drawn for it, mm on the part. */
export const INVOLUTE_TOLERANCE = 2e-4;

/** Closed SVG path of all loops: lines as L, circular arcs as A, involutes as cubic C. */
export function outlinePath(outline: Outline, view: View): string {
  return outline.loops.map((loop) => `${edgesPath(loop, view)}Z`).join("");
}

/** Open SVG path along consecutive edges. */
export function edgesPath(edges: readonly Edge[], view: View): string {
  const first = edges[0];
  if (!first) return "";
  const [x, y] = curvePoint(first.curve, 0, [0, 0]);
  return `M${at(view, x, y)}${edges.map((edge) => curveCommand(edge.curve, view)).join("")}`;
}

/** The drawing command from the curve's start (already reached) to its end. */
export function curveCommand(curve: Curve, view: View): string {
  switch (curve.kind) {
    case "line":
      return `L${at(view, curve.x1, curve.y1)}`;
    case "arc": {
      // each piece stays under half a turn, so that the large-arc flag is always 0
      const pieces = Math.max(1, Math.ceil(Math.abs(curve.end - curve.start) / 3));
      const r = decimals(curve.radius * view.scale);
      // the sheet's y runs down: counter-clockwise in the model is sweep 0
      const sweep = curve.end > curve.start ? 0 : 1;
      let text = "";
      for (let k = 1; k <= pieces; k++) {
        const [x, y] = curvePoint(curve, k / pieces, [0, 0]);
        text += `A${r} ${r} 0 0 ${sweep} ${at(view, x, y)}`;
      }
      return text;
    }
    case "involute":
      return involuteCubics(curve)
        .map((c) => `C${at(view, c[2]!, c[3]!)} ${at(view, c[4]!, c[5]!)} ${at(view, c[6]!, c[7]!)}`)
        .join("");
  }
}

/**
 * Cubic Bézier pieces `[x0, y0, … x3, y3]` (mm) for an involute, each within `INVOLUTE_TOLERANCE` of it.
 * Pieces are equal in roll angle t, with the exact end points and end derivatives dP/dt = rb t (cos, sin).
 */
export function involuteCubics(c: InvoluteCurve): number[][] {
  for (let pieces = 1; ; pieces *= 2) {
    const cubics = Array.from({ length: pieces }, (_, k) =>
      hermite(
        c,
        c.start + ((c.end - c.start) * k) / pieces,
        c.start + ((c.end - c.start) * (k + 1)) / pieces,
      ),
    );
    if (pieces >= 64 || cubics.every((cubic, k) => deviation(c, cubic, k, pieces) <= INVOLUTE_TOLERANCE)) {
      return cubics;
    }
  }
}

function hermite(c: InvoluteCurve, t0: number, t1: number): number[] {
  const [x0, y0, dx0, dy0] = atRoll(c, t0);
  const [x3, y3, dx3, dy3] = atRoll(c, t1);
  const h = (t1 - t0) / 3;
  return [x0, y0, x0 + h * dx0, y0 + h * dy0, x3 - h * dx3, y3 - h * dy3, x3, y3];
}

/** Point and derivative at roll angle t. */
function atRoll(c: InvoluteCurve, t: number): [number, number, number, number] {
  const r = c.baseRadius * Math.sqrt(1 + t * t);
  const a = c.origin + c.hand * (t - Math.atan(t));
  const g = c.origin + c.hand * t;
  const d = c.baseRadius * t;
  return [c.cx + r * Math.cos(a), c.cy + r * Math.sin(a), d * Math.cos(g), d * Math.sin(g)];
}

/** Largest distance between points of equal parameter: not less than the distance between the curves. */
function deviation(c: InvoluteCurve, cubic: number[], k: number, pieces: number): number {
  let worst = 0;
  for (let q = 1; q < 8; q++) {
    const u = q / 8;
    const v = 1 - u;
    const [x, y] = atRoll(c, c.start + ((c.end - c.start) * (k + u)) / pieces);
    const b0 = v * v * v;
    const b1 = 3 * v * v * u;
    const b2 = 3 * v * u * u;
    const b3 = u * u * u;
    const bx = b0 * cubic[0]! + b1 * cubic[2]! + b2 * cubic[4]! + b3 * cubic[6]!;
    const by = b0 * cubic[1]! + b1 * cubic[3]! + b2 * cubic[5]! + b3 * cubic[7]!;
    worst = Math.max(worst, Math.hypot(bx - x, by - y));
  }
  return worst;
}

function at(view: View, x: number, y: number): string {
  return `${decimals(sheetX(view, x, y))} ${decimals(sheetY(view, x, y))}`;
}

/** Fixed to a thousandth of a sheet unit, trailing zeros dropped; never "-0". */
function decimals(value: number): string {
  const n = Math.round(value * 1000) / 1000;
  return String(n === 0 ? 0 : n);
}
