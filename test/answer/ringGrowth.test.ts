import { describe, expect, test } from "vitest";
import { acrossCuts } from "../../src/answer/acrossCuts.ts";
import { answerDesign } from "../../src/answer/index.ts";
import { FEW_HALVINGS, pathAverage, pathPoints, type StressAt } from "../../src/answer/pathAverage.ts";
import { ringGrowth, type ShapedField } from "../../src/answer/ringGrowth.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { type Design, readPart } from "../../src/design/index.ts";
import { outlineEdges } from "../../src/geometry/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { evaluator } from "../../src/solver/index.ts";

const part = (over: {
  lean?: number;
  poisson?: number;
  root?: string;
  load?: string;
  more?: string;
  ring?: string;
}) => {
  const { lean = 45, poisson = 0.29, root = "0.5 mm", load = "teeth sharing: 100 %", more = "" } = over;
  const { ring = "kept flat" } = over;
  return readPart(
    `part: Ring
profile: { kind: face tooth, teeth: 20, mean diameter: 120 mm, face width: 21.3 mm, height: 6.2 mm, drive flank angle: ${lean} deg,
  ramp angle: 45 deg, root radius: ${root}, base thickness: 12.4 mm, ring: ${ring} }
load: { torque: 10000 N m, ${load} }
elastic: { poisson: ${poisson} }
${more}`,
    "ring.yaml",
  ).designs[0]!;
};

