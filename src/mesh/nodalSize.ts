import { elementTree, nearestElement } from "./elementTree.ts";
import { buildLocator } from "./locate.ts";
import type { Mesh, SizeField } from "./mesh.ts";

/**
 * The size field that takes the values `sizes[i]`, mm, at the corner nodes i of a mesh (entries of mid-side nodes are
 * not read) and is linear between them; outside the mesh, the value at the nearest element's nearest point. Before
 * use the values are lowered where they would grow by more than `gradation` per mm along a side (default 0.3;
 * Infinity leaves them alone). Points asked in sequence are found from the last one, so the field is not re-entrant.
 */
export function nodalSize(mesh: Mesh, sizes: Float64Array, gradation = 0.3): SizeField {
  const { xy, elements } = mesh;
  const nodes = xy.length / 2;
  if (sizes.length !== nodes) throw new Error(`nodalSize: ${sizes.length} sizes for ${nodes} nodes`);
  const h = limitGrowth(mesh, sizes, gradation);
  const locate = buildLocator(mesh);
  const tree = elementTree(mesh);
  const stack = new Int32Array(256);
  const out = new Float64Array(2);
  let last = 0;
  let px = 0;
  let py = 0;
  const distance2 = (e: number) => nearestInTriangle(xy, elements, e, px, py, out);
  return (x, y) => {
    let e = locate(x, y, out, last);
    if (e < 0) {
      px = x;
      py = y;
      e = nearestElement(tree, x, y, stack, distance2);
      nearestInTriangle(xy, elements, e, x, y, out);
    }
    last = e;
    const xi = Math.min(Math.max(out[0]!, 0), 1);
    const eta = Math.min(Math.max(out[1]!, 0), 1 - xi);
    return (
      (1 - xi - eta) * h[elements[6 * e]!]! + xi * h[elements[6 * e + 1]!]! + eta * h[elements[6 * e + 2]!]!
    );
  };
}

/** Copy of the corner values, none more than gradation × side length above a neighbour's. */
function limitGrowth({ xy, elements }: Mesh, sizes: Float64Array, gradation: number): Float64Array {
  const h = Float64Array.from(sizes);
  for (let e = 0; 6 * e < elements.length; e++) {
    for (let k = 0; k < 3; k++) {
      const i = elements[6 * e + k]!;
      if (!(h[i]! > 0)) throw new Error(`nodalSize: node ${i} asks for a size of ${h[i]} mm`);
    }
  }
  if (gradation === Infinity) return h;
  // a value travels at least one side a sweep, mostly far more; sweeps go both ways in turn
  const count = elements.length / 6;
  for (let sweep = 0, changed = true; changed && sweep < 1000; sweep++) {
    changed = false;
    for (let i = 0; i < count; i++) {
      const e = sweep % 2 === 0 ? i : count - 1 - i;
      for (let k = 0; k < 3; k++) {
        const a = elements[6 * e + k]!;
        const b = elements[6 * e + ((k + 1) % 3)]!;
        const gap = h[b]! - h[a]!;
        if (gap === 0) continue;
        const dx = xy[2 * a]! - xy[2 * b]!;
        const dy = xy[2 * a + 1]! - xy[2 * b + 1]!;
        const most = gradation * Math.sqrt(dx * dx + dy * dy);
        if (gap > most * (1 + 1e-12)) {
          h[b] = h[a]! + most;
          changed = true;
        } else if (-gap > most * (1 + 1e-12)) {
          h[a] = h[b]! + most;
          changed = true;
        }
      }
    }
  }
  return h;
}

/** Squared distance from (x, y) to the straight-sided triangle of element e; (ξ, η) of the nearest point into `out`. */
function nearestInTriangle(
  xy: Float64Array,
  elements: Uint32Array,
  e: number,
  x: number,
  y: number,
  out: Float64Array,
): number {
  const n0 = 2 * elements[6 * e]!;
  const n1 = 2 * elements[6 * e + 1]!;
  const n2 = 2 * elements[6 * e + 2]!;
  const ax = xy[n1]! - xy[n0]!;
  const ay = xy[n1 + 1]! - xy[n0 + 1]!;
  const bx = xy[n2]! - xy[n0]!;
  const by = xy[n2 + 1]! - xy[n0 + 1]!;
  const px = x - xy[n0]!;
  const py = y - xy[n0 + 1]!;
  const det = ax * by - ay * bx;
  const xi = (px * by - py * bx) / det;
  const eta = (ax * py - ay * px) / det;
  if (xi >= 0 && eta >= 0 && xi + eta <= 1) {
    out[0] = xi;
    out[1] = eta;
    return 0;
  }
  let least = Infinity;
  for (let k = 0; k < 3; k++) {
    // side k from (fx, fy) along (dx, dy)
    const fx = k === 1 ? ax : k === 2 ? bx : 0;
    const fy = k === 1 ? ay : k === 2 ? by : 0;
    const dx = k === 0 ? ax : k === 1 ? bx - ax : -bx;
    const dy = k === 0 ? ay : k === 1 ? by - ay : -by;
    const w = Math.min(1, Math.max(0, ((px - fx) * dx + (py - fy) * dy) / (dx * dx + dy * dy)));
    const d = (px - fx - w * dx) ** 2 + (py - fy - w * dy) ** 2;
    if (d < least) {
      least = d;
      out[0] = k === 0 ? w : k === 1 ? 1 - w : 0;
      out[1] = k === 0 ? 0 : k === 1 ? w : 1 - w;
    }
  }
  return least;
}
