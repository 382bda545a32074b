import type { Triangulation } from "./triangulation.ts";

/**
 * Moves every vertex that touches no wall towards the size-weighted mean of the centroids around it (Lloyd's
 * step, weights area / size², so that graded meshes stay graded), wherever that does not lower the worst
 * triangle around it, then flips edges back to Delaunay; `rounds` times. Boundary vertices stay. `sizes` holds
 * the wanted size at each vertex, mm.
 */
export function smooth(mesh: Triangulation, sizes: Float64Array, rounds: number): void {
  const n = mesh.vertices;
  const { corners, link } = mesh;
  const hub = new Int32Array(n);
  const fixed = new Uint8Array(n);
  for (let h = 0; h < 3 * mesh.triangles; h++) {
    if (link[h]! < 0) {
      fixed[corners[h]!] = 1;
      fixed[corners[h % 3 === 2 ? h - 2 : h + 1]!] = 1;
    }
  }
  for (let round = 0; round < rounds; round++) {
    for (let h = 0; h < 3 * mesh.triangles; h++) hub[corners[h]!] = h;
    for (let v = 0; v < n; v++) if (!fixed[v]) relax(mesh, sizes, v, hub[v]!);
    mesh.restoreDelaunay();
  }
}

/** Moves vertex v, round which half-edge `start` begins, as far as that makes the worst triangle there no worse. */
function relax({ xy, corners, link }: Triangulation, sizes: Float64Array, v: number, start: number): void {
  const x = xy[2 * v]!;
  const y = xy[2 * v + 1]!;
  let h = start;
  let weight = 0;
  let wx = 0;
  let wy = 0;
  let worst = Infinity;
  do {
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const prev = h % 3 === 0 ? h + 2 : h - 1;
    const a = corners[next]!;
    const b = corners[prev]!;
    const ax = xy[2 * a]! - x;
    const ay = xy[2 * a + 1]! - y;
    const bx = xy[2 * b]! - x;
    const by = xy[2 * b + 1]! - y;
    const cross = ax * by - ay * bx;
    const h3 = sizes[v]! + sizes[a]! + sizes[b]!;
    const w = cross / (h3 * h3);
    weight += w;
    wx += w * (ax + bx);
    wy += w * (ay + by);
    const q = shape(ax, ay, bx, by, cross);
    if (q < worst) worst = q;
    h = link[prev]!;
  } while (h !== start);
  let dx = wx / (3 * weight);
  let dy = wy / (3 * weight);
  for (let attempt = 0; attempt < 2; attempt++) {
    if (keepsShape(xy, corners, link, start, x + dx, y + dy, worst)) {
      xy[2 * v] = x + dx;
      xy[2 * v + 1] = y + dy;
      return;
    }
    dx /= 3;
    dy /= 3;
  }
}

/** Are all triangles round the vertex of half-edge `start` better than `worst` with the vertex at (x, y)? */
function keepsShape(
  xy: Float64Array,
  corners: Triangulation["corners"],
  link: Triangulation["link"],
  start: number,
  x: number,
  y: number,
  worst: number,
): boolean {
  let h = start;
  do {
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const prev = h % 3 === 0 ? h + 2 : h - 1;
    const a = 2 * corners[next]!;
    const b = 2 * corners[prev]!;
    const ax = xy[a]! - x;
    const ay = xy[a + 1]! - y;
    const bx = xy[b]! - x;
    const by = xy[b + 1]! - y;
    if (!(shape(ax, ay, bx, by, ax * by - ay * bx) > worst)) return false;
    h = link[prev]!;
  } while (h !== start);
  return true;
}

/** Twice the area over the sum of the squared sides: √3/6 for an equilateral triangle, ≤ 0 inside out. */
function shape(ax: number, ay: number, bx: number, by: number, cross: number): number {
  const cx = bx - ax;
  const cy = by - ay;
  return cross / (ax * ax + ay * ay + bx * bx + by * by + cx * cx + cy * cy);
}
