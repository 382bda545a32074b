import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { band, type PlasticFigures, plasticTooth, toothSections } from "../../src/strength/index.ts";

/** What the plastic limit reads of a tooth loaded by 1 N for each N·mm of torque. */
function toothOf(profile: string): PlasticFigures {
  const text = `part: tooth\nprofile: ${profile}\nload: { torque: 100 N m }\n`;
  const { profile: read } = readPart(text, "tooth.yaml").designs[0]!;
  const built = buildProfile(read);
  return {
    faceWidth: read.faceWidth,
    rootThickness: built.rootThickness,
    arm: Math.abs(built.bandMiddle - built.rootRadiusPosition),
    sections: toothSections(read, built),
    forcePerTorque: 1,
  };
}

const wedge = (contact: string) =>
  "{ kind: face tooth, teeth: 8, mean diameter: 60 mm, face width: 10 mm, height: 12 mm, drive flank angle: 0 deg, " +
  `over-run flank angle: 5.71 deg, tip land: 1 mm, root radius: 0.1 mm, base thickness: 9 mm, contact: ${contact} }`;

const YIELD = band(700, 900);

describe("the weakest section of a tooth", () => {
  // W. Lewis (Engineers' Club of Philadelphia, 1892; in any text on gears): the parabola of even bending strength whose vertex lies on the
  // load's line touches the flank at the weakest section; for a wedge that is where half the parabola's subtangent, the arm, meets
  // the taper, t = 2 (dt/dh) arm
  test("of a slender wedge loaded near its tip is where Lewis's parabola touches it", () => {
    const tooth = toothOf(wedge("{ from: 11.4 mm, to: 11.6 mm }"));
    const { section, torque } = plasticTooth(tooth, YIELD);
    expect(section.height).toBeGreaterThan(0.5);
    const taper = Math.tan((5.71 * Math.PI) / 180);
    expect(section.thickness / (2 * taper * section.arm)).toBeGreaterThan(0.93);
    expect(section.thickness / (2 * taper * section.arm)).toBeLessThan(1.07);
    // bending alone would bear a little more than bending and shear
    const bending = (10 * section.thickness ** 2 * 700) / 4 / section.arm;
    expect(torque.low).toBeLessThan(bending);
    expect(torque.low).toBeGreaterThan(0.98 * bending);
  });

  test("of a tooth of even thickness is its root, and of a loaded flank where the load begins", () => {
    const even = toothOf(
      "{ kind: external spline, flank: straight, flank angle: 0 deg, teeth: 6, tooth width: 6 mm, pitch diameter: 40 mm, " +
        "tip diameter: 46 mm, root diameter: 34 mm, bore diameter: 10 mm, root radius: 0.5 mm, face width: 30 mm }",
    );
    expect(plasticTooth(even, YIELD).section.height).toBe(0);

    const low = toothOf(wedge("{ from: 11 mm, to: 11.8 mm }"));
    const lowest = plasticTooth(low, YIELD).torque;
    // half the force bears on what lies above the band's middle, at a quarter of the band
    const half = low.sections.find(({ height }) => Math.abs(height - 11.4) < 1e-9)!;
    expect(half.share).toBeCloseTo(0.5, 12);
    expect(half.arm).toBeCloseTo(0.2, 12);
    expect(half.thickness).toBeCloseTo(1 + 0.6 * Math.tan((5.71 * Math.PI) / 180), 9);
    // the root alone would say more
    expect(plasticTooth({ ...low, sections: [] }, YIELD).torque.low).toBeGreaterThan(lowest.low);
  });

  test("counts a crack at the root only", () => {
    const tooth = toothOf(wedge("{ from: 11.4 mm, to: 11.6 mm }"));
    const whole = plasticTooth(tooth, YIELD);
    expect(plasticTooth(tooth, YIELD, 0.001).torque.low).toBe(whole.torque.low);
    const cut = plasticTooth(tooth, YIELD, 1);
    expect(cut.section.height).toBe(0);
    expect(cut.torque.low).toBeLessThan(whole.torque.low);
  });
});
