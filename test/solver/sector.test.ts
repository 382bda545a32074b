import { expect, test } from "vitest";
import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize, repeatMesh } from "../../src/mesh/index.ts";
import { distance, largest, nodeAt, solveOn, steel } from "./solved.ts";

test("one tied sector of a toothed ring, meshed freely, says what the whole ring says, stresses at the cut included", () => {
  const teeth = 8;
  const turn = (2 * Math.PI) / teeth;
  const at = (r: number, a: number): [number, number] => [r * Math.cos(a), r * Math.sin(a)];
  const outline: Outline = {
    loops: [
      [
        { name: "start", zone: "cut", curve: line(...at(10, -turn / 2), ...at(16, -turn / 2)) },
        { name: "land1", zone: "root", curve: arc(0, 0, 16, -turn / 2, -turn / 6) },
        { name: "pressed", zone: "flank", curve: line(...at(16, -turn / 6), ...at(19, -turn / 8)) },
        { name: "tip", zone: "tip", curve: arc(0, 0, 19, -turn / 8, turn / 8) },
        { name: "clear", zone: "flank", curve: line(...at(19, turn / 8), ...at(16, turn / 6)) },
        { name: "land2", zone: "root", curve: arc(0, 0, 16, turn / 6, turn / 2) },
        { name: "end", zone: "cut", curve: line(...at(16, turn / 2), ...at(10, turn / 2)) },
        { name: "bore", zone: "bore", curve: arc(0, 0, 10, turn / 2, -turn / 2) },
      ],
    ],
    ties: [{ leader: ["start"], follower: ["end"], motion: { angle: turn, dx: 0, dy: 0 } }],
  };
  const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 1.5 }) });
  const one = solveOn({
    outline,
    mesh,
    material: steel,
    thickness: 4,
    loads: [{ edges: ["pressed"], pressure: 50 }],
    supports: [{ edges: ["bore"], u: 0, v: 0 }],
  });
  const ring = repeatMesh(mesh, outline, teeth);
  const names = ring.outline.loops.flat().map((e) => e.name);
  const all = solveOn({
    outline: ring.outline,
    mesh: ring.mesh,
    material: steel,
    thickness: 4,
    loads: [{ edges: names.filter((n) => n.startsWith("pressed")), pressure: 50 }],
    supports: [{ edges: names.filter((n) => n.startsWith("bore")), u: 0, v: 0 }],
  });
  const u = new Float64Array(one.solution.displacement.length);
  const s = new Float64Array(one.stress.length);
  for (let i = 0; i < u.length / 2; i++) {
    const k = nodeAt(ring.mesh, mesh.xy[2 * i], mesh.xy[2 * i + 1]);
    u.set(all.solution.displacement.subarray(2 * k, 2 * k + 2), 2 * i);
    s.set(all.stress.subarray(3 * k, 3 * k + 3), 3 * i);
  }
  expect(distance(u, one.solution.displacement)).toBeLessThan(1e-11 * largest(u));
  expect(distance(s, one.stress)).toBeLessThan(1e-10 * largest(s));
});
