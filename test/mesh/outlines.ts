import { arc, type Curve, curvePoint, type Edge, line, type Outline } from "../../src/geometry/index.ts";

/** Outlines that the mesh tests share; all lengths mm. */

export const edge = (name: string, curve: Curve, zone = "side"): Edge => ({ name, zone, curve });

/** Straight-sided loop through points, named a0, a1, … */
export function polygon(points: readonly (readonly [number, number])[], prefix = "a"): Edge[] {
  return points.map(([x, y], k) => {
    const [u, v] = points[(k + 1) % points.length]!;
    return edge(`${prefix}${k}`, line(x, y, u, v));
  });
}

export const square: Outline = {
  loops: [
    polygon([
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
    ]),
  ],
};

export const disc: Outline = { loops: [[edge("circle", arc(0, 0, 1, 0, 2 * Math.PI))]] };

export const annulus: Outline = {
  loops: [[edge("outer", arc(0, 0, 2, 0, 2 * Math.PI))], [edge("inner", arc(0, 0, 1, 2 * Math.PI, 0))]],
};

/** Square of side 10 with a hole of the given radius in its middle. */
export const plateWithHole = (radius: number): Outline => ({
  loops: [
    polygon([
      [-5, -5],
      [5, -5],
      [5, 5],
      [-5, 5],
    ]),
    [edge("hole", arc(0, 0, radius, 2 * Math.PI, 0))],
  ],
});

/** Re-entrant corner at (1, 1). */
export const ell: Outline = {
  loops: [
    polygon([
      [0, 0],
      [2, 0],
      [2, 1],
      [1, 1],
      [1, 2],
      [0, 2],
    ]),
  ],
};

/** Sector of a disc of radius 1 with its tip at the origin, the two straight sides tied when `tied`. */
export function wedge(angle: number, tied = false): Outline {
  const loop = [
    edge("lead", line(0, 0, 1, 0)),
    edge("rim", arc(0, 0, 1, 0, angle)),
    edge("follow", line(Math.cos(angle), Math.sin(angle), 0, 0)),
  ];
  if (!tied) return { loops: [loop] };
  return {
    loops: [loop],
    ties: [{ leader: ["lead"], follower: ["follow"], motion: { angle, dx: 0, dy: 0 } }],
  };
}

/** One n-th of the annulus 1 ≤ r ≤ 2, its cuts tied. */
export function annulusSector(n: number): Outline {
  const angle = (2 * Math.PI) / n;
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return {
    loops: [
      [
        edge("lead", line(1, 0, 2, 0)),
        edge("outer", arc(0, 0, 2, 0, angle)),
        edge("follow", line(2 * c, 2 * s, c, s)),
        edge("inner", arc(0, 0, 1, angle, 0)),
      ],
    ],
    ties: [{ leader: ["lead"], follower: ["follow"], motion: { angle, dx: 0, dy: 0 } }],
  };
}

/** A strip of pitch 2 and height 1 with a half-round groove of radius 0.5, cut through the groove's middle. */
export const groovedStrip: Outline = {
  loops: [
    [
      edge("base", line(0, -1, 2, -1)),
      edge("right", line(2, -1, 2, -0.5)),
      edge("groove left half", arc(2, 0, 0.5, 1.5 * Math.PI, Math.PI), "root"),
      edge("land", line(1.5, 0, 0.5, 0), "tip"),
      edge("groove right half", arc(0, 0, 0.5, 2 * Math.PI, 1.5 * Math.PI), "root"),
      edge("left", line(0, -0.5, 0, -1)),
    ],
  ],
  ties: [{ leader: ["left"], follower: ["right"], motion: { angle: 0, dx: 2, dy: 0 } }],
};

/**
 * A star-shaped loop about the origin: corner k at polar angle `turns[k]` (ascending shares of a full turn) and
 * radius `radii[k]`. Side k is straight or, where `bulges[k]` (rise over half chord) bends it without leaving the
 * star shape, an arc.
 */
export function star(turns: readonly number[], radii: readonly number[], bulges: readonly number[]): Outline {
  const n = turns.length;
  const at = (k: number) => {
    const a = 2 * Math.PI * turns[k % n]!;
    return [radii[k % n]! * Math.cos(a), radii[k % n]! * Math.sin(a)] as const;
  };
  const loop: Edge[] = [];
  for (let k = 0; k < n; k++) {
    const [ax, ay] = at(k);
    const [bx, by] = at(k + 1);
    const bent = Math.abs(bulges[k]!) > 0.02 ? arcOver(ax, ay, bx, by, bulges[k]!) : undefined;
    loop.push(edge(`s${k}`, bent && isStarShaped(bent) ? bent : line(ax, ay, bx, by)));
  }
  return { loops: [loop] };
}

/** Arc from a to b that rises `bulge` half chords to the right of the chord (outward, for a positive bulge). */
function arcOver(ax: number, ay: number, bx: number, by: number, bulge: number): Curve {
  const half = Math.hypot(bx - ax, by - ay) / 2;
  const rise = Math.abs(bulge) * half;
  const radius = (half * half + rise * rise) / (2 * rise);
  const way = Math.sign(bulge);
  // centre lies left of the chord for an outward bulge
  const d = (way * (radius - rise)) / (2 * half);
  const cx = (ax + bx) / 2 - d * (by - ay);
  const cy = (ay + by) / 2 + d * (bx - ax);
  const start = Math.atan2(ay - cy, ax - cx);
  const turn = way * 4 * Math.atan(Math.abs(bulge));
  return arc(cx, cy, radius, start, start + turn);
}

function isStarShaped(c: Curve): boolean {
  const p: [number, number] = [0, 0];
  const q: [number, number] = [0, 0];
  for (let k = 0; k < 64; k++) {
    curvePoint(c, k / 64, p);
    curvePoint(c, (k + 1) / 64, q);
    const cross = p[0] * q[1] - p[1] * q[0];
    // clearly turning about the origin, and not through it
    if (!(cross > 0.05 * Math.hypot(...p) * Math.hypot(q[0] - p[0], q[1] - p[1]))) return false;
  }
  return true;
}
