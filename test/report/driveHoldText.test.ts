import { describe, expect, test } from "vitest";
import type { Design } from "../../src/design/index.ts";
import { driveHoldNotes } from "../../src/report/driveHoldText.ts";
import { driveHold } from "../../src/strength/index.ts";
import { syntheticDesign } from "./synthetic.ts";

const rad = (degrees: number) => (degrees * Math.PI) / 180;

describe("teeth that push apart in drive", () => {
  const face = (driveAngle: number, over: Partial<Design> = {}): Design => {
    const { overRun: _, pins: __, ...design } = syntheticDesign();
    return {
      ...design,
      units: "metric",
      profile: {
        kind: "face tooth",
        meanDiameter: 75,
        driveAngle,
        loadedFlank: "drive",
      } as Design["profile"],
      load: { ...design.load, torque: 900_000, shockFactor: 1.5 },
      ...over,
    };
  };
  const overRun = {
    rampAngle: rad(45),
    meanRadius: 37.5,
    springForce: 160,
    friction: [0.08, 0.2],
    spline: null,
    torque: 50_000,
  } as const;

  // by hand: 1350 N·m on R 37.5 mm is 36 kN; tan(30° − atan 0.05) 0.51255, at 0.08 0.47535, tan(30° − atan 0.2) 0.33828
  test("are told with their thrust where no springs are stated", () => {
    const hold = driveHold(face(rad(30)))!;
    expect(hold.thrust[0]).toBeCloseTo(36_000 * 0.51255, -1);
    expect(hold.thrust[1]).toBeCloseTo(36_000 * 0.33828, -1);
    expect(driveHoldNotes(face(rad(30)))[0]).toMatch(
      /lean 30° .* with 18500 N at μ 0\.05 .* 12200 N at μ 0\.20/,
    );
  });

  // 160 N × 37.5 mm / 0.47535 = 12.62 N·m, / 0.33828 = 17.74 N·m
  test("part at the torque of an inclined plane against their springs", () => {
    const note = driveHoldNotes(face(rad(30), { overRun }))[0]!;
    expect(note).toContain("part at 12.6 N·m at μ 0.08 (μ 0.20: 17.7 N·m), and must hold 1350 N·m");
    const strong = { ...overRun, springForce: 20_000 };
    expect(driveHoldNotes(face(rad(30), { overRun: strong }))).toEqual([]);
  });

  // tan(8° − atan 0.08) 0.05987: 2160 N on 36 kN, 160 N × 37.5 mm / 0.05987 = 100 N·m; the drag, 0.08 × 1350 N·m / (22 mm × cos 30°), 5670 N
  test("are told where nothing but the drag of the sliding spline keeps them together", () => {
    const sliding = { ...overRun, spline: { radius: 22, pressureAngle: rad(30) } };
    expect(driveHold(face(rad(8), { overRun: sliding }))!.partsAt).toEqual([null, null]);
    expect(driveHoldNotes(face(rad(8), { overRun: sliding }))[0]).toMatch(
      /with 2160 N at μ 0\.08 under 1350 N·m, springs hold 160 N\. What keeps them together .* part at 100 N·m/,
    );
    const strong = { ...sliding, springForce: 2200 };
    expect(driveHoldNotes(face(rad(8), { overRun: strong }))).toEqual([]);
  });

  test("are none where friction or a back-cut holds, and in splines", () => {
    expect(driveHoldNotes(face(rad(2)))).toEqual([]);
    expect(driveHoldNotes(face(rad(-2)))).toEqual([]);
    expect(driveHoldNotes(face(rad(8), { overRun }))[0]).toContain("(μ 0.20: never)");
    expect(driveHoldNotes(syntheticDesign())).toEqual([]);
  });
});
