import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { arc, line, movePoint, type Outline, outlineEdges } from "../../src/geometry/index.ts";
import { checkMesh, type Mesh, meshOutline, outlineSize } from "../../src/mesh/index.ts";
import {
  annulus,
  annulusSector,
  disc,
  edge,
  ell,
  groovedStrip,
  plateWithHole,
  polygon,
  square,
  star,
  wedge,
} from "./outlines.ts";

const DEGREE = Math.PI / 180;
const evenly = (h: number) => () => h;

const shapes: [string, Outline][] = [
  ["square", square],
  ["disc", disc],
  ["annulus", annulus],
  ["annulus sector with tied cuts", annulusSector(12)],
  ["plate with a hole", plateWithHole(1)],
  ["plate with a hole close to its edges", plateWithHole(4.95)],
  ["L", ell],
  ["30° wedge", wedge(30 * DEGREE)],
  ["grooved strip", groovedStrip],
];

describe.each(shapes)("a mesh of the %s", (_name, outline) => {
  test.each([10, 0.5, 0.11])("passes every check with elements of %d mm", (h) => {
    const quality = checkMesh(meshOutline(outline, { size: evenly(h) }), outline);
    expect(quality.minJacobian).toBeGreaterThan(0.2);
    expect(quality.minAngle).toBeGreaterThan(20);
  });
});

describe("the sides of a mesh", () => {
  // an equilateral triangle of side h has the area √3/4 h²
  test.each([0.1, 0.05, 0.025])("fill the L with about area over √3/4 h² elements, h = %d mm", (h) => {
    const { elements } = checkMesh(meshOutline(ell, { size: evenly(h) }), ell);
    const expected = 3 / ((Math.sqrt(3) / 4) * h * h);
    expect(elements / expected).toBeGreaterThan(0.85);
    expect(elements / expected).toBeLessThan(1.25);
  });

  test("follow a graded size field down to a ten-thousandth of the part", () => {
    const size = (x: number, y: number) => Math.min(0.2, 1e-4 + 0.3 * Math.hypot(x - 1, y - 1));
    const mesh = meshOutline(ell, { size });
    const quality = checkMesh(mesh, ell);
    expect(quality.minAngle).toBeGreaterThan(25);
    // number of ideal triangles in the field: ∫ dA / (√3/4 h²), by the mesh's own corners
    let ideal = 0;
    let shortest = Infinity;
    let longestShare = 0;
    for (let e = 0; e < quality.elements; e++) {
      const [ax, ay, bx, by, cx, cy] = corners(mesh, e);
      const area = ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2;
      const h = size((ax + bx + cx) / 3, (ay + by + cy) / 3);
      ideal += area / ((Math.sqrt(3) / 4) * h * h);
      for (const d of [
        Math.hypot(bx - ax, by - ay),
        Math.hypot(cx - bx, cy - by),
        Math.hypot(ax - cx, ay - cy),
      ]) {
        shortest = Math.min(shortest, d);
        longestShare = Math.max(longestShare, d / h);
      }
    }
    expect(quality.elements / ideal).toBeGreaterThan(0.85);
    expect(quality.elements / ideal).toBeLessThan(1.3);
    expect(shortest).toBeLessThan(1.3e-4);
    expect(longestShare).toBeLessThan(2.2);
  });

  test.each([
    [0.1, 0.2],
    [0.25, 0.5],
    [0.3, 0.6],
  ])(
    "do not overlook a spot of radius %d mm that no boundary node is near, size %d mm outside",
    (radius, h) => {
      const size = (x: number, y: number) => (Math.hypot(x - 0.5, y - 0.5) < radius ? 0.01 : h);
      const { elements } = checkMesh(meshOutline(square, { size }), square);
      // the spot alone has room for π r² over √3/4 0.01² elements
      expect(elements).toBeGreaterThan((Math.PI * radius ** 2) / ((Math.sqrt(3) / 4) * 1e-4));
    },
  );

  test("turn by no more than asked, whatever the size", () => {
    const mesh = meshOutline(disc, { size: evenly(100), turnPerSide: 0.2 });
    checkMesh(mesh, disc);
    for (let b = 0; b < mesh.sideEdge.length; b++) {
      expect((mesh.sideU[2 * b + 1]! - mesh.sideU[2 * b]!) * 2 * Math.PI).toBeLessThanOrEqual(0.2);
    }
  });

  test("close in on a disc's area with the fourth power of the side's turn", () => {
    // parabola against arc: 2/3 chord × rise misses the segment by R² θ⁵/960 (series), so the disc by θ⁴/480
    for (const n of [20, 40, 80]) {
      const turn = (2 * Math.PI) / n;
      const mesh = meshOutline(disc, { size: evenly(100), turnPerSide: turn });
      expect(mesh.sideEdge.length).toBe(n);
      const { areaError } = checkMesh(mesh, disc);
      expect(areaError / (turn ** 4 / 480)).toBeCloseTo(-1, 1);
    }
  });

  test("have a node at every corner of the outline and are numbered along it", () => {
    const mesh = meshOutline(groovedStrip, { size: evenly(0.3) });
    checkMesh(mesh, groovedStrip);
    const edges = outlineEdges(groovedStrip);
    expect([...new Set(mesh.sideEdge)]).toEqual(edges.map((_, k) => k));
  });
});

