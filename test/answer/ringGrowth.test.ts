import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { ringGrowth } from "../../src/answer/ringGrowth.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { type Design, readPart } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { createWorkspace } from "../../src/solver/index.ts";

const part = (over: { lean?: number; poisson?: number; root?: string; load?: string; more?: string }) => {
  const { lean = 45, poisson = 0.29, root = "0.5 mm", load = "teeth sharing: 100 %", more = "" } = over;
  return readPart(
    `part: Ring
profile: { kind: face tooth, teeth: 20, mean diameter: 120 mm, face width: 21.3 mm, height: 6.2 mm, drive flank angle: ${lean} deg,
  ramp angle: 45 deg, root radius: ${root}, base thickness: 12.4 mm }
load: { torque: 10000 N m, ${load} }
elastic: { poisson: ${poisson} }
${more}`,
    "ring.yaml",
  ).designs[0]!;
};

function grown(design: Design): { readonly strip: number; readonly share: number; readonly ring: number } {
  const workspace = createWorkspace();
  const built = buildProfile(design.profile);
  const pass = solvePass(design, built, 0.5, 1e6, { workspace });
  const share = ringGrowth(design, built, pass, workspace)?.share ?? 0;
  const strip = pass.answer.root.average.opening;
  return { strip, share, ring: strip * (1 + share) };
}

describe("a ring of face teeth that is free to grow", () => {
  // stresses under given tractions do not depend on the elastic constants where no force or moment is left over on a closed boundary
  // (J. H. Michell, Proc. London Math. Soc. 31, 100, 1899, from memory); those of a strip that keeps its pitch do
  test.each(["0.5 mm", "0"])(
    "has a stress at its root that knows nothing of Poisson's ratio, root radius %s",
    (root) => {
      const all = [0.2, 0.29, 0.45].map((poisson) => grown(part({ poisson, root })));
      for (const { ring } of all) expect(Math.abs(ring / all[1]!.ring - 1)).toBeLessThan(0.003);
      expect(all[0]!.strip / all[2]!.strip).toBeGreaterThan(1.1);
      expect(all[1]!.share).toBeGreaterThan(0.1);
      // and a material that does not grow across leaves nothing to tell
      expect(grown(part({ poisson: 0, root })).share).toBe(0);
    },
  );

  test.each(["0.5 mm", "0"])(
    "counts in what the root stands, which then knows nothing of Poisson's ratio, root radius %s",
    (root) => {
      const more = "steel: { grade: 4340, hardness: 50..52 HRC }\nstrength: { shocks: 100000 }\n";
      const [small, large] = [0.2, 0.45].map(
        (poisson) => answerDesign(part({ poisson, root, more })).result.capacity!.modes,
      );
      for (const id of ["root fracture", "fatigue"]) {
        const [a, b] = [small, large].map((modes) => modes!.find((mode) => mode.id === id)!.torque!);
        expect(Math.abs(a!.low / b!.low - 1)).toBeLessThan(0.02);
      }
    },
  );

  test("is told of where flanks lean, the over-run one too, and nowhere that it changes less than one in a hundred", () => {
    const told = (design: Design) =>
      answerDesign(design).result.notes.filter((note) => note.includes("keeps its pitch"));
    expect(told(part({}))).toEqual([
      "the strip of teeth that is solved keeps its pitch: a ring that is free to grow under the thrust on its leaning flanks has some 13 % more stress at this root; what the root stands counts that, the stresses told do not",
    ]);
    const more = "over-run: { spring force: 200 N, friction: 0.05..0.1 }\n";
    const overRun = told(part({ lean: 2, more }));
    expect(overRun).toHaveLength(1);
    expect(overRun[0]).toMatch(/^over-run flank loaded: the strip .* some \d+ % more stress/);
    expect(told(part({ lean: 2 }))).toEqual([]);
    expect(told(part({ load: "teeth sharing: one tooth" }))).toEqual([]);
  });
});
