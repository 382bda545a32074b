import { type Curve, curveArea, curveLength, curvePoint, type Motion, movePoint } from "./curve.ts";

/**
 * One smooth piece of an outline, travelled with the material on its left (outer loops run
 * counter-clockwise, holes clockwise).
 *
 * `name` is unique in the outline and is what loads, supports and ties refer to; `zone` says what kind of
 * surface it is ("root", "flank", "tip", "rim", "cut", or the user's own word) and is what peaks are kept by.
 */
export interface Edge {
  readonly name: string;
  readonly zone: string;
  readonly curve: Curve;
}

/**
 * Two chains of edges that are the same line of material seen twice, as the two cut sides of a repeating
 * sector are: `motion` carries `leader` onto `follower`. Listed in the order in which `leader` is travelled;
 * the follower's edges are therefore travelled the other way, follower[k] being the image of leader[k].
 */
export interface Tie {
  readonly leader: readonly string[];
  readonly follower: readonly string[];
  readonly motion: Motion;
}

/** Closed loops of edges, the end of each edge being the start of the next. All lengths mm. */
export interface Outline {
  readonly loops: readonly (readonly Edge[])[];
  readonly ties?: readonly Tie[];
}

/** All edges in one list, loop after loop. An edge's place in this list is its index in the mesh. */
export function outlineEdges(outline: Outline): Edge[] {
  return outline.loops.flat();
}

/** Enclosed area, mm², exact for the true curves. */
export function outlineArea(outline: Outline): number {
  let area = 0;
  for (const loop of outline.loops) for (const edge of loop) area += curveArea(edge.curve);
  return area;
}

/** Length of all edges, mm. */
export function outlineLength(outline: Outline): number {
  return outlineEdges(outline).reduce((sum, { curve }) => sum + curveLength(curve), 0);
}

/** Length of the diagonal of the box round the outline's points, mm: the yardstick for tolerances. */
export function outlineDiagonal(outline: Outline): number {
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  const p = new Float64Array(2);
  for (const loop of outline.loops) {
    for (const { curve } of loop) {
      for (let k = 0; k <= 8; k++) {
        curvePoint(curve, k / 8, p);
        x0 = Math.min(x0, p[0]!);
        x1 = Math.max(x1, p[0]!);
        y0 = Math.min(y0, p[1]!);
        y1 = Math.max(y1, p[1]!);
      }
    }
  }
  return Math.hypot(x1 - x0, y1 - y0);
}

/**
 * Checks what every later room relies on: names are unique, edges have length, loops close, tied edges are images of each
 * other. Gaps up to 1e-9 of the outline's size pass.
 * @throws Error naming the edges at fault.
 */
export function checkOutline(outline: Outline): void {
  for (const { name, curve } of outlineEdges(outline))
    for (const [key, value] of Object.entries(curve))
      if (key !== "kind" && !Number.isFinite(value))
        throw new Error(`outline: "${name}" has ${value} for its ${key}; give a number`);
  for (const { name, curve } of outlineEdges(outline)) {
    const turns = curve.kind === "arc" ? Math.abs(curve.end - curve.start) / (2 * Math.PI) : 0;
    if (turns > 1 + 1e-9)
      throw new Error(`outline: "${name}" goes ${turns} times round; an arc goes round once at most`);
  }
  const tolerance = 1e-9 * outlineDiagonal(outline);
  const byName = new Map<string, Edge>();
  for (const loop of outline.loops) {
    if (loop.length === 0) throw new Error("outline: a loop has no edges");
    for (let k = 0; k < loop.length; k++) {
      const edge = loop[k]!;
      if (byName.has(edge.name)) throw new Error(`outline: two edges are named "${edge.name}"`);
      byName.set(edge.name, edge);
      const length = curveLength(edge.curve);
      if (!(length > tolerance))
        throw new Error(`outline: "${edge.name}" is ${length} mm long; leave it out`);
      const next = loop[(k + 1) % loop.length]!;
      const gap = gapBetween(edge.curve, next.curve);
      if (!(gap <= tolerance)) {
        throw new Error(
          `outline: "${edge.name}" ends ${gap.toExponential(2)} mm from where "${next.name}" starts`,
        );
      }
    }
  }
  for (const { leader, follower, motion } of outline.ties ?? []) {
    if (leader.length !== follower.length) throw new Error("outline: a tie's two sides differ in edge count");
    for (let k = 0; k < leader.length; k++) {
      const lead = byName.get(leader[k]!);
      const follow = byName.get(follower[k]!);
      if (!lead || !follow)
        throw new Error(`outline: a tie names "${lead ? follower[k] : leader[k]}", which is no edge`);
      if (!(imageMiss(lead.curve, motion, follow.curve) <= tolerance)) {
        throw new Error(`outline: "${follow.name}" is not the image of "${lead.name}"`);
      }
    }
  }
}

/** Distance from the end of one curve to the start of the next, mm. */
function gapBetween(curve: Curve, next: Curve): number {
  const a = curvePoint(curve, 1, new Float64Array(2));
  const b = curvePoint(next, 0, new Float64Array(2));
  return Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!);
}

/** Largest distance of ends and middle of a follower from the image of its leader, mm. */
function imageMiss(lead: Curve, motion: Motion, follow: Curve): number {
  const p = new Float64Array(2);
  const q = new Float64Array(2);
  let miss = 0;
  for (let k = 0; k <= 2; k++) {
    curvePoint(lead, k / 2, p);
    movePoint(motion, p[0]!, p[1]!, p);
    curvePoint(follow, 1 - k / 2, q);
    miss = Math.max(miss, Math.hypot(q[0]! - p[0]!, q[1]! - p[1]!));
  }
  return miss;
}
