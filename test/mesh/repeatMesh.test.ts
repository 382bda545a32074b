import { describe, expect, test } from "vitest";
import { outlineEdges } from "../../src/geometry/index.ts";
import { checkMesh, meshOutline, repeatMesh } from "../../src/mesh/index.ts";
import { annulusSector, groovedStrip, square, wedge } from "./outlines.ts";

describe("repeatMesh", () => {
  test("makes a whole ring of a sector, sharing the cut's nodes", () => {
    for (const n of [2, 3, 12]) {
      const sector = annulusSector(n);
      const mesh = meshOutline(sector, { size: () => 0.2 });
      const ring = repeatMesh(mesh, sector, n);
      const quality = checkMesh(ring.mesh, ring.outline);
      expect(quality.nodes).toBe(n * (mesh.xy.length / 2 - mesh.tieLeader.length));
      expect(quality.elements).toBe((n * mesh.elements.length) / 6);
      expect(quality.areaError).toBeCloseTo(checkMesh(mesh, sector).areaError, 9);
      expect(ring.mesh.tieLeader.length).toBe(0);
      // Euler's formula for a ring: vertices − sides + triangles = 0
      const corners = new Set(ring.mesh.elements.filter((_, i) => i % 6 < 3)).size;
      expect(corners - (quality.nodes - corners) + quality.elements).toBe(0);
    }
  });

  test("makes a disc of wedges that meet in one node", () => {
    const sector = wedge((2 * Math.PI) / 8, true);
    const mesh = meshOutline(sector, { size: () => 0.3 });
    const whole = repeatMesh(mesh, sector, 8);
    const quality = checkMesh(whole.mesh, whole.outline);
    expect(quality.nodes).toBe(8 * (mesh.xy.length / 2 - mesh.tieLeader.length - 1) + 1);
    let atCentre = 0;
    for (let i = 0; i < quality.nodes; i++) {
      if (Math.hypot(whole.mesh.xy[2 * i]!, whole.mesh.xy[2 * i + 1]!) < 1e-9) atCentre++;
    }
    expect(atCentre).toBe(1);
  });

  test("keeps and ties the outer cuts of a strip, the grooves' halves joined", () => {
    const mesh = meshOutline(groovedStrip, { size: () => 0.2 });
    const strip = repeatMesh(mesh, groovedStrip, 5);
    const quality = checkMesh(strip.mesh, strip.outline);
    expect(quality.nodes).toBe(5 * (mesh.xy.length / 2) - 4 * mesh.tieLeader.length);
    expect(strip.mesh.tieLeader.length).toBe(mesh.tieLeader.length);
    for (let k = 0; k < strip.mesh.tieLeader.length; k++) {
      const lead = 2 * strip.mesh.tieLeader[k]!;
      const follow = 2 * strip.mesh.tieFollower[k]!;
      expect(strip.mesh.xy[follow]).toBe(strip.mesh.xy[lead]! + 10);
      expect(strip.mesh.xy[follow + 1]).toBe(strip.mesh.xy[lead + 1]);
    }
  });

  test("leaves one copy of a strip as it is", () => {
    const mesh = meshOutline(groovedStrip, { size: () => 0.3 });
    const one = repeatMesh(mesh, groovedStrip, 1);
    expect(checkMesh(one.mesh, one.outline).nodes).toBe(mesh.xy.length / 2);
  });

  test("lists boundary sides edge by edge in the ring's outline", () => {
    const sector = annulusSector(6);
    const { mesh, outline } = repeatMesh(meshOutline(sector, { size: () => 0.3 }), sector, 6);
    expect([...new Set(mesh.sideEdge)]).toEqual(outlineEdges(outline).map((_, k) => k));
  });

  test("refuses an outline without a tie", () => {
    const mesh = meshOutline(square, { size: () => 0.5 });
    expect(() => repeatMesh(mesh, square, 4)).toThrow(/has one tie, this outline has 0/);
  });
});
