import { elementTree } from "./elementTree.ts";
import type { Mesh } from "./mesh.ts";

/** Local coordinates may lie outside the triangle by this much and still count as in it. */
const EDGE_TOLERANCE = 1e-10;
const NEWTON_STEPS = 16;
/** Mid-side nodes off their chords by less than this share of the sides are the rounding of their places: the map is affine. */
const STRAIGHT = 1e-13;
/** Neighbours tried from the start element before the tree is asked. */
const WALK_STEPS = 12;

/**
 * Finds the element that holds (x, y), mm, and writes its local coordinates ξ, η into `out[0]`, `out[1]`. Returns
 * the element, or -1 outside the mesh. A point outside by less than the locator's tolerance (as points of the true
 * outline are, by the little that parabolas miss it) gets the element it misses least. `start` is an element to try
 * first, such as the last one found; with it, points in sequence cost a step or two each.
 */
export type Locator = (x: number, y: number, out: Float64Array, start?: number) => number;

/**
 * Prepares point location in the curved elements of a mesh: boxes in a tree, then Newton's iteration on the
 * quadratic map. `tolerance` is in local coordinates (1 = the whole element), default 1e-3. The locator
 * allocates nothing; it is not re-entrant.
 */
export function buildLocator(mesh: Mesh, tolerance = 1e-3): Locator {
  const locator = new ElementLocator(mesh, tolerance);
  const place = new Float64Array(2);
  return (x, y, out, start = -1) => {
    place[0] = x;
    place[1] = y;
    return locator.find(place, out, start);
  };
}

/** The same with the place in an array: numbers handed from call to call are boxed, and this is called very often. */
export class ElementLocator {
  readonly #mesh: Mesh;
  readonly #tolerance: number;
  readonly #tree: ReturnType<typeof elementTree>;
  readonly #stack = new Int32Array(256);
  /** ξ, η and the least of ξ, η, 1 − ξ − η, as `invert` gives them. */
  readonly #local = new Float64Array(3);

  constructor(mesh: Mesh, tolerance = 1e-3) {
    this.#mesh = mesh;
    this.#tolerance = tolerance;
    this.#tree = elementTree(mesh);
  }