describe("tied edges", () => {
  test.each([
    ["a turned sector", annulusSector(12)],
    ["a shifted strip", groovedStrip],
    ["a wedge whose tip is its own image", wedge(36 * DEGREE, true)],
  ])("of %s match node for node, to the last bit", (_name, outline) => {
    const size = (x: number, y: number) => 0.02 + 0.2 * Math.hypot(x - 1.4, y + 0.6);
    const mesh = meshOutline(outline, { size });
    checkMesh(mesh, outline);
    const p = new Float64Array(2);
    expect(mesh.tieLeader.length).toBeGreaterThan(6);
    for (let k = 0; k < mesh.tieLeader.length; k++) {
      const lead = 2 * mesh.tieLeader[k]!;
      const follow = 2 * mesh.tieFollower[k]!;
      movePoint(outline.ties![0]!.motion, mesh.xy[lead]!, mesh.xy[lead + 1]!, p);
      expect(mesh.xy[follow]).toBe(p[0]);
      expect(mesh.xy[follow + 1]).toBe(p[1]);
    }
  });
});

describe("sharp tips", () => {
  test.each([5, 15, 30, 50])(
    "of %d° are meshed with their own angle and no endless refinement",
    (degrees) => {
      for (const h of [1, 0.02]) {
        const outline = wedge(degrees * DEGREE);
        const quality = checkMesh(meshOutline(outline, { size: evenly(h) }), outline);
        // the chord of the last curved side takes a little off the tip's angle
        expect(quality.minAngle).toBeGreaterThan(Math.min(20, 0.7 * degrees));
        expect(quality.elements).toBeLessThan(
          3 * (60 + (degrees * DEGREE) / 2 / ((Math.sqrt(3) / 4) * h * h)),
        );
      }
    },
  );

  test("between two arcs that leave a lens are meshed too", () => {
    // two circles of radius 1, centres 1.6 apart: corners of 2 acos(0.8) = 73.7°
    const half = Math.acos(0.8);
    const lens: Outline = {
      loops: [
        [
          edge("right", arc(0, 0, 1, -half, half)),
          edge("left", arc(1.6, 0, 1, Math.PI - half, Math.PI + half)),
        ],
      ],
    };
    const quality = checkMesh(meshOutline(lens, { size: evenly(0.05) }), lens);
    expect(quality.minAngle).toBeGreaterThan(20);
  });

  test("under 2° are refused", () => {
    expect(() => meshOutline(wedge(DEGREE), { size: evenly(1) })).toThrow(/"lead".*1\.00°, too sharp/);
  });
});

