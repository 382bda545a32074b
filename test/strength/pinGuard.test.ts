import { describe, expect, test } from "vitest";
import { type Design, readPart } from "../../src/design/index.ts";
import { pinGuardNotes } from "../../src/report/pinGuardText.ts";
import { assessOverRun, pinBand, pinGuard } from "../../src/strength/index.ts";

const design = (pins: string): Design =>
  readPart(
    `part: Ratchet
profile: { kind: face tooth, teeth: 12, outside diameter: 80 mm, inside diameter: 56 mm, height: 5 mm, ramp angle: 10 deg, root radius: 0.5 mm }
load: { torque: 450 N m }
steel: { grade: 4140, hardness: 40 HRC }
strength: { margin: 1.5 }
over-run: { spring force: 200 N, friction: 0.08..0.2, torque: 450 N m }
pins: { ${pins} }
`,
    "ratchet.yaml",
  ).designs[0]!;

/** With a root that breaks at so many N·m. */
function guard(pins: string, low: number, high: number, vouched = true) {
  const one = design(pins);
  const root = { mode: "fatigue" as const, torque: { low: low * 1e3, high: high * 1e3 }, vouched };
  return pinGuard(assessOverRun(one.overRun!, pinBand(one.pins!), root, { wanted: 1.5 }), one);
}

// torque of n pins: n τ R π d²/4 (any strength-of-materials text); here 4 × 24 × π 5²/4 × 500 to 600 = 942 to 1131 N·m
const PINS = "count: 4, diameter: 5 mm, radius: 24 mm, shear strength: 500..600 MPa";

describe("pins guard the root in over-running", () => {
  test.each([
    ["yes", 1135, 2000],
    ["not sure", 1125, 2000],
    ["not sure", 500, 945],
    ["no", 500, 940],
  ])("%s, where it breaks at %d to %d N·m", (guards, low, high) => {
    expect(guard(PINS, low, high)!.guards).toBe(guards);
  });

  test("with those diameters that stand the torque with its margin at their weakest and part at their strongest first", () => {
    // 1.5 × 450 = 675 N·m at 500 MPa: d = 5 √(675/942.5); 900 N·m at 600 MPa: d = 5 √(900/1131)
    const { stands, parts } = guard(PINS, 900, 2000)!;
    expect(stands).toBeCloseTo(5 * Math.sqrt(675 / 942.478), 4);
    expect(parts).toBeCloseTo(5 * Math.sqrt(900 / 1130.973), 4);
  });

  test("but not with more than there is room for on their circle", () => {
    // on R 24 under teeth that end at R 40 they reach that at Ø32, four of them meet at 2 × 24 sin 45° = 33.9 mm
    expect(guard(PINS, 1e6, 2e6)!.fits).toBeCloseTo(0.9 * 32, 9);
    expect(guard(PINS.replace("24 mm", "20 mm"), 1e6, 2e6)!.fits).toBeCloseTo(0.9 * 40 * Math.SQRT1_2, 9);
  });

  const words = (pins: string, low: number) => {
    const one = design(pins);
    const root = { mode: "fatigue" as const, torque: { low: low * 1e3, high: 2e6 }, vouched: true };
    const overRun = assessOverRun(one.overRun!, pinBand(one.pins!), root, { wanted: 1.5 });
    return pinGuardNotes([{ name: "A", design: one, overRun }]).at(-1);
  };

  // 675 N·m as above: d = 5 √(675/18.85) at 10 MPa, 5 √(675/377) at 200 MPa; 900 N·m at 1900 MPa: d = 5 √(900/3581); the root at 11 MPa: 5 √(900/20.73), 5 √(600/20.73)
  test("all that is lacking is told, where no diameter does both", () => {
    const room = words(PINS.replace("500..600", "10..11"), 900);
    expect(room).toMatch(
      /have room\. "A": 30 mm, 32\.9 mm and 28\.8 mm\. More or stronger pins.* thinner\.$/,
    );
    const strength = words(PINS.replace("500..600", "200..1900"), 900);
    expect(strength).toMatch(/"A": 6\.7 mm, 2\.5 mm and 28\.8 mm\. A stronger root, .* together\.$/);
    const both = words(PINS.replace("500..600", "10..11"), 600);
    expect(both).toMatch(/"A": 30 mm, 26\.8 mm and 28\.8 mm\. More or stronger.* thinner\. A stronger root/);
  });

  test("is not told of a root that is not vouched for", () => {
    expect(guard(PINS, 1135, 2000, false)).toBe(null);
  });
});
