import { describe, expect, test } from "vitest";
import type { Outline } from "../../src/geometry/index.ts";
import { line } from "../../src/geometry/index.ts";
import { checkMesh, elementArea, jacobianRatio, type Mesh, meshOutline } from "../../src/mesh/index.ts";
import { annulusSector, disc, edge, plateWithHole, square } from "./outlines.ts";

const sector = annulusSector(10);
const sound = meshOutline(sector, { size: () => 0.25 });

/** A copy of the sound mesh that a test may spoil. */
function spoiled(change: (mesh: { -readonly [K in keyof Mesh]: Mesh[K] }) => void): Mesh {
  const copy = structuredClone(sound) as { -readonly [K in keyof Mesh]: Mesh[K] };
  change(copy);
  return copy;
}

function boundaryNodes(mesh: Mesh): Set<number> {
  const nodes = new Set<number>();
  for (let b = 0; b < mesh.sideElement.length; b++) {
    const e = 6 * mesh.sideElement[b]!;
    const k = mesh.sideLocal[b]!;
    nodes.add(mesh.elements[e + k]!);
    nodes.add(mesh.elements[e + 3 + k]!);
    nodes.add(mesh.elements[e + ((k + 1) % 3)]!);
  }
  return nodes;
}

describe("checkMesh", () => {
  test("passes a sound mesh and counts it", () => {
    const quality = checkMesh(sound, sector);
    expect(quality.nodes).toBe(sound.xy.length / 2);
    expect(quality.elements).toBe(sound.elements.length / 6);
    // Euler's formula for a disc: vertices − sides + triangles = 1, a node on each vertex and side
    const corners = new Set(sound.elements.filter((_, i) => i % 6 < 3)).size;
    expect(corners - (quality.nodes - corners) + quality.elements).toBe(1);
    expect(Math.abs(quality.areaError)).toBeLessThan(1e-4);
  });

  test("measures the smallest angle of a known mesh", () => {
    // two right triangles: 45°
    const quality = checkMesh(meshOutline(square, { size: () => 10, minAngle: 0 }), square);
    expect(quality.minAngle).toBeGreaterThan(0);
    const right: Outline = {
      loops: [
        [
          edge("a", line(0, 0, 1, 0)),
          edge("b", line(1, 0, 0, Math.sqrt(3))),
          edge("c", line(0, Math.sqrt(3), 0, 0)),
        ],
      ],
    };
    const mesh = meshOutline(right, { size: () => 10 });
    expect(checkMesh(mesh, right).minAngle).toBeCloseTo(30, 9);
  });

  test("finds an element turned inside out", () => {
    const inner = sound.elements.find((node, i) => i % 6 < 3 && !boundaryNodes(sound).has(node))!;
    const bad = spoiled((m) => {
      m.xy[2 * inner] = m.xy[2 * inner]! + 0.5;
    });
    expect(() => checkMesh(bad, sector)).toThrow(/element \d+ at \(.*\) turns inside out/);
  });

  test("finds a mid-side node that folds a corner although all corners are in order", () => {
    const bad = spoiled((m) => {
      const a = m.elements[0]!;
      const b = m.elements[1]!;
      const mid = m.elements[3]!;
      m.xy[2 * mid] = 0.9 * m.xy[2 * b]! + 0.1 * m.xy[2 * a]!;
      m.xy[2 * mid + 1] = 0.9 * m.xy[2 * b + 1]! + 0.1 * m.xy[2 * a + 1]!;
    });
    expect(() => checkMesh(bad, sector)).toThrow(/turns inside out/);
  });

  test("finds a boundary node off its curve by a millionth", () => {
    const side = sound.sideEdge.indexOf(1); // the outer arc
    const mid = sound.elements[6 * sound.sideElement[side]! + 3 + sound.sideLocal[side]!]!;
    const bad = spoiled((m) => {
      m.xy[2 * mid] = m.xy[2 * mid]! * (1 - 1e-6);
    });
    expect(() => checkMesh(bad, sector)).toThrow(/off edge "outer"/);
  });

  test("finds straight chords passed off as an arc", () => {
    const bad = spoiled((m) => {
      for (let b = 0; b < m.sideElement.length; b++) {
        const e = 6 * m.sideElement[b]!;
        const k = m.sideLocal[b]!;
        const p = 2 * m.elements[e + k]!;
        const q = 2 * m.elements[e + ((k + 1) % 3)]!;
        const mid = 2 * m.elements[e + 3 + k]!;
        m.xy[mid] = (m.xy[p]! + m.xy[q]!) / 2;
        m.xy[mid + 1] = (m.xy[p + 1]! + m.xy[q + 1]!) / 2;
      }
    });
    expect(() => checkMesh(bad, sector)).toThrow(/off edge/);
  });

  test("finds a boundary side left out, and one listed twice", () => {
    const drop = spoiled((m) => {
      m.sideElement = m.sideElement.slice(1);
      m.sideLocal = m.sideLocal.slice(1);
      m.sideEdge = m.sideEdge.slice(1);
      m.sideU = m.sideU.slice(2);
    });
    expect(() => checkMesh(drop, sector)).toThrow(/has nothing across it/);
    const twice = spoiled((m) => {
      m.sideElement[1] = m.sideElement[0]!;
      m.sideLocal[1] = m.sideLocal[0]!;
    });
    expect(() => checkMesh(twice, sector)).toThrow(/listed twice/);
  });

  test("finds neighbours that do not know each other", () => {
    const bad = spoiled((m) => {
      const h = m.neighbours.findIndex((n) => n >= 0);
      m.neighbours[h] = (m.neighbours[h]! + 7) % (m.elements.length / 6);
    });
    expect(() => checkMesh(bad, sector)).toThrow(/do not share their side/);
  });

  test("finds a crack: two nodes at one place", () => {
    const bad = spoiled((m) => {
      const h = m.neighbours.findIndex((n) => n >= 0);
      const at = 6 * Math.floor(h / 3) + 3 + (h % 3);
      const old = m.elements[at]!;
      m.xy = Float64Array.from([...m.xy, m.xy[2 * old]!, m.xy[2 * old + 1]!]);
      m.elements[at] = m.xy.length / 2 - 1;
    });
    expect(() => checkMesh(bad, sector)).toThrow(/do not share their side/);
  });

  test("finds a tied node without its image, tied twice, or off its image", () => {
    const untied = spoiled((m) => {
      m.tieLeader = m.tieLeader.slice(1);
      m.tieFollower = m.tieFollower.slice(1);
      m.tieIndex = m.tieIndex.slice(1);
    });
    expect(() => checkMesh(untied, sector)).toThrow(/on a tied edge has no image/);
    const crossed = spoiled((m) => {
      [m.tieFollower[0], m.tieFollower[1]] = [m.tieFollower[1]!, m.tieFollower[0]!];
    });
    expect(() => checkMesh(crossed, sector)).toThrow(/off the image of node/);
    const twice = spoiled((m) => {
      m.tieLeader[1] = m.tieLeader[0]!;
      m.tieFollower[1] = m.tieFollower[0]!;
    });
    expect(() => checkMesh(twice, sector)).toThrow(/tied twice/);
  });

  test("finds a mesh that belongs to another outline", () => {
    expect(() => checkMesh(sound, annulusSector(11))).toThrow(/off edge/);
    const holed = meshOutline(plateWithHole(1), { size: () => 2 });
    expect(() => checkMesh(holed, plateWithHole(1.001))).toThrow(/off edge "hole"/);
  });
});

