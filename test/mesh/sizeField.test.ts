import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { arc, line, type Outline, outlineEdges } from "../../src/geometry/index.ts";
import { checkMesh, meshOutline, minSize, nodalSize, outlineSize } from "../../src/mesh/index.ts";
import { disc, edge, ell, plateWithHole, polygon, square } from "./outlines.ts";

describe("outlineSize", () => {
  const inside = fc.record({
    x: fc.double({ min: -4.9, max: 4.9, noNaN: true }),
    y: fc.double({ min: -4.9, max: 4.9, noNaN: true }),
    angle: fc.double({ min: 0, max: 7, noNaN: true }),
    step: fc.double({ min: 0.01, max: 2, noNaN: true }),
  });

  test("is the base size far from everything and the source's size at a source", () => {
    const field = outlineSize(square, { base: 0.1, sources: [{ x: 1, y: 1, size: 1e-4 }] });
    expect(field(0.2, 0.2)).toBe(0.1);
    expect(field(1, 1)).toBeCloseTo(1e-4, 6);
    expect(field(50, -50)).toBe(0.1);
  });

  test("keeps a source's size out to its radius", () => {
    const field = outlineSize(square, {
      base: 0.5,
      gradation: 0.2,
      sources: [{ x: 0.5, y: 0.5, size: 0.01, radius: 0.1 }],
    });
    expect(field(0.56, 0.56)).toBeCloseTo(0.01, 4);
    // 0.01 + 0.2 (0.4 − 0.1)
    expect(field(0.9, 0.5)).toBeCloseTo(0.07, 2);
  });

  test("grows by no more than the gradation, and equals the least cone within a few per cent", () => {
    const sources = [
      { x: 5, y: 5, size: 0.001 },
      { x: -3, y: 1, size: 0.02, radius: 0.5 },
      { x: 0, y: -2, size: 0.1 },
    ];
    const field = outlineSize(square, { base: 1, gradation: 0.25, across: 0, sources });
    const exact = (x: number, y: number) =>
      Math.min(
        1,
        ...sources.map((s) => s.size + 0.25 * Math.max(0, Math.hypot(x - s.x, y - s.y) - (s.radius ?? 0))),
      );
    fc.assert(
      fc.property(inside, ({ x, y, angle, step }) => {
        // bilinear between the corners of a cell no larger than the size in it
        expect(field(x, y) / exact(x, y)).toBeGreaterThan(0.97);
        expect(field(x, y) / exact(x, y)).toBeLessThan(1.12);
        const other = field(x + step * Math.cos(angle), y + step * Math.sin(angle));
        expect(Math.abs(other - field(x, y))).toBeLessThan(0.25 * step + 0.12 * (other + field(x, y)));
      }),
      { seed: 99, numRuns: 500 },
    );
  });

  test("puts the asked number of sides on 45° of a concave arc", () => {
    for (const concaveSides of [3, 4, 8]) {
      const outline = plateWithHole(0.5);
      const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 2, concaveSides }) });
      checkMesh(mesh, outline);
      const onHole = mesh.sideEdge.filter((e) => e === 4).length;
      expect(onHole / (8 * concaveSides)).toBeGreaterThan(0.85);
      expect(onHole / (8 * concaveSides)).toBeLessThan(1.2);
    }
  });

  test("asks for finer sides on a concave arc than on a convex one", () => {
    const round = outlineSize(disc, { base: 2, across: 0 });
    const hole = outlineSize(plateWithHole(1), { base: 2, across: 0 });
    expect(round(1, 0) / hole(1, 0)).toBeCloseTo(2, 9);
  });

  test("leaves at least two elements across a thin place", () => {
    const bar = polygon([
      [0, 0],
      [10, 0],
      [10, 0.2],
      [0, 0.2],
    ]);
    const outline: Outline = { loops: [bar] };
    const field = outlineSize(outline, { base: 2 });
    expect(field(5, 0.1)).toBeLessThan(0.12);
    const mesh = meshOutline(outline, { size: field });
    checkMesh(mesh, outline);
    // no element reaches from one long edge to the other with a single side
    for (let e = 0; e < mesh.elements.length / 6; e++) {
      for (let k = 0; k < 3; k++) {
        const a = 2 * mesh.elements[6 * e + k]!;
        const b = 2 * mesh.elements[6 * e + ((k + 1) % 3)]!;
        const middle = Math.abs((mesh.xy[a]! + mesh.xy[b]!) / 2 - 5) < 4.8;
        if (middle) expect(Math.abs(mesh.xy[a + 1]! - mesh.xy[b + 1]!)).toBeLessThan(0.19);
      }
    }
  });

  test("does not take a sharp tip for a thin place", () => {
    const tip: Outline = {
      loops: [
        polygon([
          [0, 0],
          [10, 0],
          [10, 4],
        ]),
      ],
    };
    const { elements } = checkMesh(meshOutline(tip, { size: outlineSize(tip, { base: 1 }) }), tip);
    expect(elements).toBeLessThan(120);
  });

  test("follows a hole down to its radius, however small beside the part", () => {
    const sides = (radius: number) => {
      const outline = plateWithHole(radius);
      const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 1 }) });
      const edges = outlineEdges(outline);
      return mesh.sideEdge.filter((e) => edges[e]!.curve.kind === "arc").length;
    };
    expect(sides(1e-5)).toBe(sides(1e-2));
  });

  test("takes the caller's word on an edge", () => {
    const field = outlineSize(ell, { base: 0.5, edgeSize: (e) => (e.name === "a0" ? 0.02 : undefined) });
    expect(field(1, 0)).toBeCloseTo(0.02, 3);
    expect(field(0.3, 1.9)).toBeGreaterThan(0.2);
    expect(() => outlineSize(ell, { base: 0.5, edgeSize: () => -1 })).toThrow(
      /edgeSize gives -1 mm for edge "a0"/,
    );
  });

  test("does not vanish at an involute's base circle, where the radius of curvature does", () => {
    const flank: Outline = {
      loops: [
        [
          edge("flank", {
            kind: "involute",
            cx: 0,
            cy: 0,
            baseRadius: 10,
            origin: 0,
            hand: 1,
            start: 0,
            end: 0.6,
          }),
          ...closing(),
        ],
      ],
    };
    const { elements, minAngle } = checkMesh(
      meshOutline(flank, { size: outlineSize(flank, { base: 1 }) }),
      flank,
    );
    expect(elements).toBeLessThan(400);
    expect(minAngle).toBeGreaterThan(20);
  });

  test("refuses sizes that are not positive", () => {
    expect(() => outlineSize(square, { base: 0 })).toThrow(/base must be positive, not 0/);
    expect(() => outlineSize(square, { base: 1, sources: [{ x: 0, y: 0, size: 0 }] })).toThrow(/size 0 mm/);
  });
});

