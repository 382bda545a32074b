import { describe, expect, test } from "vitest";
import {
  arc,
  checkOutline,
  line,
  type Outline,
  outlineArea,
  outlineDiagonal,
  outlineEdges,
} from "../../src/geometry/index.ts";
import {
  annulus,
  annulusSector,
  edge,
  ell,
  groovedStrip,
  plateWithHole,
  polygon,
  wedge,
} from "../mesh/outlines.ts";

describe("outlineArea", () => {
  test("is exact for straight, round and holed outlines", () => {
    expect(outlineArea(ell)).toBeCloseTo(3, 14);
    expect(outlineArea(annulus)).toBeCloseTo(3 * Math.PI, 12);
    expect(outlineArea(plateWithHole(2))).toBeCloseTo(100 - 4 * Math.PI, 12);
    expect(outlineArea(wedge(0.7))).toBeCloseTo(0.35, 14);
  });
});

describe("checkOutline", () => {
  test("passes closed, tied outlines", () => {
    for (const o of [ell, annulus, annulusSector(7), groovedStrip])
      expect(() => checkOutline(o)).not.toThrow();
    expect(outlineEdges(annulusSector(7)).map((e) => e.name)).toEqual(["lead", "outer", "follow", "inner"]);
    expect(outlineDiagonal(plateWithHole(1))).toBeCloseTo(10 * Math.SQRT2, 12);
  });

  test("refuses an edge without length", () => {
    const dot: Outline = {
      loops: [
        [
          edge("a", line(0, 0, 1, 0)),
          edge("dot", line(1, 0, 1, 0)),
          edge("b", line(1, 0, 0, 1)),
          edge("c", line(0, 1, 0, 0)),
        ],
      ],
    };
    expect(() => checkOutline(dot)).toThrow(/"dot" is 0 mm long/);
  });

  test("names the edges at a gap, and two edges of one name", () => {
    const gap: Outline = {
      loops: [[edge("a", line(0, 0, 1, 0)), edge("b", line(1, 1e-6, 0, 1)), edge("c", line(0, 1, 0, 0))]],
    };
    expect(() => checkOutline(gap)).toThrow(/"a" ends 1\.00e-6 mm from where "b" starts/);
    const twin = polygon([
      [0, 0],
      [1, 0],
      [0, 1],
    ]).map((e) => ({ ...e, name: "x" }));
    expect(() => checkOutline({ loops: [twin] })).toThrow(/two edges are named "x"/);
    expect(() => checkOutline({ loops: [[]] })).toThrow(/no edges/);
  });

  test("names a tied edge that is no image", () => {
    const sector = annulusSector(8);
    const bent = { ...sector, ties: [{ ...sector.ties![0]!, motion: { angle: 0.78, dx: 0, dy: 0 } }] };
    expect(() => checkOutline(bent)).toThrow(/"follow" is not the image of "lead"/);
    const missing = { ...sector, ties: [{ ...sector.ties![0]!, leader: ["nobody"] }] };
    expect(() => checkOutline(missing)).toThrow(/names "nobody", which is no edge/);
    // an arc of the same ends that bulges is no image of a line
    const bulged: Outline = {
      loops: [
        [
          edge("bottom", line(0, 0, 2, 0)),
          edge("right", arc(2, 0.5, 0.5, -Math.PI / 2, Math.PI / 2)),
          edge("top", line(2, 1, 0, 1)),
          edge("left", line(0, 1, 0, 0)),
        ],
      ],
      ties: [{ leader: ["left"], follower: ["right"], motion: { angle: 0, dx: 2, dy: 0 } }],
    };
    expect(() => checkOutline(bulged)).toThrow(/"right" is not the image of "left"/);
  });
});
