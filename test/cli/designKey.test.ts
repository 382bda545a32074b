import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designKey } from "../../src/cli/designKey.ts";
import type { Design } from "../../src/design/index.ts";
import { readPart } from "../../src/design/index.ts";
import { reverseCase } from "../../src/strength/index.ts";

const variant = (file: string, name: string): Design =>
  readPart(readFileSync(`demo/${file}`, "utf8"), file).designs.find((design) => design.variant === name)!;
const key = (design: Design) => designKey(design, {}, "stamp");

describe("the name of a solved variant", () => {
  test("holds the over-run friction of face teeth, whose root bears it, and of no spline", () => {
    const sticky = (design: Design): Design => ({
      ...design,
      overRun: { ...design.overRun!, friction: [0.08, 0.3] },
    });
    const [face, spline] = [variant("orchard-ramp.yaml", "V4"), variant("orchard-hub.yaml", "V4")];
    expect(key(sticky(face))).not.toBe(key(face));
    expect(key(sticky(spline))).toBe(key(spline));
  });

  test("is another with a steel and a torque that reverses, for which the other flank is solved too", () => {
    const face = variant("orchard-ramp.yaml", "V4");
    const reversing = { ...face, strength: { ...face.strength!, torqueRatio: -1 } };
    expect(reverseCase(reversing)).not.toBeNull();
    expect(reverseCase({ ...reversing, steel: null })).toBeNull();
    expect(key({ ...reversing, steel: null })).not.toBe(key(reversing));
    expect(key(face)).not.toBe(key(reversing));
  });

  test("is the same whatever springs, pins, steel, names and notes", () => {
    const face = variant("orchard-ramp.yaml", "V4");
    const { pins: _, strength: __, ...bare } = face;
    const other = { ...bare, steel: null, variant: "other", overRun: { ...face.overRun!, springForce: 12 } };
    expect(key(other)).toBe(key(face));
  });
});
