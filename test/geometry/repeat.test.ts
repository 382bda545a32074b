import { describe, expect, test } from "vitest";
import {
  checkOutline,
  movePoint,
  outlineArea,
  outlineEdges,
  repeatMotion,
  repeatOutline,
} from "../../src/geometry/index.ts";
import { annulusSector, groovedStrip, square, wedge } from "../mesh/outlines.ts";

describe("repeatOutline", () => {
  test("joins a sector's copies into closed rings without cuts", () => {
    const ring = repeatOutline(annulusSector(12), 12);
    checkOutline(ring);
    expect(ring.loops.length).toBe(2);
    expect(ring.ties).toBeUndefined();
    expect(outlineEdges(ring).length).toBe(24);
    expect(outlineArea(ring)).toBeCloseTo(Math.PI * (4 - 1), 12);
    expect(ring.loops[0]!.map((e) => e.name)).toEqual(Array.from({ length: 12 }, (_, k) => `outer#${k}`));
    // the inner ring is a hole: travelled clockwise, so the copies follow each other downwards
    expect(ring.loops[1]!.slice(0, 3).map((e) => e.name)).toEqual(["inner#0", "inner#11", "inner#10"]);
  });

  test("closes a disc of wedges", () => {
    const whole = repeatOutline(wedge((2 * Math.PI) / 5, true), 5);
    expect(whole.loops.length).toBe(1);
    expect(outlineArea(whole)).toBeCloseTo(Math.PI, 12);
  });

  test("keeps the outer cuts of a shifted strip, tied over all copies, and joins split arcs end to end", () => {
    const strip = repeatOutline(groovedStrip, 4);
    checkOutline(strip);
    expect(strip.loops.length).toBe(1);
    expect(strip.ties).toEqual([
      { leader: ["left#0"], follower: ["right#3"], motion: { angle: 0, dx: 8, dy: 0 } },
    ]);
    // half discs of radius 0.5 cut out of 8 × 1
    expect(outlineArea(strip)).toBeCloseTo(8 - (4 * Math.PI * 0.25) / 2, 12);
    const names = strip.loops[0]!.map((e) => e.name);
    const joint = names.indexOf("groove right half#1");
    expect(names[(joint + 1) % names.length]).toBe("groove left half#0");
    expect(strip.loops[0]!.every((e) => e.zone.length > 0)).toBe(true);
  });

  test("leaves an open fan when the copies stop short of a full turn", () => {
    const fan = repeatOutline(annulusSector(12), 5);
    expect(fan.loops.length).toBe(1);
    expect(outlineArea(fan)).toBeCloseTo((Math.PI * 3 * 5) / 12, 12);
    expect(fan.ties![0]!.motion.angle).toBeCloseTo((5 * 2 * Math.PI) / 12, 14);
  });

  test("refuses outlines that do not repeat and copies that are no number", () => {
    expect(() => repeatOutline(square, 3)).toThrow(/this outline has 0/);
    expect(() => repeatOutline(annulusSector(4), 2.5)).toThrow(/cannot make 2.5 copies/);
  });
});

describe("repeatMotion", () => {
  test("is the motion made k times, about any centre", () => {
    for (const m of [
      { angle: 0.3, dx: 0, dy: 0 },
      { angle: 0, dx: 1.5, dy: -2 },
      { angle: -0.7, dx: 2, dy: 5 },
    ]) {
      for (const k of [0, 1, 2, 7]) {
        let p: [number, number] = [1.2, -3.4];
        for (let i = 0; i < k; i++) p = movePoint(m, p[0], p[1], [0, 0]);
        const [x, y] = movePoint(repeatMotion(m, k), 1.2, -3.4, [0, 0]);
        expect(x).toBeCloseTo(p[0], 12);
        expect(y).toBeCloseTo(p[1], 12);
      }
    }
  });
});