function grown(design: Design): { readonly strip: number; readonly share: number; readonly ring: number } {
  const built = buildProfile(design.profile);
  const pass = solvePass(design, built, 0.3, 1e6);
  const share = ringGrowth(design, built, pass)?.share ?? 0;
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
      const { solution, stress } = ringGrowth(design, built, pass)!.grown!;
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

  // the contact's end may be opened more than the foot of the fillet, and a tension along the pitch does nothing there
  test("counts at the foot of the fillet wherever the strip is opened most", { timeout: 60_000 }, () => {
    const margins = (of: string) =>
      readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 11, mean diameter: 55 mm, face width: 9 mm, height: 4.5 mm, ramp angle: 40 deg, root radius: 0.3 mm, base thickness: 9 mm,
  tip land: 4 mm, loaded flank: over-run, contact: { from: 0.6 mm, to: 2.5 mm } }
load: { torque: 690 N m, shock factor: 1.8, teeth sharing: 100 %, friction: -0.25 }
steel: { grade: 4340, hardness: 56..58 HRC }
strength: { shocks: 1000000, flaw depth: 0.1 mm }
${of}
`,
        "ring.yaml",
      ).designs.map((design) => answerDesign(design).result);
    const [own, read, nu] = ["", "answer: { averaging distance: 0.3 mm }", "elastic: { poisson: 0 }"].map(
      (of) => margins(of)[0]!,
    );
    expect(own!.root.average.y).toBeGreaterThan(2);
    for (const other of [read, nu])
      expect(Math.abs(own!.capacity!.margin.low / other!.capacity!.margin.low - 1)).toBeLessThan(0.02);
    expect(own!.growth.share).toBeGreaterThan(0.25);
  });

  // six-node triangles of another program, the pitch and its bending free (`flat`, `dished`), and 18-node wedges in three dimensions with
  // cuts tied by rotation (`inSpace`, the opening averaged over the width); both run once, elements, meshes and readings their own
  test.each([
    { lean: 0, base: 8, land: 7, strip: 403.3, flat: 0.0342, dished: 0.232, inSpace: [0.044, 0.229] },
    { lean: 0, base: 2, land: 7, strip: 819.8, flat: 0.0809, dished: 0.852, inSpace: [0.082, 0.854] },
    { lean: 45, base: 8, land: 4.5, strip: 142.6, flat: 0.2395, dished: 0.726, inSpace: [0.267, 0.721] },
    { lean: 45, base: 2, land: 4.5, strip: 177, flat: 0.5681, dished: 3.48, inSpace: [0.555, 3.47] },
  ])(
    "has what other elements say, flank $lean°, base $base mm",
    ({ lean, base, land, strip, flat, dished, inSpace }) => {
      const ring = (more: string) =>
        readPart(
          `part: Ring
profile: { kind: face tooth, teeth: 12, outside diameter: 64 mm, inside diameter: 46 mm, height: 4 mm, drive flank angle: ${lean} deg, tip land: ${land} mm,
  root radius: 0.5 mm, base thickness: ${base} mm, contact: { from: 1.2 mm, to: 3.6 mm }${more} }
load: { torque: 600 N m, teeth sharing: 50 % }
`,
          "ring.yaml",
        ).designs[0]!;
      const kept = ring(", ring: kept flat");
      const free = ring(", ring: free to dish");
      const built = buildProfile(kept.profile);
      const pass = solvePass(kept, built, 0.5, 1e6);
      const [growth, counted] = [kept, free].map((design) => ringGrowth(design, built, pass)!);
      const { average } = pass.answer.root;
      const { x, y, dx, dy, distance } = average;
      const at = ({ solution, stress }: ShapedField) =>
        pathAverage(
          acrossCuts(pass.model, evaluator(pass.problem, solution, stress)),
          pathPoints(x, y, dx, dy, distance),
        )!.opening / average.opening;
      const [grown, turned] = [at(growth!.grown!), at(counted!.dish!)];
      expect(average.opening / strip).toBeCloseTo(1, 2);
      expect(grown / (1 + flat)).toBeCloseTo(1, 2);
      expect(turned / (1 + dished)).toBeCloseTo(1, 2);
      expect(Math.abs(grown / (1 + inSpace[0]!) - 1)).toBeLessThan(0.03);
      expect(Math.abs(turned / (1 + inSpace[1]!) - 1)).toBeLessThan(0.02);
      // told is what each has where it is opened most itself, and counted what the part file says
      for (const [told, here] of [
        [growth!.share, grown],
        [growth!.dished, turned],
      ] as const) {
        expect(1 + told).toBeGreaterThan(0.999 * here);
        expect(1 + told).toBeLessThan(1.03 * here);
      }
      expect(growth!.dish).toBeNull();
      expect([counted!.share, counted!.dished]).toEqual([growth!.dished, growth!.dished]);
    },
  );

  test("free to dish gives no later than kept flat in any way", () => {
    const modes = (ring: string) => {
      const [design] = readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 8, outside diameter: 64 mm, inside diameter: 46 mm, height: 4 mm, base thickness: 6 mm, root radius: 0.5 mm,
  drive flank angle: 60 deg, over-run flank angle: 0 deg, tip land: 3 mm, tip chamfer: 0.2 mm, contact: { from: 1.2 mm, to: 3.6 mm }, ring: ${ring} }
load: { torque: 600 N m }
steel: { grade: 4340, hardness: 40 HRC }
strength: { shocks: 1 }
`,
        "ring.yaml",
      ).designs;
      return answerDesign(design!).result.capacity!;
    };
    const [flat, free] = [modes("kept flat"), modes("free to dish")];
    // a leaning flank on a tall base, which stands more where it dishes
    expect(flat.next!.id).toBe("wall section");
    expect(free.next!.torque!.low).toBe(flat.next!.torque!.low);
    for (const { id, torque } of flat.modes.filter(({ governs }) => governs)) {
      const other = free.modes.find((mode) => mode.id === id)!.torque!;
      expect(other.low).toBeLessThanOrEqual(torque!.low);
      expect(other.high).toBeLessThanOrEqual(torque!.high);
    }
  });

  test("is told of, the over-run flank too, and nowhere that it changes less than one in a hundred", () => {
    const told = (design: Design) =>
      answerDesign(design).result.notes.filter((note) => /keeps its pitch|keeps flat/.test(note));
    expect(told(part({}))).toEqual([
      "the strip of teeth that is solved keeps its pitch: a ring that is free to grow but kept flat has up to 50 % more stress at its roots; what they stand counts that, the stresses told do not",
      "a ring that neither hub, flange nor seat keeps flat dishes like a cone spring, and has up to 100 % more stress at its roots, and a base that may give sooner: not counted, since profile.ring says kept flat",
    ]);
    expect(told(part({ ring: "free to dish" }))).toEqual([
      "the strip of teeth that is solved keeps its pitch: a ring that is free to grow and to dish has up to 100 % more stress at its roots; what they stand counts that, the stresses told do not; profile.ring: kept flat, where a hub, flange or seat keeps it so",
    ]);
    // the most of both flanks, and of both ends of the friction
    const more = "over-run: { spring force: 200 N, friction: 0.05..0.1 }\n";
    expect(told(part({ lean: 2, more }))[0]).toMatch(/ up to 30 % more stress/);
    expect(told(part({ lean: 2 }))[0]).toMatch(/ up to 10 % more stress/);
    expect(told(part({ load: "teeth sharing: one tooth" }))).toEqual([]);
  });
});
