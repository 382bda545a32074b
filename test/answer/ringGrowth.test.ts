import { describe, expect, test } from "vitest";
import { acrossCuts } from "../../src/answer/acrossCuts.ts";
import { answerDesign } from "../../src/answer/index.ts";
import { FEW_HALVINGS, pathAverage, pathPoints, type StressAt } from "../../src/answer/pathAverage.ts";
import { ringGrowth } from "../../src/answer/ringGrowth.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { type Design, readPart } from "../../src/design/index.ts";
import { outlineEdges } from "../../src/geometry/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { evaluator } from "../../src/solver/index.ts";

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
  const built = buildProfile(design.profile);
  const pass = solvePass(design, built, 0.3, 1e6);
  const share = ringGrowth(pass)?.share ?? 0;
  const strip = pass.answer.root.average.opening;
  return { strip, share, ring: strip * (1 + share) };
}

describe("a ring of face teeth that is free to grow", () => {
  // stresses under given tractions do not depend on the elastic constants where no force or moment is left over on a closed boundary
  // (J. H. Michell, Proc. London Math. Soc. 31, 100, 1899, from memory); those of a strip that keeps its pitch do
  test.each(["0.5 mm", "0"])(
    "has a stress at its root that knows nothing of Poisson's ratio, root radius %s",
    (root) => {
      const all = [0, 0.2, 0.29, 0.45].map((poisson) => grown(part({ poisson, root })));
      for (const { ring } of all) expect(Math.abs(ring / all[2]!.ring - 1)).toBeLessThan(0.003);
      expect(all[1]!.strip / all[3]!.strip).toBeGreaterThan(1.1);
      expect(all[2]!.share).toBeGreaterThan(0.1);
    },
  );

  // statics of a thin ring (common practice, no source): the tangential force W of a tooth acts at ε = x/R from the middle of its sector and
  // has W sin ε along the radius there, which the hoop forces N of its two cuts balance with 2 N sin(π/z), so that N = W x/p; the back's
  // even shear has none
  test.each([0, 20, 45])(
    "is pulled at the cut between teeth as its flank's force asks, flank %f°",
    (lean) => {
      const design = part({ lean, root: "0.3 mm" });
      const built = buildProfile(design.profile);
      const pass = solvePass(design, built, 0.5, 1e6);
      const { model, problem, loads } = pass;
      const { solution, stress } = ringGrowth(pass)!;
      const grown = acrossCuts(model, evaluator(problem, solution, stress));
      const line = (wanted: (edge: { readonly name: string; readonly zone: string }) => boolean) => {
        const curve = outlineEdges(built.outline).find(wanted)?.curve;
        if (curve?.kind !== "line") throw new Error("no straight edge");
        return curve;
      };
      const cut = line(({ zone }) => zone === "cut");
      const base = 12.4;
      const hoop = (of: StressAt) =>
        21.3 *
        base *
        pathAverage(of, pathPoints(cut.x0, Math.min(cut.y0, cut.y1), 0, 1, base, FEW_HALVINGS))!.opening;
      const pulled = hoop(grown);
      // pressure is even along a straight flank, and the sector ends half a pitch on from its middle
      const flank = line(({ name }) => built.contactEdges.includes(name));
      const pitch = (Math.PI * 120) / 20;
      const middle = cut.x0 + (cut.x0 < 0 ? pitch : -pitch) / 2;
      const x = (flank.x0 + flank.x1) / 2 - middle;
      const force = loads.perTooth / 60;
      expect(pulled / ((force * x) / pitch)).toBeCloseTo(1, 2);
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

  test("is told of, the over-run flank too, and nowhere that it changes less than one in a hundred", () => {
    const told = (design: Design) =>
      answerDesign(design).result.notes.filter((note) => note.includes("keeps its pitch"));
    expect(told(part({}))).toEqual([
      "the strip of teeth that is solved keeps its pitch: a ring that is free to grow has up to 35 % more stress at its roots; what they stand counts that, the stresses told do not",
    ]);
    // the most of both flanks, and of both ends of the friction
    const more = "over-run: { spring force: 200 N, friction: 0.05..0.1 }\n";
    expect(told(part({ lean: 2, more }))[0]).toMatch(/ up to 25 % more stress/);
    expect(told(part({ lean: 2 }))[0]).toMatch(/ up to 10 % more stress/);
    expect(told(part({ load: "teeth sharing: one tooth" }))).toEqual([]);
  });
});
