import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { readPart } from "../../src/design/index.ts";

const capacityOf = (text: string, radius: number) => {
  const { capacity } = answerDesign(
    readPart(text.replace("root radius: 0", `root radius: ${radius} mm`), "t.yaml").designs[0]!,
  ).result;
  const of = (id: string) => capacity!.modes.find((mode) => mode.id === id)!.torque!;
  return { fatigue: of("fatigue"), fracture: of("root fracture") };
};

// the sharp corner is the limit that ever smaller radii tend to: the stress at any depth beyond the radius is the same (Williams 1952)
describe("what a root stands tends to that of the sharp corner as its radius vanishes, at either end of its band", () => {
  test.each([
    [
      "where one tooth of a thin ring bends the wall far from the peak",
      `part: t
profile: { kind: internal spline, flank: straight, flank angle: -1 deg, teeth: 12, tooth thickness: 6.35 mm, pitch diameter: 48.5 mm,
  tip diameter: 46.5 mm, root diameter: 50.5 mm, rim diameter: 56.8 mm, face width: 16 mm, root radius: 0 }
load: { torque: 300 N m, loaded teeth: [1] }
steel: { grade: 4340, hardness: 50..54 HRC }
strength: { shocks: 1000 }
`,
      [0.003, 0.005, 0.01],
      0.01,
    ],
    [
      "where what is pushed counts",
      `part: t
profile: { kind: internal spline, teeth: 12, module: 3 mm, pressure angle: 45 deg, rim diameter: 62.6 mm, face width: 16 mm, root radius: 0 }
load: { torque: 300 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: 28..32 HRC }
strength: { shocks: 10000, torque ratio: -1 }
`,
      [0.005, 0.05],
      0.02,
    ],
  ])("%s", (_where, text, radii, within) => {
    const sharp = capacityOf(text, 0);
    for (const radius of radii) {
      const rounded = capacityOf(text, radius);
      for (const mode of ["fatigue", "fracture"] as const)
        for (const end of ["low", "high"] as const)
          expect(Math.abs(rounded[mode][end] / sharp[mode][end] - 1)).toBeLessThan(within);
    }
  });
});
