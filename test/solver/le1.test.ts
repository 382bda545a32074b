import { expect, test } from "vitest";
import { arc, type Edge, line, type Outline } from "../../src/geometry/index.ts";
import type { Mesh } from "../../src/mesh/index.ts";
import { referenceCase } from "./reference.ts";
import { nodeAt, solveOn, steel } from "./solved.ts";
import { finishMesh, graded } from "./structured.ts";

/*
 * Elliptic membrane: NAFEMS, The Standard NAFEMS Benchmarks, TNSB Rev. 3, 1990, test LE1 (elastic-exact.json, section "le1").
 * Lengths in metres there, millimetres here; stresses do not change, displacements come out in mm per mm of the part.
 */

/** The circle through three points as an arc from the first to the last. */
function arcThrough(a: readonly number[], m: readonly number[], b: readonly number[]) {
  const [ax, ay, mx, my] = [a[0] - b[0], a[1] - b[1], m[0] - b[0], m[1] - b[1]];
  const d = 2 * (ax * my - ay * mx);
  const cx = b[0] + ((ax * ax + ay * ay) * my - (mx * mx + my * my) * ay) / d;
  const cy = b[1] + ((mx * mx + my * my) * ax - (ax * ax + ay * ay) * mx) / d;
  const start = Math.atan2(a[1] - cy, a[0] - cx);
  let end = Math.atan2(b[1] - cy, b[0] - cx);
  if (end - start > Math.PI) end -= 2 * Math.PI;
  if (start - end > Math.PI) end += 2 * Math.PI;
  return arc(cx, cy, Math.hypot(a[0] - cx, a[1] - cy), start, end);
}

/** Quarter between ellipses; the outline's elliptic edges are arcs through the three nodes of each side. */
function membrane(columns: number, rows: number): { outline: Outline; mesh: Mesh } {
  const space = graded(5);
  const place = (k: number, j: number): [number, number] => {
    const half = (n: number, of: number, f: (u: number) => number) =>
      n % 2 === 0 ? f(n / (2 * of)) : (f((n - 1) / (2 * of)) + f((n + 1) / (2 * of))) / 2;
    const a = (Math.PI / 2) * half(k, columns, graded(3));
    const v = half(j, rows, space);
    return [((1 - v) * 2 + v * 3.25) * Math.cos(a) + 0, ((1 - v) * 1 + v * 2.75) * Math.sin(a)];
  };
  const wide = 2 * columns + 1;
  const xy = new Float64Array(2 * wide * (2 * rows + 1));
  for (let j = 0; j <= 2 * rows; j++) {
    for (let k = 0; k < wide; k++) {
      const [x, y] = place(k, j);
      xy.set([k === 2 * columns ? 0 : x, y], 2 * (j * wide + k));
    }
  }
  const elements: number[] = [];
  for (let j = 0; j < rows; j++) {
    for (let k = 0; k < columns; k++) {
      const at = (di: number, dj: number) => (2 * j + dj) * wide + 2 * k + di;
      elements.push(at(0, 0), at(2, 0), at(2, 2), at(1, 0), at(2, 1), at(1, 1));
      elements.push(at(0, 0), at(2, 2), at(0, 2), at(1, 1), at(1, 2), at(0, 1));
    }
  }
  const p = (k: number, j: number) => [...xy.subarray(2 * (j * wide + k), 2 * (j * wide + k) + 2)];
  const edges: Edge[] = [{ name: "DC", zone: "symmetry", curve: line(2, 0, 3.25, 0) }];
  for (let k = 0; k < columns; k++) {
    const curve = arcThrough(p(2 * k, 2 * rows), p(2 * k + 1, 2 * rows), p(2 * k + 2, 2 * rows));
    edges.push({ name: `BC${k}`, zone: "outer", curve });
  }
  edges.push({ name: "AB", zone: "symmetry", curve: line(0, 2.75, 0, 1) });
  for (let k = columns - 1; k >= 0; k--) {
    edges.push({
      name: `AD${k}`,
      zone: "inner",
      curve: arcThrough(p(2 * k + 2, 0), p(2 * k + 1, 0), p(2 * k, 0)),
    });
  }
  const outline: Outline = { loops: [edges] };
  // elements on the ellipses keep their curved sides, the others are straight
  return { outline, mesh: finishMesh(outline, xy, Uint32Array.from(elements)) };
}

test("LE1: 92.7 MPa at D to 0.3 %, and the other corners to 0.5 % of it", () => {
  const { outline, mesh } = membrane(16, 10);
  const outer = outline.loops[0].filter((e) => e.name.startsWith("BC")).map((e) => e.name);
  const s = solveOn({
    outline,
    mesh,
    material: steel,
    thickness: 0.1,
    loads: [{ edges: outer, pressure: -10 }],
    supports: [
      { edges: ["DC"], v: 0 },
      { edges: ["AB"], u: 0 },
    ],
  });
  const published = referenceCase("le1/D").expected;
  const syyD = s.stress[3 * nodeAt(mesh, 2, 0) + 1];
  expect(Math.abs(syyD / published.syy_MPa_published - 1)).toBeLessThan(3e-3);
  expect(Math.abs(syyD / published.syy_MPa_computed - 1)).toBeLessThan(3e-3);
  const other = referenceCase("le1/others-computed").expected;
  const size = 92.7;
  const near = (value: number, wanted: number) => expect(Math.abs(value - wanted)).toBeLessThan(5e-3 * size);
  const [a, b, c] = [nodeAt(mesh, 0, 1), nodeAt(mesh, 0, 2.75), nodeAt(mesh, 3.25, 0)];
  near(s.stress[3 * c], other.C_sxx);
  near(s.stress[3 * c + 1], other.C_syy);
  near(s.stress[3 * a], other.A_sxx);
  near(s.stress[3 * b], other.B_sxx);
  near(s.stress[3 * b + 1], other.B_syy);
  const d = nodeAt(mesh, 2, 0);
  for (const [value, wanted] of [
    [s.solution.displacement[2 * d], other.u_D_m],
    [s.solution.displacement[2 * c], other.u_C_m],
    [s.solution.displacement[2 * a + 1], other.v_A_m],
    [s.solution.displacement[2 * b + 1], other.v_B_m],
  ]) {
    expect(Math.abs(value / wanted - 1)).toBeLessThan(1e-3);
  }
});
