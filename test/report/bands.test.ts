import { describe, expect, test } from "vitest";
import { arc, type Edge, outlineArea } from "../../src/geometry/index.ts";
import { regionsAbove, ringArea } from "../../src/report/bands.ts";
import { simplifyLine } from "../../src/report/simplifyLine.ts";
import { type Tessellation, tessellate } from "../../src/report/tessellate.ts";
import type { View } from "../../src/report/view.ts";
import { notchedSector, ruledMesh } from "./synthetic.ts";

const PX = 40; // sheet units per mm
const view: View = { cos: 0, sin: 1, scale: PX, x: 300, y: 1200 };
const TOLERANCE = 0.06;

/** Half ring, r = 1…3 mm, so that x² + y² has circles of exact radius for contours. */
function halfRing(perEdge: number, layers: number) {
  const chain = (r: number, name: string): Edge[] =>
    [0, 1, 2].map((k) => ({
      name: `${name} ${k}`,
      zone: "rim",
      curve: arc(0, 0, r, (k * Math.PI) / 3, ((k + 1) * Math.PI) / 3),
    }));
  return ruledMesh(chain(1, "inner"), chain(3, "outer"), perEdge, layers, 1);
}

function nodal(xy: Float64Array, f: (x: number, y: number) => number): Float64Array {
  return Float64Array.from({ length: xy.length / 2 }, (_, i) => f(xy[2 * i]!, xy[2 * i + 1]!));
}

function traced(
  mesh: ReturnType<typeof halfRing>["mesh"],
  values: Float64Array,
  levels: number[],
): Tessellation {
  return tessellate(mesh, values, { view, levels, tolerance: TOLERANCE, smallest: 0.8 });
}

describe("regionsAbove", () => {
  test("contours of a linear field lie on straight lines where the field says", () => {
    const { mesh } = halfRing(2, 2);
    // value 2 x + 3 y: the contour at c is the line 2 x + 3 y = c, exact on any mesh
    const levels = [-2, 0.5, 4];
    const t = traced(
      mesh,
      nodal(mesh.xy, (x, y) => 2 * x + 3 * y),
      levels,
    );
    for (const region of regionsAbove(t, levels, 0)) {
      expect(region.contours.length).toBeGreaterThan(0);
      for (const { points } of region.contours) {
        for (let k = 0; k < points.length; k += 2) {
          const y = -(points[k]! - view.x) / PX;
          const x = (view.y - points[k + 1]!) / PX;
          expect(Math.abs(2 * x + 3 * y - region.level) / Math.hypot(2, 3)).toBeLessThan(TOLERANCE / PX);
        }
      }
    }
  });

  test("contours of x² + y² are circles of the exact radius", () => {
    const { mesh } = halfRing(6, 6);
    const levels = [2, 4, 7];
    const t = traced(
      mesh,
      nodal(mesh.xy, (x, y) => x * x + y * y),
      levels,
    );
    for (const region of regionsAbove(t, levels, 0.04)) {
      expect(region.contours.length).toBe(1);
      const { points } = region.contours[0]!;
      for (let k = 0; k < points.length; k += 2) {
        const radius = Math.hypot(points[k]! - view.x, points[k + 1]! - view.y) / PX;
        // quarter of a drawing unit: the element's own quadratic differs from x² + y² on curved sides
        expect(Math.abs(radius - Math.sqrt(region.level)) * PX).toBeLessThan(2 * TOLERANCE);
      }
    }
  });

  test("a region's area is that of the ring beyond the contour", () => {
    const { mesh } = halfRing(6, 6);
    const levels = [2, 4, 7];
    const t = traced(
      mesh,
      nodal(mesh.xy, (x, y) => x * x + y * y),
      levels,
    );
    for (const { level, area } of regionsAbove(t, levels, 0.04)) {
      const exact = (Math.PI / 2) * (9 - level) * PX * PX;
      expect(Math.abs(area - exact)).toBeLessThan(TOLERANCE * Math.PI * 3 * PX);
    }
  });

  test("bands tile the part: whole region equals the outline's area, drawn rings add up, regions shrink", () => {
    const { mesh, outline } = notchedSector();
    const values = nodal(mesh.xy, (x, y) => 1 / Math.hypot(x - 17, y));
    const levels = [-Infinity, ...Array.from({ length: 10 }, (_, k) => 0.1 * (k + 1))];
    const t = traced(mesh, values, levels);
    const regions = regionsAbove(t, levels, 0.04);
    const perimeter = 2 * (13 + 10) * PX;
    expect(Math.abs(regions[0]!.area - outlineArea(outline) * PX * PX)).toBeLessThan(TOLERANCE * perimeter);
    let bands = 0;
    for (const [k, region] of regions.entries()) {
      const next = regions[k + 1]?.area ?? 0;
      expect(region.area).toBeGreaterThanOrEqual(next);
      bands += region.area - next;
      const drawn = Math.abs(region.rings.reduce((sum, ring) => sum + ringArea(ring.points), 0));
      expect(Math.abs(drawn - region.area)).toBeLessThan(0.04 * perimeter);
      for (const ring of region.rings) expect(ring.closed).toBe(true);
    }
    expect(Math.abs(bands - outlineArea(outline) * PX * PX)).toBeLessThan(TOLERANCE * perimeter);
  });

  test("each region lies inside the one below it", () => {
    const { mesh } = notchedSector();
    const values = nodal(mesh.xy, (x, y) => 1 / Math.hypot(x - 17, y));
    const levels = [0.2, 0.4, 0.6, 0.8];
    const regions = regionsAbove(traced(mesh, values, levels), levels, 0.04);
    const inside = (rings: readonly { points: Float64Array }[], x: number, y: number) => {
      let is = false;
      for (const { points: p } of rings) {
        for (let k = 0; k < p.length; k += 2) {
          const m = (k + 2) % p.length;
          if (p[k + 1]! > y === p[m + 1]! > y) continue;
          if (x < p[k]! + ((y - p[k + 1]!) / (p[m + 1]! - p[k + 1]!)) * (p[m]! - p[k]!)) is = !is;
        }
      }
      return is;
    };
    for (let k = 1; k < regions.length; k++) {
      for (const { points } of regions[k]!.contours) {
        expect(points.length).toBeGreaterThan(4);
        for (let q = 2; q < points.length - 2; q += 2) {
          expect(inside(regions[k - 1]!.rings, points[q]!, points[q + 1]!)).toBe(true);
        }
      }
    }
  });

  test("a field that touches a level only at nodes still gives closed rings", () => {
    const { mesh } = halfRing(2, 2);
    const levels = [0, 1];
    const t = traced(
      mesh,
      nodal(mesh.xy, (x) => Math.round(x)),
      levels,
    );
    for (const region of regionsAbove(t, levels, 0.04)) {
      for (const ring of region.rings) expect(ring.closed && ring.points.length >= 6).toBe(true);
    }
  });
});

