import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { band, type PlasticFigures, plasticTooth, toothSections } from "../../src/strength/index.ts";

/** What the plastic limit reads of a tooth loaded by 1 N for each N·mm of torque. */
function toothOf(profile: string, friction = 0): PlasticFigures {
  const text = `part: tooth\nprofile: ${profile}\nload: { torque: 100 N m, friction: ${friction} }\n`;
  const design = readPart(text, "tooth.yaml").designs[0]!;
  const sections = toothSections(design, buildProfile(design.profile));
  return { faceWidth: design.profile.faceWidth, sections, forcePerTorque: 1 };
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
    expect(plasticTooth({ ...low, sections: low.sections.slice(0, 1) }, YIELD).torque.low).toBeGreaterThan(
      lowest.low,
    );
  });

  test("counts a crack at the root only", () => {
    const tooth = toothOf(wedge("{ from: 11.4 mm, to: 11.6 mm }"));
    const whole = plasticTooth(tooth, YIELD);
    expect(plasticTooth(tooth, YIELD, 0.001).torque.low).toBe(whole.torque.low);
    const cut = plasticTooth(tooth, YIELD, 1);
    expect(cut.section.height).toBe(0);
    expect(cut.torque.low).toBeLessThan(whole.torque.low);
  });

  // a bar of even thickness pulled along by f times the force across, at its surface: M = W (h + f t/2), N = f W
  test("is stretched and bent by what pulls it towards its tip, and by nothing that presses it towards its root", () => {
    const dog = (angle: number, friction: number) =>
      toothOf(
        `{ kind: face tooth, teeth: 8, mean diameter: 60 mm, face width: 10 mm, height: 6 mm, drive flank angle: ${angle} deg, ` +
          `over-run flank angle: ${-angle} deg, tip land: 6 mm, root radius: 0.3 mm, base thickness: 9 mm, contact: { from: 3 mm, to: 6 mm } }`,
        friction,
      ).sections[0]!;
    const square = dog(0, 0.15);
    expect(square.pull).toBeCloseTo(0.15, 12);
    expect(square.arm).toBeCloseTo(4.5 + 0.15 * 3, 12);
    // back-cut by 10°: tan(10° + atan 0.15); the flank stands 4.5 mm × tan 10° further out there
    const f = Math.tan((10 * Math.PI) / 180 + Math.atan(0.15));
    const hooked = dog(-10, 0.15);
    expect(hooked.pull).toBeCloseTo(f, 12);
    expect(hooked.arm).toBeCloseTo(4.5 + f * (3 + 4.5 * Math.tan((10 * Math.PI) / 180)), 12);
    for (const pressed of [dog(10, 0.15), dog(0, -0.1)]) {
      expect(pressed.pull).toBe(0);
      expect(pressed.arm).toBeCloseTo(4.5, 12);
    }
  });

  test("leans as its flank does: an involute's by its pressure angle at its pitch point less half the tooth's angle", () => {
    const profile = (kind: string, more: string) =>
      `{ kind: ${kind}, teeth: 20, module: 2 mm, pressure angle: 30 deg, root radius: 0.3 mm, face width: 10 mm, ${more} }`;
    // friction above tan of the lean pulls, below it does not
    for (const kind of ["external spline, bore diameter: 10 mm", "internal spline, rim diameter: 60 mm"]) {
      const [name, more] = kind.split(", ") as [string, string];
      const pulls = (friction: number) => toothOf(profile(name, more), friction).sections[0]!.pull > 0;
      // at the pitch circle: 30° less (external: more) half a tooth's 4.5° of arc
      const lean = Math.tan(((name.startsWith("external") ? 25.5 : 34.5) * Math.PI) / 180);
      expect(pulls(0.75 * lean)).toBe(false);
      expect(pulls(1.35 * lean)).toBe(true);
    }
  });
});