  /** See `Locator`. */
  find(place: Float64Array, out: Float64Array, start: number): number {
    const { neighbours } = this.#mesh;
    const local = this.#local;
    let e = start;
    for (let step = 0; e >= 0 && step < WALK_STEPS; step++) {
      invert(this.#mesh, e, place, local);
      const inside = local[2]!;
      const xi = local[0]!;
      const eta = local[1]!;
      if (inside >= -EDGE_TOLERANCE) {
        out[0] = xi;
        out[1] = eta;
        return e;
      }
      if (Number.isNaN(inside)) break;
      // out over the side whose coordinate is the most negative
      const zeta = 1 - xi - eta;
      e = neighbours[3 * e + (eta <= xi && eta <= zeta ? 0 : zeta <= xi ? 1 : 2)]!;
    }
    return this.#search(place, out);
  }

  /** Asks the tree. */
  #search(place: Float64Array, out: Float64Array): number {
    const { boxes, first, elements, cells } = this.#tree;
    const tolerance = this.#tolerance;
    const stack = this.#stack;
    const local = this.#local;
    const x = place[0]!;
    const y = place[1]!;
    let best = -1;
    let least = -tolerance;
    let depth = 0;
    stack[depth++] = cells - 1;
    while (depth > 0) {
      const c = stack[--depth]!;
      const x0 = boxes[4 * c]!;
      const y0 = boxes[4 * c + 1]!;
      const x1 = boxes[4 * c + 2]!;
      const y1 = boxes[4 * c + 3]!;
      const slack = tolerance * Math.max(x1 - x0, y1 - y0);
      if (x < x0 - slack || y < y0 - slack || x > x1 + slack || y > y1 + slack) continue;
      if (c >= elements) {
        for (let k = first[c - elements]!; k < first[c - elements + 1]!; k++) stack[depth++] = k;
        continue;
      }
      invert(this.#mesh, c, place, local);
      const inside = local[2]!;
      if (inside >= least) {
        least = inside;
        best = c;
        out[0] = local[0]!;
        out[1] = local[1]!;
        if (inside >= -EDGE_TOLERANCE) return c;
      }
    }
    return best;
  }
}

/**
 * Solves x(ξ, η) = place in element e by Newton's iteration from the affine guess; writes ξ, η and the least of
 * ξ, η, 1 − ξ − η (≥ 0 inside) into `out`, NaN for the last when the iteration wanders off.
 */
function invert({ xy, elements }: Mesh, e: number, place: Float64Array, out: Float64Array): void {
  const n0 = 2 * elements[6 * e]!;
  const n1 = 2 * elements[6 * e + 1]!;
  const n2 = 2 * elements[6 * e + 2]!;
  const n3 = 2 * elements[6 * e + 3]!;
  const n4 = 2 * elements[6 * e + 4]!;
  const n5 = 2 * elements[6 * e + 5]!;
  const ox = xy[n0]!;
  const oy = xy[n0 + 1]!;
  const ax = xy[n1]! - ox;
  const ay = xy[n1 + 1]! - oy;
  const bx = xy[n2]! - ox;
  const by = xy[n2 + 1]! - oy;
  // x = ξ a + η b + 4 ζ ξ c3 + 4 ξ η c4 + 4 η ζ c5 with ζ = 1 − ξ − η, c the mid-sides' offsets from their chords
  const x3 = 4 * (xy[n3]! - ox - ax / 2);
  const y3 = 4 * (xy[n3 + 1]! - oy - ay / 2);
  const x4 = 4 * (xy[n4]! - ox - (ax + bx) / 2);
  const y4 = 4 * (xy[n4 + 1]! - oy - (ay + by) / 2);
  const x5 = 4 * (xy[n5]! - ox - bx / 2);
  const y5 = 4 * (xy[n5 + 1]! - oy - by / 2);
  const px = place[0]! - ox;
  const py = place[1]! - oy;
  let det = ax * by - ay * bx;
  let xi = (px * by - py * bx) / det;
  let eta = (ax * py - ay * px) / det;
  const bend = Math.abs(x3) + Math.abs(y3) + Math.abs(x4) + Math.abs(y4) + Math.abs(x5) + Math.abs(y5);
  if (bend <= STRAIGHT * (Math.abs(ax) + Math.abs(ay) + Math.abs(bx) + Math.abs(by))) {
    out[0] = xi;
    out[1] = eta;
    out[2] = Math.min(xi, eta, 1 - xi - eta);
    return;
  }
  for (let step = 0; step < NEWTON_STEPS; step++) {
    const zeta = 1 - xi - eta;
    const rx = px - xi * ax - eta * bx - zeta * xi * x3 - xi * eta * x4 - eta * zeta * x5;
    const ry = py - xi * ay - eta * by - zeta * xi * y3 - xi * eta * y4 - eta * zeta * y5;
    const jx = ax + (zeta - xi) * x3 + eta * x4 - eta * x5; // ∂x/∂ξ
    const jy = ay + (zeta - xi) * y3 + eta * y4 - eta * y5;
    const kx = bx - xi * x3 + xi * x4 + (zeta - eta) * x5; // ∂x/∂η
    const ky = by - xi * y3 + xi * y4 + (zeta - eta) * y5;
    det = jx * ky - jy * kx;
    const dXi = (rx * ky - ry * kx) / det;
    const dEta = (jx * ry - jy * rx) / det;
    xi += dXi;
    eta += dEta;
    if (!(Math.abs(xi) + Math.abs(eta) < 20)) {
      out[2] = NaN;
      return;
    }
    if (Math.abs(dXi) + Math.abs(dEta) < 1e-13) {
      out[0] = xi;
      out[1] = eta;
      out[2] = Math.min(xi, eta, 1 - xi - eta);
      return;
    }
  }
  // stagnating at rounding level (points far from the origin) is as good as it gets
  out[0] = xi;
  out[1] = eta;
  const zeta = 1 - xi - eta;
  const rx = px - xi * ax - eta * bx - zeta * xi * x3 - xi * eta * x4 - eta * zeta * x5;
  const ry = py - xi * ay - eta * by - zeta * xi * y3 - xi * eta * y4 - eta * zeta * y5;
  const reached = rx * rx + ry * ry <= 1e-18 * Math.abs(ax * by - ay * bx);
  out[2] = reached ? Math.min(xi, eta, zeta) : NaN;
}