/** From the involute's end back to its start round a block of material on its left. */
function closing() {
  const t = 0.6;
  const r = 10 * Math.sqrt(1 + t * t);
  const a = t - Math.atan(t);
  const x = r * Math.cos(a);
  const y = r * Math.sin(a);
  return [
    edge("top", line(x, y, x, y + 3)),
    edge("back", line(x, y + 3, 10, y + 3)),
    edge("side", line(10, y + 3, 10, 0)),
  ];
}

describe("minSize", () => {
  test("is the least of its fields everywhere", () => {
    const f = (x: number) => 1 + x;
    const g = () => 2;
    const h = (_x: number, y: number) => y;
    expect(minSize(f)(3, 0)).toBe(4);
    expect(minSize(f, g)(0.5, 0)).toBe(1.5);
    expect(minSize(f, g)(3, 0)).toBe(2);
    expect(minSize(f, g, h)(3, 0.25)).toBe(0.25);
  });
});

describe("nodalSize", () => {
  const outline = plateWithHole(1);
  const mesh = meshOutline(outline, { size: () => 0.8 });
  const at = (f: (x: number, y: number) => number) => {
    const values = new Float64Array(mesh.xy.length / 2);
    for (let i = 0; i < values.length; i++) values[i] = f(mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!);
    return values;
  };

  test("gives back a linear field on straight elements", () => {
    const f = (x: number, y: number) => 3 + 0.1 * x - 0.2 * y;
    const field = nodalSize(mesh, at(f));
    for (const [x, y] of [
      [-4.9, 4.7],
      [3.3, -2.1],
      [0, 3],
      [4, 4.99],
    ] as const) {
      expect(field(x, y)).toBeCloseTo(f(x, y), 12);
    }
  });

  test("takes the nearest element's value outside", () => {
    const field = nodalSize(
      mesh,
      at((x) => 3 + 0.1 * x),
    );
    expect(field(20, 1)).toBeCloseTo(3.5, 12);
    expect(field(-7, -9)).toBeCloseTo(2.5, 12);
    // inside the hole: the value at the rim, half a millimetre off at most along x
    expect(field(0.6, 0)).toBeCloseTo(3.1, 2);
  });

  test("limits growth along the sides to the gradation", () => {
    const values = at(() => 5);
    const i = mesh.elements[0]!;
    values[i] = 0.01;
    const field = nodalSize(mesh, values, 0.3);
    const [x, y] = [mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!];
    expect(field(x, y)).toBeCloseTo(0.01, 9);
    for (let j = 0; j < mesh.elements.length; j++) {
      if (j % 6 > 2) continue;
      const p = mesh.xy[2 * mesh.elements[j]!]!;
      const q = mesh.xy[2 * mesh.elements[j]! + 1]!;
      // along sides the way is a little longer than straight
      const d = Math.hypot(p - x, q - y);
      expect(field(p, q)).toBeGreaterThanOrEqual(Math.min(5, 0.01 + 0.3 * d) - 1e-9);
      expect(field(p, q)).toBeLessThan(Math.min(5, 0.01 + 0.3 * 1.6 * d) + 1e-9);
    }
    const free = nodalSize(mesh, values, Infinity);
    expect(free(-x, -y)).toBe(5);
  });

  test("remeshes to half the size with about four times the elements", () => {
    const before = checkMesh(mesh, outline).elements;
    const finer = meshOutline(outline, {
      size: nodalSize(
        mesh,
        at(() => 0.4),
      ),
    });
    const after = checkMesh(finer, outline).elements;
    expect(after / before).toBeGreaterThan(3.2);
    expect(after / before).toBeLessThan(4.5);
  });

  test("refuses sizes of the wrong number or sign", () => {
    expect(() => nodalSize(mesh, new Float64Array(3))).toThrow(/3 sizes for \d+ nodes/);
    expect(() =>
      nodalSize(
        mesh,
        at(() => 0),
      ),
    ).toThrow(/asks for a size of 0 mm/);
  });

  test("reads no entry of a mid-side node", () => {
    const values = at(() => 1);
    for (let j = 0; j < mesh.elements.length; j++) if (j % 6 > 2) values[mesh.elements[j]!] = Number.NaN;
    expect(nodalSize(mesh, values)(3, 3)).toBe(1);
  });
});

describe("a fillet in its size field", () => {
  test("costs a bounded number of elements however small its radius", () => {
    // halving the radius adds one ring of elements round it, no more: the count grows with log(1 / radius)
    const counts = [0.1, 0.01, 0.001, 0.0001].map((r) => {
      const outline: Outline = {
        loops: [
          [
            ...polygon([
              [0, 0],
              [2, 0],
              [2, 1],
              [1 + r, 1],
            ]).slice(0, 3),
            edge("fillet", arc(1 + r, 1 + r, r, 1.5 * Math.PI, Math.PI)),
            edge("up", line(1, 1 + r, 1, 2)),
            edge("top", line(1, 2, 0, 2)),
            edge("left", line(0, 2, 0, 0)),
          ],
        ],
      };
      const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 0.3 }) });
      return checkMesh(mesh, outline).elements;
    });
    const steps = counts.slice(1).map((n, k) => n - counts[k]!);
    for (const step of steps) {
      expect(step).toBeGreaterThan(0);
      expect(step / steps[0]!).toBeLessThan(1.5);
    }
  });
});
