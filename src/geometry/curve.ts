/**
 * The three curves an outline is made of. Every curve is travelled from `u = 0` to `u = 1` with `u`
 * proportional to arc length, so a caller spaces points evenly without knowing the kind of curve.
 * Lengths are mm, angles radians, counter-clockwise positive.
 */

/** Straight from (x0, y0) to (x1, y1). */
export interface LineCurve {
  readonly kind: "line";
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Circular arc about (cx, cy): the polar angle runs from `start` to `end` (end > start: counter-clockwise). */
export interface ArcCurve {
  readonly kind: "arc";
  readonly cx: number;
  readonly cy: number;
  readonly radius: number;
  readonly start: number;
  readonly end: number;
}

/**
 * Involute of the circle of radius `baseRadius` about (cx, cy). With roll angle t (t = tan of the local
 * pressure angle) the point has distance `baseRadius * sqrt(1 + t²)` from the centre and polar angle
 * `origin + hand * (t - atan t)`. Travelled from roll `start` to roll `end`, both ≥ 0.
 */
export interface InvoluteCurve {
  readonly kind: "involute";
  readonly cx: number;
  readonly cy: number;
  readonly baseRadius: number;
  readonly origin: number;
  readonly hand: 1 | -1;
  readonly start: number;
  readonly end: number;
}

export type Curve = LineCurve | ArcCurve | InvoluteCurve;

/** A pair written by the functions below: `[x, y]`. */
export type Pair = [number, number] | Float64Array;

export function line(x0: number, y0: number, x1: number, y1: number): LineCurve {
  return { kind: "line", x0, y0, x1, y1 };
}

export function arc(cx: number, cy: number, radius: number, start: number, end: number): ArcCurve {
  return { kind: "arc", cx, cy, radius, start, end };
}

export function involute(
  cx: number,
  cy: number,
  baseRadius: number,
  origin: number,
  hand: 1 | -1,
  start: number,
  end: number,
): InvoluteCurve {
  return { kind: "involute", cx, cy, baseRadius, origin, hand, start, end };
}

/** Roll angle of an involute at arc-length fraction u; arc length from the base circle is rb t²/2. */
function rollAt(c: InvoluteCurve, u: number): number {
  const s0 = c.start * c.start;
  return Math.sqrt(Math.max(0, s0 + u * (c.end * c.end - s0)));
}

/** Writes the point at `u` into `out` and returns it, mm. */
export function curvePoint<P extends Pair>(c: Curve, u: number, out: P): P {
  switch (c.kind) {
    case "line":
      // both ends are met exactly, whatever the rounding in between
      out[0] = u === 1 ? c.x1 : c.x0 + u * (c.x1 - c.x0);
      out[1] = u === 1 ? c.y1 : c.y0 + u * (c.y1 - c.y0);
      return out;
    case "arc": {
      const a = u === 1 ? c.end : c.start + u * (c.end - c.start);
      out[0] = c.cx + c.radius * Math.cos(a);
      out[1] = c.cy + c.radius * Math.sin(a);
      return out;
    }
    case "involute": {
      const t = u === 0 ? c.start : u === 1 ? c.end : rollAt(c, u);
      const r = c.baseRadius * Math.sqrt(1 + t * t);
      const a = c.origin + c.hand * (t - Math.atan(t));
      out[0] = c.cx + r * Math.cos(a);
      out[1] = c.cy + r * Math.sin(a);
      return out;
    }
  }
}

/** Writes the unit tangent in the direction of travel at `u` into `out` and returns it. */
export function curveTangent<P extends Pair>(c: Curve, u: number, out: P): P {
  switch (c.kind) {
    case "line": {
      const length = Math.hypot(c.x1 - c.x0, c.y1 - c.y0);
      out[0] = (c.x1 - c.x0) / length;
      out[1] = (c.y1 - c.y0) / length;
      return out;
    }
    case "arc": {
      const a = c.start + u * (c.end - c.start);
      const way = c.end >= c.start ? 1 : -1;
      out[0] = -way * Math.sin(a);
      out[1] = way * Math.cos(a);
      return out;
    }
    case "involute": {
      // dP/dt = rb t (cos, sin) of the angle at which the generating line leaves the base circle
      const a = c.origin + c.hand * rollAt(c, u);
      const way = c.end >= c.start ? 1 : -1;
      out[0] = way * Math.cos(a);
      out[1] = way * Math.sin(a);
      return out;
    }
  }
}

/** Signed curvature at `u`, 1/mm; positive where the curve turns left. Infinite at an involute's base circle. */
export function curveCurvature(c: Curve, u: number): number {
  switch (c.kind) {
    case "line":
      return 0;
    case "arc":
      return (c.end >= c.start ? 1 : -1) / c.radius;
    case "involute":
      return (c.hand * (c.end >= c.start ? 1 : -1)) / (c.baseRadius * rollAt(c, u));
  }
}

/** Arc length, mm. */
export function curveLength(c: Curve): number {
  switch (c.kind) {
    case "line":
      return Math.hypot(c.x1 - c.x0, c.y1 - c.y0);
    case "arc":
      return c.radius * Math.abs(c.end - c.start);
    case "involute":
      return (c.baseRadius * Math.abs(c.end * c.end - c.start * c.start)) / 2;
  }
}

/** Exact ½∫(x dy − y dx) along the curve, mm²; summed round a closed loop it is the enclosed area. */
export function curveArea(c: Curve): number {
  switch (c.kind) {
    case "line":
      return (c.x0 * c.y1 - c.x1 * c.y0) / 2;
    case "arc":
      return (c.radius * c.radius * (c.end - c.start)) / 2 + centreArea(c);
    case "involute": {
      const swept = c.end * c.end * c.end - c.start * c.start * c.start;
      return (c.hand * c.baseRadius * c.baseRadius * swept) / 6 + centreArea(c);
    }
  }
}

/** What a centre away from the origin adds to the swept area: ½ c × (end − start). */
function centreArea(c: ArcCurve | InvoluteCurve): number {
  if (c.cx === 0 && c.cy === 0) return 0;
  const a = curvePoint(c, 0, new Float64Array(2));
  const b = curvePoint(c, 1, new Float64Array(2));
  return (c.cx * (b[1]! - a[1]!) - c.cy * (b[0]! - a[0]!)) / 2;
}

/** The part of `c` between arc-length fractions `from` and `to`; `from > to` travels it backwards. */
export function subCurve(c: Curve, from: number, to: number): Curve {
  switch (c.kind) {
    case "line": {
      const a = curvePoint(c, from, new Float64Array(2));
      const b = curvePoint(c, to, new Float64Array(2));
      return { kind: "line", x0: a[0]!, y0: a[1]!, x1: b[0]!, y1: b[1]! };
    }
    case "arc": {
      const at = (u: number) => (u === 1 ? c.end : c.start + u * (c.end - c.start));
      return { ...c, start: at(from), end: at(to) };
    }
    case "involute": {
      const at = (u: number) => (u === 0 ? c.start : u === 1 ? c.end : rollAt(c, u));
      return { ...c, start: at(from), end: at(to) };
    }
  }
}

/** The same curve travelled the other way. */
export function reverseCurve(c: Curve): Curve {
  if (c.kind === "line") return { kind: "line", x0: c.x1, y0: c.y1, x1: c.x0, y1: c.y0 };
  return { ...c, start: c.end, end: c.start };
}

/** A rigid motion: turn by `angle` about the origin, then shift by (dx, dy). */
export interface Motion {
  readonly angle: number;
  readonly dx: number;
  readonly dy: number;
}

/** Moves a point; writes into `out` and returns it. */
export function movePoint<P extends Pair>(m: Motion, x: number, y: number, out: P): P {
  const c = Math.cos(m.angle);
  const s = Math.sin(m.angle);
  out[0] = c * x - s * y + m.dx;
  out[1] = s * x + c * y + m.dy;
  return out;
}

/** Moves a curve rigidly. */
export function moveCurve(m: Motion, c: Curve): Curve {
  switch (c.kind) {
    case "line": {
      const a = movePoint(m, c.x0, c.y0, new Float64Array(2));
      const b = movePoint(m, c.x1, c.y1, new Float64Array(2));
      return { kind: "line", x0: a[0]!, y0: a[1]!, x1: b[0]!, y1: b[1]! };
    }
    case "arc": {
      const p = movePoint(m, c.cx, c.cy, new Float64Array(2));
      return { ...c, cx: p[0]!, cy: p[1]!, start: c.start + m.angle, end: c.end + m.angle };
    }
    case "involute": {
      const p = movePoint(m, c.cx, c.cy, new Float64Array(2));
      return { ...c, cx: p[0]!, cy: p[1]!, origin: c.origin + m.angle };
    }
  }
}

/** Mirror image in the x axis (y → −y), still travelled from the image of the start to that of the end. */
export function mirrorCurve(c: Curve): Curve {
  switch (c.kind) {
    case "line":
      return { kind: "line", x0: c.x0, y0: -c.y0, x1: c.x1, y1: -c.y1 };
    case "arc":
      return { ...c, cy: -c.cy, start: -c.start, end: -c.end };
    case "involute":
      return { ...c, cy: -c.cy, origin: -c.origin, hand: c.hand === 1 ? -1 : 1 };
  }
}