describe("elementArea and jacobianRatio", () => {
  const one = (xy: number[]): Mesh => ({
    ...sound,
    xy: Float64Array.from(xy),
    elements: Uint32Array.from([0, 1, 2, 3, 4, 5]),
  });

  test("are half base times height and 1 for straight sides", () => {
    const mesh = one([0, 0, 4, 0, 0, 3, 2, 0, 2, 1.5, 0, 1.5]);
    expect(elementArea(mesh, 0)).toBeCloseTo(6, 14);
    expect(jacobianRatio(mesh, 0)).toBeCloseTo(1, 14);
  });

  test("gain two thirds of chord times rise when a side bulges (Archimedes' parabola segment)", () => {
    const mesh = one([0, 0, 4, 0, 0, 3, 2, -0.3, 2, 1.5, 0, 1.5]);
    expect(elementArea(mesh, 0)).toBeCloseTo(6 + (2 / 3) * 4 * 0.3, 14);
  });

  test("vanish where a mid-side node reaches the quarter point (the classical quarter-point singularity)", () => {
    const mesh = one([0, 0, 1, 0, 0, 1, 0.25, 0, 0.5, 0.5, 0, 0.25]);
    expect(jacobianRatio(mesh, 0)).toBeCloseTo(0, 14);
  });

  test("bound the Jacobian of disc elements from below at any point", () => {
    const mesh = meshOutline(disc, { size: () => 0.4 });
    for (let e = 0; e < mesh.elements.length / 6; e++) {
      const ratio = jacobianRatio(mesh, e);
      const mean = 2 * elementArea(mesh, e);
      for (const [xi, eta] of [
        [0, 0],
        [1, 0],
        [0, 1],
        [0.5, 0],
        [0.5, 0.5],
        [0, 0.5],
        [1 / 3, 1 / 3],
      ] as const) {
        expect(determinant(mesh, e, xi, eta) / mean).toBeGreaterThanOrEqual(ratio - 1e-12);
      }
    }
  });
});

/** Jacobian determinant by central differences of the shape functions written out. */
function determinant(mesh: Mesh, e: number, xi: number, eta: number): number {
  const at = (a: number, b: number) => {
    const c = 1 - a - b;
    const n = [c * (2 * c - 1), a * (2 * a - 1), b * (2 * b - 1), 4 * c * a, 4 * a * b, 4 * b * c];
    let x = 0;
    let y = 0;
    for (let k = 0; k < 6; k++) {
      x += n[k]! * mesh.xy[2 * mesh.elements[6 * e + k]!]!;
      y += n[k]! * mesh.xy[2 * mesh.elements[6 * e + k]! + 1]!;
    }
    return [x, y] as const;
  };
  // central differences are exact for quadratics
  const d = 0.25;
  const [x1, y1] = at(xi + d, eta);
  const [x0, y0] = at(xi - d, eta);
  const [x3, y3] = at(xi, eta + d);
  const [x2, y2] = at(xi, eta - d);
  return ((x1 - x0) * (y3 - y2) - (y1 - y0) * (x3 - x2)) / (4 * d * d);
}
