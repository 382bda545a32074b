import type { Mesh } from "./mesh.ts";

/**
 * Lower bound of the Jacobian determinant of element e over its mean, which is exact in sign: the determinant
 * of a six-node triangle is a quadratic in (ξ, η), so the least of its six Bernstein coefficients bounds it
 * from below (convex hull property). 1 for straight sides with centred mid-side nodes.
 */
export function jacobianRatio({ xy, elements }: Mesh, e: number): number {
  const n0 = 2 * elements[6 * e]!;
  const n1 = 2 * elements[6 * e + 1]!;
  const n2 = 2 * elements[6 * e + 2]!;
  const n3 = 2 * elements[6 * e + 3]!;
  const n4 = 2 * elements[6 * e + 4]!;
  const n5 = 2 * elements[6 * e + 5]!;
  // Bézier control points of the mid-sides: 2 m - (a + b) / 2
  const x0 = xy[n0]!;
  const y0 = xy[n0 + 1]!;
  const x1 = xy[n1]!;
  const y1 = xy[n1 + 1]!;
  const x2 = xy[n2]!;
  const y2 = xy[n2 + 1]!;
  const x3 = 2 * xy[n3]! - (x0 + x1) / 2;
  const y3 = 2 * xy[n3 + 1]! - (y0 + y1) / 2;
  const x4 = 2 * xy[n4]! - (x1 + x2) / 2;
  const y4 = 2 * xy[n4 + 1]! - (y1 + y2) / 2;
  const x5 = 2 * xy[n5]! - (x2 + x0) / 2;
  const y5 = 2 * xy[n5 + 1]! - (y2 + y0) / 2;
  // ∂/∂ξ and ∂/∂η are linear; their control points (times 1/2) at corners 0, 1, 2
  const ux0 = x3 - x0;
  const uy0 = y3 - y0;
  const ux1 = x1 - x3;
  const uy1 = y1 - y3;
  const ux2 = x4 - x5;
  const uy2 = y4 - y5;
  const vx0 = x5 - x0;
  const vy0 = y5 - y0;
  const vx1 = x4 - x3;
  const vy1 = y4 - y3;
  const vx2 = x2 - x5;
  const vy2 = y2 - y5;
  const b0 = ux0 * vy0 - uy0 * vx0;
  const b1 = ux1 * vy1 - uy1 * vx1;
  const b2 = ux2 * vy2 - uy2 * vx2;
  const b3 = (ux0 * vy1 - uy0 * vx1 + ux1 * vy0 - uy1 * vx0) / 2;
  const b4 = (ux1 * vy2 - uy1 * vx2 + ux2 * vy1 - uy2 * vx1) / 2;
  const b5 = (ux2 * vy0 - uy2 * vx0 + ux0 * vy2 - uy0 * vx2) / 2;
  const mean = (b0 + b1 + b2 + b3 + b4 + b5) / 6;
  if (!(mean > 0)) return -Infinity;
  return Math.min(b0, b1, b2, b3, b4, b5) / mean;
}

/** Exact area of element e, mm²: the mean of the determinant's Bernstein coefficients, times one half. */
export function elementArea({ xy, elements }: Mesh, e: number): number {
  // sum over the sides of the area under their parabolas: chord part plus 2/3 of chord × rise
  let area = 0;
  const ox = xy[2 * elements[6 * e]!]!;
  const oy = xy[2 * elements[6 * e]! + 1]!;
  for (let s = 0; s < 3; s++) {
    const a = 2 * elements[6 * e + s]!;
    const b = 2 * elements[6 * e + ((s + 1) % 3)]!;
    const m = 2 * elements[6 * e + 3 + s]!;
    const ax = xy[a]! - ox;
    const ay = xy[a + 1]! - oy;
    const bx = xy[b]! - ox;
    const by = xy[b + 1]! - oy;
    const mx = xy[m]! - ox - (ax + bx) / 2;
    const my = xy[m + 1]! - oy - (ay + by) / 2;
    area += (ax * by - ay * bx) / 2 - (2 / 3) * ((bx - ax) * my - (by - ay) * mx);
  }
  return area;
}
