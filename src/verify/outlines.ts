import { arc, type Curve, type Edge, line, type Outline } from "../geometry/index.ts";

/** One stretch of a loop: where it ends, what it is called, and the centre when it is an arc. */
export type Stretch =
  | readonly [name: string, x: number, y: number]
  | readonly [name: string, x: number, y: number, cx: number, cy: number, way: 1 | -1];

/**
 * A closed loop from a start point through stretches: straight, or an arc about (cx, cy) travelled counter-clockwise
 * (way 1) or clockwise (way −1). The last must end at the start.
 */
export function loop(x0: number, y0: number, stretches: readonly Stretch[]): Edge[] {
  let x = x0;
  let y = y0;
  return stretches.map((s) => {
    const [name, ex, ey, cx, cy, way] = s;
    let curve: Curve;
    if (cx === undefined || cy === undefined) {
      curve = line(x, y, ex, ey);
    } else {
      const start = Math.atan2(y - cy, x - cx);
      let end = Math.atan2(ey - cy, ex - cx);
      while (way === 1 && end <= start + 1e-12) end += 2 * Math.PI;
      while (way === -1 && end >= start - 1e-12) end -= 2 * Math.PI;
      curve = arc(cx, cy, Math.hypot(x - cx, y - cy), start, end);
    }
    x = ex;
    y = ey;
    return { name, zone: name, curve };
  });
}

/** Sector of a ring between polar angles `from` and `to`: edges inner, start, outer, end (the straight ones by angle). */
export function ringSector(ri: number, ro: number, from: number, to: number): Outline {
  const at = (r: number, a: number): [number, number] => [r * Math.cos(a), r * Math.sin(a)];
  const edge = (name: string, curve: Curve): Edge => ({ name, zone: name, curve });
  return {
    loops: [
      [
        edge("start", line(...at(ri, from), ...at(ro, from))),
        edge("outer", arc(0, 0, ro, from, to)),
        edge("end", line(...at(ro, to), ...at(ri, to))),
        edge("inner", arc(0, 0, ri, to, from)),
      ],
    ],
  };
}

/**
 * Quarter of an ellipse (semi-axes a along x, b along y) from (a, 0) to (0, b) as circular arcs that meet without a kink:
 * between two points with given tangents two arcs fit. Steps are such that neither the tangent turns by more than `turn` nor
 * the curvature changes by more than the share `change` within one pair; with the defaults the arcs stay within 1e-6 of the
 * longer semi-axis of the ellipse.
 */
export function ellipseQuarter(a: number, b: number, name: string, turn = 0.08, change = 0.08): Edge[] {
  // eccentric angles of the pairs' ends
  const t: number[] = [0];
  const curvature = (s: number): number =>
    (a * b) / (a * a * Math.sin(s) ** 2 + b * b * Math.cos(s) ** 2) ** 1.5;
  const tangent = (s: number): number => Math.PI / 2 + Math.atan2(a * Math.sin(s), b * Math.cos(s));
  while (t[t.length - 1]! < Math.PI / 2) {
    const from = t[t.length - 1]!;
    let step = turn;
    while (
      Math.abs(tangent(from + step) - tangent(from)) > turn ||
      Math.abs(Math.log(curvature(from + step) / curvature(from))) > change
    ) {
      step *= 0.9;
    }
    t.push(from + step);
  }
  // stretched so that the last pair ends on the axis
  const scale = Math.PI / 2 / t[t.length - 1]!;
  const edges: Edge[] = [];
  const point = (k: number): [number, number] =>
    k === 0
      ? [a, 0]
      : k === t.length - 1
        ? [0, b]
        : [a * Math.cos(t[k]! * scale), b * Math.sin(t[k]! * scale)];
  for (let k = 0; k + 1 < t.length; k++) {
    const [first, second] = arcPair(
      point(k),
      tangent(t[k]! * scale),
      point(k + 1),
      k + 2 === t.length ? Math.PI : tangent(t[k + 1]! * scale),
    );
    edges.push({ name: `${name}${2 * k}`, zone: name, curve: first });
    edges.push({ name: `${name}${2 * k + 1}`, zone: name, curve: second });
  }
  return edges;
}

/** Two arcs from p (tangent at angle α) to q (tangent at angle β), meeting smoothly; left-turning. */
function arcPair(
  [px, py]: readonly [number, number],
  alpha: number,
  [qx, qy]: readonly [number, number],
  beta: number,
): [Curve, Curve] {
  // arms of equal length d: the joint is the middle of the points p + d T0 and q − d T1
  const vx = qx - px;
  const vy = qy - py;
  const tx = Math.cos(alpha) + Math.cos(beta);
  const ty = Math.sin(alpha) + Math.sin(beta);
  const vt = vx * tx + vy * ty;
  const vv = vx * vx + vy * vy;
  const den = 2 * (1 - Math.cos(beta - alpha));
  const d = vv / (vt + Math.sqrt(vt * vt + den * vv));
  const jx = (px + d * Math.cos(alpha) + qx - d * Math.cos(beta)) / 2;
  const jy = (py + d * Math.sin(alpha) + qy - d * Math.sin(beta)) / 2;
  return [arcFrom(px, py, alpha, jx, jy), reversedArc(arcFrom(qx, qy, beta + Math.PI, jx, jy))];
}

/** Arc from (x, y) with tangent angle α to (ex, ey). */
function arcFrom(x: number, y: number, alpha: number, ex: number, ey: number): Curve {
  const dx = ex - x;
  const dy = ey - y;
  const nx = -Math.sin(alpha);
  const ny = Math.cos(alpha);
  // signed radius along the left normal
  const r = (dx * dx + dy * dy) / (2 * (dx * nx + dy * ny));
  const cx = x + r * nx;
  const cy = y + r * ny;
  const start = Math.atan2(y - cy, x - cx);
  const turn = 2 * Math.asin(Math.hypot(dx, dy) / (2 * Math.abs(r)));
  return arc(cx, cy, Math.abs(r), start, start + Math.sign(r) * turn);
}

function reversedArc(c: Curve): Curve {
  return c.kind === "arc" ? { ...c, start: c.end, end: c.start } : c;
}
