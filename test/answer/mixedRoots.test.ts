import { describe, expect, test } from "vitest";
import { answerDesign, type VariantResult } from "../../src/answer/index.ts";
import { readPart } from "../../src/design/index.ts";

const answers = (
  profile: string,
  variants: readonly string[],
  rest = "",
  sharing = "teeth sharing: 100 %",
): VariantResult[] => {
  const text = `part: Dogs
profile: { kind: face tooth, ${profile} }
load: { torque: 100 N m, ${sharing} }
${rest}
variants:
${variants.map((own, k) => `  - { name: v${k}, profile: { ${own} } }`).join("\n")}
`;
  return readPart(text, "dogs.yaml").designs.map((design) => answerDesign(design).result);
};
const within = (a: number, b: number): number => Math.abs(a / b - 1);

describe("roots of unlike corners", () => {
  // the base bends, and the land beside the over-run corner is pulled whatever that corner is
  test("a corner made sharp tells no less of the land beside it", () => {
    const [small, smaller, sharp] = answers(
      "teeth: 3, mean diameter: 42.03 mm, face width: 9 mm, height: 2.69 mm, drive flank angle: 25.83 deg, over-run flank angle: 26.7 deg, base thickness: 1.559 mm, drive root radius: 0.768 mm, contact: { from: 0.624 mm, to: 1.702 mm }, loaded flank: drive",
      ["over-run root radius: 0.05 mm", "over-run root radius: 0.02 mm", "over-run root radius: 0"],
    ).map(({ root }) => root.average.opening);
    expect(smaller!).toBeGreaterThan(small!);
    expect(sharp!).toBeGreaterThan(smaller!);
    expect(within(sharp!, small!)).toBeLessThan(0.04);
  });

  // as its radius vanishes the drive corner, which is pushed, says ever more of itself and nothing of the over-run root that is pulled
  const full =
    "teeth: 16, mean diameter: 40 mm, face width: 9 mm, height: 5 mm, drive flank angle: 5 deg, over-run flank angle: 10 deg, base thickness: 8 mm, over-run root radius: full";
  test("a full fillet is read as pulled, however small the pushed fillet it ends in", () => {
    const roots = answers(`${full}, loaded flank: over-run`, [
      "drive root radius: 0.005 mm",
      "drive root radius: 0.01 mm",
      "drive root radius: 0",
    ]).map(({ root }) => root);
    for (const { peakPrincipal, average } of roots) {
      // with a sharp corner the peak of the rounded root is still its own
      if (peakPrincipal)
        expect(within(peakPrincipal.stress, roots[1]!.peakPrincipal!.stress)).toBeLessThan(0.01);
      expect(within(average.opening, roots[1]!.average.opening)).toBeLessThan(0.01);
    }
  });

  test("beside a tiny fillet paths from the large one are read as finely as from it", () => {
    const fatigue = answers(
      full,
      ["drive root radius: 0", "drive root radius: 0.01 mm", "drive root radius: 0.03 mm"],
      "steel: { grade: 4340, hardness: 54..56 HRC }\nstrength: { shocks: 10000 }",
    ).map(({ capacity }) => capacity!.modes.find(({ id }) => id === "fatigue")!.torque!);
    for (let k = 1; k < fatigue.length; k++) {
      expect(fatigue[k]!.low).toBeGreaterThan(fatigue[k - 1]!.low);
      expect(fatigue[k]!.low).toBeLessThan(1.06 * fatigue[k - 1]!.low);
    }
  });

  // one load told from either side: the torque goes to and fro between two flanks with unlike roots
  test("a torque that reverses is the same load whichever flank is called the loaded one", () => {
    const dogs =
      "teeth: 12, mean diameter: 60 mm, face width: 9 mm, height: 3 mm, drive flank angle: 0 deg, over-run flank angle: 0 deg, base thickness: 6 mm, drive root radius: 0.4 mm";
    const rest =
      "steel: { grade: 4340, hardness: 50..52 HRC }\nstrength: { shocks: 100000, torque ratio: -1 }";
    const fatigue = (roots: readonly string[], loaded: string) =>
      answers(`${dogs}, loaded flank: ${loaded}`, roots, rest).map(
        ({ capacity }) => capacity!.modes.find(({ id }) => id === "fatigue")!.torque!,
      );
    const radii = [0.4, 0.05, 0.001, 0].map((radius) => `over-run root radius: ${radius} mm`);
    const [drive, overRun] = [fatigue(radii, "drive"), fatigue(radii, "over-run")];
    for (const [k, { low, high }] of drive.entries()) {
      expect(within(overRun[k]!.low, low)).toBeLessThan(0.02);
      expect(within(overRun[k]!.high, high)).toBeLessThan(0.02);
      // the sharper the one root, the less
      if (k > 0) expect(low).toBeLessThan(drive[k - 1]!.low);
    }
    expect(within(drive[3]!.low, drive[2]!.low)).toBeLessThan(0.03);
    // of a ring that may dish as well, and that kept flat stands hardly more
    const ring = (shape: string, loaded: string) =>
      answers(
        `teeth: 12, mean diameter: 55 mm, face width: 9 mm, height: 4 mm, drive flank angle: 20 deg, over-run flank angle: 8 deg, base thickness: 5 mm, ring: ${shape}, loaded flank: ${loaded}`,
        ["root radius: 0.5 mm"],
        rest.replace("100000", "10000"),
        "loaded teeth: [1, 2, 5]",
      )[0]!.capacity!.stands;
    const [dished, turned] = ["drive", "over-run"].map((loaded) => ring("free to dish", loaded));
    const flat = ring("kept flat", "drive");
    for (const end of ["low", "high"] as const) {
      expect(within(turned![end], dished![end])).toBeLessThan(0.02);
      expect(dished![end] / flat[end]).toBeLessThan(1.001);
      expect(dished![end] / flat[end]).toBeGreaterThan(0.95);
    }
    // each flank rubs as it does, whichever is called the loaded one
    const rubbing = ["drive", "over-run"].map(
      (loaded) =>
        answers(
          `teeth: 12, mean diameter: 60 mm, face width: 10 mm, height: 5 mm, drive flank angle: 6 deg, ramp angle: 31 deg, base thickness: 3 mm, ring: kept flat, loaded flank: ${loaded}`,
          ["root radius: 0.5 mm"],
          `${rest}\nover-run: { spring force: 160 N }`,
        )[0]!.capacity!.stands,
    );
    expect(within(rubbing[1]!.low, rubbing[0]!.low)).toBeLessThan(0.02);
    expect(within(rubbing[1]!.high, rubbing[0]!.high)).toBeLessThan(0.02);
    // and so is what a single shock does, whichever way it comes
    const once = ["drive", "over-run"].map((loaded) =>
      answers(
        `${dogs}, loaded flank: ${loaded}`,
        ["over-run root radius: 0"],
        rest.replace("100000", "1"),
      ).map(({ capacity }) =>
        ["root fracture", "wall section", "plastic section", "flank crushing"].map(
          (id) => capacity!.modes.find((mode) => mode.id === id)!.torque!.low,
        ),
      ),
    );
    for (const [k, low] of once[0]![0]!.entries()) expect(within(once[1]![0]![k]!, low)).toBeLessThan(0.02);
  });

  test("a base thinner than the first step of a path is judged all the same", () => {
    const [thin] = answers(
      "teeth: 5, mean diameter: 67.81 mm, face width: 9 mm, height: 1.349 mm, drive flank angle: 20 deg, over-run flank angle: 10 deg, root radius: 0, contact: { from: 0.185 mm, to: 0.924 mm }",
      ["base thickness: 0.434 mm"],
      "steel: { grade: 4340, hardness: 40..42 HRC }",
    );
    expect(thin!.capacity!.governing.id).toBe("wall section");
  });
});
