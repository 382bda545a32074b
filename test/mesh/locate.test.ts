import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { buildLocator, type Mesh, meshOutline } from "../../src/mesh/index.ts";
import { annulusSector, disc, ell, plateWithHole } from "./outlines.ts";

/** The quadratic map, written out from the shape functions. */
function map(mesh: Mesh, e: number, xi: number, eta: number): [number, number] {
  const zeta = 1 - xi - eta;
  const n = [
    zeta * (2 * zeta - 1),
    xi * (2 * xi - 1),
    eta * (2 * eta - 1),
    4 * zeta * xi,
    4 * xi * eta,
    4 * eta * zeta,
  ];
  let x = 0;
  let y = 0;
  for (let k = 0; k < 6; k++) {
    x += n[k]! * mesh.xy[2 * mesh.elements[6 * e + k]!]!;
    y += n[k]! * mesh.xy[2 * mesh.elements[6 * e + k]! + 1]!;
  }
  return [x, y];
}

const meshes: [string, Mesh][] = [
  ["disc", meshOutline(disc, { size: () => 0.5 })],
  ["annulus sector", meshOutline(annulusSector(6), { size: () => 0.4 })],
  ["plate with a hole", meshOutline(plateWithHole(1), { size: () => 1 })],
  ["graded L", meshOutline(ell, { size: (x, y) => 1e-3 + 0.3 * Math.hypot(x - 1, y - 1) })],
];

describe.each(meshes)("a locator of the %s", (_name, mesh) => {
  const locate = buildLocator(mesh);
  const count = mesh.elements.length / 6;
  const out = new Float64Array(2);

  test("inverts the quadratic map in every element, from the tree and from any start", () => {
    fc.assert(
      fc.property(
        fc.nat(count - 1),
        fc.nat(count - 1),
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        (e, start, a, b) => {
          const xi = a * (1 - b);
          const eta = b * 0.999;
          const [x, y] = map(mesh, e, xi, eta);
          for (const found of [locate(x, y, out), locate(x, y, out, start), locate(x, y, out, e)]) {
            expect(found).toBe(e);
            expect(out[0]).toBeCloseTo(xi, 9);
            expect(out[1]).toBeCloseTo(eta, 9);
          }
        },
      ),
      { seed: 17, numRuns: 400 },
    );
  });

  test("finds corners and mid-sides in an element that owns them", () => {
    for (let i = 0; i < mesh.xy.length / 2; i++) {
      const x = mesh.xy[2 * i]!;
      const y = mesh.xy[2 * i + 1]!;
      const e = locate(x, y, out);
      expect(e).toBeGreaterThanOrEqual(0);
      expect([...mesh.elements.subarray(6 * e, 6 * e + 6)]).toContain(i);
    }
  });

  test("says -1 outside", () => {
    for (const [x, y] of [
      [30, 0],
      [-20, -20],
      [0, 6],
    ] as const) {
      expect(locate(x, y, out)).toBe(-1);
      expect(locate(x, y, out, 0)).toBe(-1);
    }
  });
});

describe("a locator", () => {
  test("does not look through a hole", () => {
    const mesh = meshOutline(plateWithHole(1), { size: () => 1 });
    const locate = buildLocator(mesh);
    const out = new Float64Array(2);
    expect(locate(0, 0, out)).toBe(-1);
    expect(locate(0.99, 0, out)).toBe(-1);
    expect(locate(1.01, 0, out)).toBeGreaterThanOrEqual(0);
  });

  test("gives points of the true curve the element under it, though parabolas miss them a little", () => {
    const mesh = meshOutline(disc, { size: () => 1 });
    const locate = buildLocator(mesh);
    const out = new Float64Array(2);
    for (let k = 0; k < 500; k++) {
      const a = (2 * Math.PI * k) / 500;
      const e = locate(Math.cos(a), Math.sin(a), out);
      expect(e).toBeGreaterThanOrEqual(0);
      const [x, y] = map(mesh, e, out[0]!, out[1]!);
      expect(Math.hypot(x - Math.cos(a), y - Math.sin(a))).toBeLessThan(1e-12);
    }
  });
});
