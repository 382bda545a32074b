import type { VariantField, VariantResult } from "../answer/result.ts";
import { curveLength, curvePoint, outlineEdges } from "../geometry/index.ts";
import { firstPrincipal } from "../solver/index.ts";

/** First principal stress along the outline through the governing root. */
export interface RootProfile {
  /** Distance along the outline from the governing spot, mm, ascending; negative before it. */
  readonly s: Float64Array;
  /** First principal stress there, MPa. */
  readonly stress: Float64Array;
  /** Pieces of the outline passed through: zone name and where it ends. */
  readonly zones: readonly {
    readonly zone: string;
    readonly kind: string;
    readonly from: number;
    readonly to: number;
  }[];
}

const PER_SIDE = 4;

/**
 * Walks the outline both ways from the governing spot to `reach` mm, or to the end of the free surface (a cut
 * side). Stress components are quadratic along each side of the mesh, as the nodes carry them.
 */
export function rootProfile(result: VariantResult, field: VariantField, reach: number): RootProfile | null {
  const { outline, mesh, stress } = field;
  const spot = result.root.peakPrincipal ?? result.root.average;
  const edges = outlineEdges(outline);
  // the spot's edge and its place on it: nearest of many points, good to a 400th of the edge
  let best = Infinity;
  let home = -1;
  let homeU = 0;
  const p: [number, number] = [0, 0];
  for (const [k, edge] of edges.entries()) {
    if (edge.zone === "cut") continue;
    for (let q = 0; q <= 400; q++) {
      curvePoint(edge.curve, q / 400, p);
      const d = Math.hypot(p[0] - spot.x, p[1] - spot.y);
      if (d < best) {
        best = d;
        home = k;
        homeU = q / 400;
      }
    }
  }
  if (home < 0) return null;
  // the loop the spot is on, as indices into `edges`
  let first = 0;
  let count = 0;
  for (const loop of outline.loops) {
    if (home < first + loop.length) {
      count = loop.length;
      break;
    }
    first += loop.length;
  }
  const lengths = edges.map((edge) => curveLength(edge.curve));
  // where each edge starts, measured from the spot; walked back, then on
  const starts = new Map<number, number>();
  starts.set(home, -homeU * lengths[home]!);
  for (let k = home, s = starts.get(home)!; s > -reach; ) {
    k = first + ((k - first + count - 1) % count);
    if (starts.has(k) || edges[k]!.zone === "cut") break;
    s -= lengths[k]!;
    starts.set(k, s);
  }
  for (let k = home, s = starts.get(home)! + lengths[home]!; s < reach; ) {
    k = first + ((k - first + 1) % count);
    if (starts.has(k) || edges[k]!.zone === "cut") break;
    starts.set(k, s);
    s += lengths[k]!;
  }
  const sides: { from: number; to: number; b: number }[] = [];
  for (let b = 0; b < mesh.sideElement.length; b++) {
    const start = starts.get(mesh.sideEdge[b]!);
    if (start === undefined) continue;
    const length = lengths[mesh.sideEdge[b]!]!;
    sides.push({ from: start + mesh.sideU[2 * b]! * length, to: start + mesh.sideU[2 * b + 1]! * length, b });
  }
  sides.sort((x, y) => x.from - y.from);
  const s: number[] = [];
  const value: number[] = [];
  for (const { from, to, b } of sides) {
    const e = mesh.sideElement[b]!;
    const local = mesh.sideLocal[b]!;
    const i0 = 3 * mesh.elements[6 * e + local]!;
    const i1 = 3 * mesh.elements[6 * e + ((local + 1) % 3)]!;
    const im = 3 * mesh.elements[6 * e + 3 + local]!;
    for (let q = s.length === 0 ? 0 : 1; q <= PER_SIDE; q++) {
      const u = q / PER_SIDE;
      const at = from + u * (to - from);
      if (Math.abs(at) > reach) continue;
      const a = (1 - u) * (1 - 2 * u);
      const m = 4 * u * (1 - u);
      const c = u * (2 * u - 1);
      const part = (k: number) => a * stress[i0 + k]! + m * stress[im + k]! + c * stress[i1 + k]!;
      s.push(at);
      value.push(firstPrincipal(part(0), part(1), part(2)));
    }
  }
  if (s.length < 2) return null;
  const zones = [...starts]
    .map(([k, from]) => ({
      zone: edges[k]!.zone,
      kind: edges[k]!.curve.kind,
      from: Math.max(from, -reach),
      to: Math.min(from + lengths[k]!, reach),
    }))
    .filter((z) => z.to > z.from)
    .sort((x, y) => x.from - y.from);
  return { s: Float64Array.from(s), stress: Float64Array.from(value), zones };
}
