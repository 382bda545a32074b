import { describe, expect, test } from "vitest";
import { arc, type Curve, type Edge, line, type Outline } from "../../src/geometry/index.ts";
import { type OutlineQuestion, solveOutline } from "../../src/solver/index.ts";

const square = (name = "bottom", curve: Curve = line(0, 0, 10, 0)): Outline => ({
  loops: [
    [
      { name, zone: "side", curve },
      { name: "right", zone: "side", curve: line(10, 0, 10, 10) },
      { name: "top", zone: "side", curve: line(10, 10, 0, 10) },
      { name: "left", zone: "side", curve: line(0, 10, 0, 0) },
    ] as Edge[],
  ],
});
const question = (over: Partial<OutlineQuestion> = {}): OutlineQuestion => ({
  outline: square(),
  material: { E: 205_000, nu: 0.3, state: "plane stress" },
  loads: [{ edges: ["top"], pressure: 10 }],
  supports: [{ edges: ["bottom"], u: 0, v: 0 }],
  ...over,
});

describe("a question with a number that is none", () => {
  const bottom = { edges: ["bottom"], u: 0, v: 0 };
  test.each<[string, Partial<OutlineQuestion>, RegExp]>([
    ["a point", { supports: [bottom, { point: [Number.NaN, 5], u: 5 }] }, /the point \(NaN, 5\) is none/],
    [
      "half a point",
      { supports: [bottom, { point: [10] as never, u: 5 }] },
      /the point \(10, undefined\) is none/,
    ],
    [
      "edges and a point at once",
      { supports: [{ ...bottom, point: [10, 0] } as never] },
      /names edges and a point; make it two supports/,
    ],
    ["an angle", { supports: [{ ...bottom, angle: Number.NaN }] }, /edge "bottom" has an angle of NaN rad/],
    ["a displacement", { supports: [{ edges: ["bottom"], u: Number.NaN, v: 0 }] }, /prescribes NaN mm/],
    ["a thickness", { thickness: Number.POSITIVE_INFINITY }, /thickness Infinity mm must be positive/],
    ["an end", { outline: square("bottom", line(0, 0, Number.NaN, 0)) }, /"bottom" has NaN for its x1/],
    [
      "a radius",
      { outline: square("bottom", arc(5, 0, Number.NaN, Math.PI, 2 * Math.PI)) },
      /"bottom" has NaN for its radius/,
    ],
    [
      "a traction that is returned and not written",
      { loads: [{ edges: ["top"], traction: (() => [0, 100]) as never }] },
      /load on top: a traction of \(NaN, NaN\) MPa .*; a function writes both numbers into its last argument/,
    ],
    [
      "an arc of several turns",
      { outline: square("bottom", arc(5, 0, 5, Math.PI, 6 * Math.PI)) },
      /"bottom" goes 2\.5 times round; an arc goes round once at most/,
    ],
    [
      "a boundary that is too large",
      { meshSize: 1e-6, maxNodes: 20_000 },
      /more than 20000 nodes .* a higher maxNodes/,
    ],
    [
      "a mesh that is too large",
      { meshSize: 0.01, maxNodes: 1000 },
      /more than 1000 nodes .* a higher maxNodes/,
    ],
  ])("is refused by name: %s", (_, over, said) => {
    expect(() => solveOutline(question(over))).toThrow(said);
  });
});