describe("tessellate", () => {
  test("leaves no crack: every inner side is shared by exactly two triangles", () => {
    const { mesh, outline } = notchedSector();
    const values = nodal(mesh.xy, (x, y) => 1 / Math.hypot(x - 17, y) + 0.2 * Math.sin(9 * y));
    const t = traced(mesh, values, [0.1, 0.3, 0.5, 0.9]);
    expect(t.triangles.length).toBeGreaterThan(3 * (mesh.elements.length / 6)); // something was divided
    const uses = new Map<string, number>();
    let area = 0;
    for (let k = 0; k < t.triangles.length; k += 3) {
      const [a, b, c] = [t.triangles[k]!, t.triangles[k + 1]!, t.triangles[k + 2]!];
      area += ((t.x[b]! - t.x[a]!) * (t.y[c]! - t.y[a]!) - (t.x[c]! - t.x[a]!) * (t.y[b]! - t.y[a]!)) / 2;
      for (const [p, q] of [
        [a, b],
        [b, c],
        [c, a],
      ]) {
        const key = p! < q! ? `${p} ${q}` : `${q} ${p}`;
        uses.set(key, (uses.get(key) ?? 0) + 1);
      }
    }
    expect(Math.max(...uses.values())).toBe(2);
    // the sides used once are the outline: their chords are as long as it, but for the sagitta
    let rim = 0;
    for (const [key, count] of uses) {
      if (count !== 1) continue;
      const [p, q] = key.split(" ").map(Number);
      rim += Math.hypot(t.x[p!]! - t.x[q!]!, t.y[p!]! - t.y[q!]!);
    }
    const a = 0.18;
    const notch =
      0.8 *
      2 *
      (Math.PI -
        Math.atan2(17 * Math.sin(2 * Math.asin(0.4 / 17)), 17 - 17 * Math.cos(2 * Math.asin(0.4 / 17))));
    const length = 2 * 11 + 28 * 2 * a + 17 * 2 * (a - 2 * Math.asin(0.4 / 17)) + notch;
    expect(Math.abs(rim / PX - length) / length).toBeLessThan(2e-3);
    expect(Math.abs(Math.abs(area) - outlineArea(outline) * PX * PX)).toBeLessThan(TOLERANCE * length * PX);
  });

  test("refuses values that are not one per node", () => {
    const { mesh } = notchedSector(2, 2);
    expect(() =>
      tessellate(mesh, new Float64Array(3), { view, levels: [], tolerance: 1, smallest: 1 }),
    ).toThrow(/3 values/);
  });
});

describe("simplifyLine", () => {
  test("keeps every dropped point within the tolerance", () => {
    const n = 400;
    const points = new Float64Array(2 * n);
    for (let k = 0; k < n; k++) {
      points[2 * k] = 100 * Math.cos((2 * Math.PI * k) / n);
      points[2 * k + 1] = 100 * Math.sin((2 * Math.PI * k) / n);
    }
    const short = simplifyLine({ points, closed: true }, 0.5).points;
    expect(short.length).toBeLessThan(points.length / 4);
    // area between circle and inscribed polygon: sagitta at most 0.5
    const exact = ringArea(points);
    expect(exact - ringArea(short)).toBeLessThan(0.5 * 2 * Math.PI * 100);
    for (let k = 0; k < short.length; k += 2)
      expect(Math.hypot(short[k]!, short[k + 1]!)).toBeCloseTo(100, 9);
  });
});