describe("random star-shaped outlines of lines and arcs", () => {
  const corner = fc.record({
    gap: fc.double({ min: 0.4, max: 1, noNaN: true }),
    radius: fc.double({ min: 0.3, max: 1, noNaN: true }),
    bulge: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
  });
  const drawn = fc.record({
    corners: fc.array(corner, { minLength: 3, maxLength: 9 }),
    size: fc.double({ min: 0.08, max: 1, noNaN: true }),
    focus: fc.nat(8),
  });
  const outlineOf = (corners: readonly { gap: number; radius: number; bulge: number }[]) => {
    const sum = corners.reduce((s, c) => s + c.gap, 0);
    let turn = 0;
    const turns = corners.map((c) => {
      turn += c.gap / sum;
      return turn;
    });
    return star(
      turns,
      corners.map((c) => c.radius),
      corners.map((c) => c.bulge),
    );
  };
  const sharpest = (outline: Outline) => {
    // angle of material at each corner from the curves themselves
    let least = Math.PI;
    const loop = outline.loops[0]!;
    for (let k = 0; k < loop.length; k++) {
      const [ux, uy] = direction(loop[k]!.curve, true);
      const [vx, vy] = direction(loop[(k + 1) % loop.length]!.curve, false);
      least = Math.min(least, Math.PI - Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
    }
    return least / DEGREE;
  };

  test("are meshed soundly whatever the size", () => {
    fc.assert(
      fc.property(drawn, ({ corners, size }) => {
        const outline = outlineOf(corners);
        const sharp = sharpest(outline);
        fc.pre(sharp > 5);
        const quality = checkMesh(meshOutline(outline, { size: evenly(size) }), outline);
        expect(quality.minJacobian).toBeGreaterThan(0.1);
        expect(quality.minAngle).toBeGreaterThan(Math.min(18, 0.4 * sharp));
      }),
      { seed: 20_260, numRuns: 200 },
    );
  });

  test("are meshed soundly by their own size field with a hot spot at a corner", () => {
    fc.assert(
      fc.property(drawn, ({ corners, size, focus }) => {
        const outline = outlineOf(corners);
        fc.pre(sharpest(outline) > 5);
        const c = corners[focus % corners.length]!;
        const sum = corners.reduce((s, k) => s + k.gap, 0);
        const turn = corners.slice(0, (focus % corners.length) + 1).reduce((s, k) => s + k.gap, 0) / sum;
        const field = outlineSize(outline, {
          base: size,
          sources: [
            {
              x: c.radius * Math.cos(2 * Math.PI * turn),
              y: c.radius * Math.sin(2 * Math.PI * turn),
              size: 1e-3,
            },
          ],
        });
        const quality = checkMesh(meshOutline(outline, { size: field }), outline);
        expect(quality.minJacobian).toBeGreaterThan(0.1);
      }),
      { seed: 4711, numRuns: 60 },
    );
  });
});

describe("the mesher", () => {
  test("gives the same mesh for the same outline, bit for bit", () => {
    const make = () => meshOutline(plateWithHole(1), { size: outlineSize(plateWithHole(1), { base: 0.7 }) });
    expect(make()).toEqual(make());
  });

  test("refuses more nodes than allowed", () => {
    expect(() => meshOutline(square, { size: evenly(0.01), maxNodes: 5000 })).toThrow(/more than 5000 nodes/);
    for (const maxNodes of [Number.NaN, 0, -1])
      expect(() => meshOutline(square, { size: evenly(1), maxNodes })).toThrow(
        /limit of nodes must be positive/,
      );
  });

  test("refuses a loop that has the material on its right", () => {
    const turned = polygon([
      [0, 0],
      [0, 1],
      [1, 1],
      [1, 0],
    ]);
    expect(() => meshOutline({ loops: [turned] }, { size: evenly(0.3) })).toThrow(/material on their left/);
  });

  test("refuses an outline that crosses itself, naming the edges", () => {
    const bow = polygon([
      [0, 0],
      [3, 0],
      [1, 2],
      [2, 2],
      [0.5, -1],
    ]);
    expect(() => meshOutline({ loops: [bow] }, { size: evenly(0.5) })).toThrow(
      /crosses or touches itself near "a/,
    );
  });

  test("refuses an outline that touches itself at a corner", () => {
    const pinched = polygon([
      [0, 0],
      [1, 0],
      [1, 1],
      [2, 1],
      [2, 2],
      [1, 2],
      [1, 1],
      [0, 1],
    ]);
    expect(() => meshOutline({ loops: [pinched] }, { size: evenly(0.5) })).toThrow(
      /touches itself at \(1, 1\)/,
    );
  });

  test("refuses a size field without a positive value", () => {
    expect(() => meshOutline(square, { size: evenly(0) })).toThrow(/size field gives 0 mm/);
    expect(() => meshOutline(square, { size: () => Number.NaN })).toThrow(/size field gives NaN mm/);
  });

  test("meshes a slot far thinner than the elements beside it", () => {
    const slot: Outline = {
      loops: [
        polygon([
          [0, 0],
          [4, 0],
          [4, 2],
          [2.001, 2],
          [2.001, 1],
          [2, 1],
          [2, 2],
          [0, 2],
        ]),
      ],
    };
    const quality = checkMesh(meshOutline(slot, { size: evenly(0.5) }), slot);
    expect(quality.minAngle).toBeGreaterThan(20);
    expect(quality.elements).toBeLessThan(600);
  });

  test("meshes a thin web between two holes", () => {
    const webs: Outline = {
      loops: [
        polygon([
          [-3, -2],
          [3, -2],
          [3, 2],
          [-3, 2],
        ]),
        [edge("left hole", arc(-1.01, 0, 1, 2 * Math.PI, 0))],
        [edge("right hole", arc(1.01, 0, 1, 2 * Math.PI, 0))],
      ],
    };
    const quality = checkMesh(meshOutline(webs, { size: evenly(1) }), webs);
    expect(quality.minAngle).toBeGreaterThan(18);
  });

  test("needs no more than a nudge where a line runs into an arc smoothly", () => {
    const slotted: Outline = {
      loops: [
        [
          edge("bottom", line(0, 0, 3, 0)),
          edge("right", arc(3, 0.5, 0.5, -Math.PI / 2, Math.PI / 2)),
          edge("top", line(3, 1, 0, 1)),
          edge("left", arc(0, 0.5, 0.5, Math.PI / 2, 1.5 * Math.PI)),
        ],
      ],
    };
    const quality = checkMesh(meshOutline(slotted, { size: evenly(0.25) }), slotted);
    expect(quality.minAngle).toBeGreaterThan(28);
  });
});

function corners(mesh: Mesh, e: number): [number, number, number, number, number, number] {
  const at = (k: number) => 2 * mesh.elements[6 * e + k]!;
  return [
    mesh.xy[at(0)]!,
    mesh.xy[at(0) + 1]!,
    mesh.xy[at(1)]!,
    mesh.xy[at(1) + 1]!,
    mesh.xy[at(2)]!,
    mesh.xy[at(2) + 1]!,
  ];
}

/** Direction of travel at the end or start of a line or arc. */
function direction(c: Outline["loops"][0][0]["curve"], end: boolean): [number, number] {
  if (c.kind === "line") return [c.x1 - c.x0, c.y1 - c.y0];
  if (c.kind !== "arc") throw new Error("no involutes here");
  const a = end ? c.end : c.start;
  const way = Math.sign(c.end - c.start);
  return [-way * Math.sin(a), way * Math.cos(a)];
}
