import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { toothLoads } from "../../src/answer/toothLoads.ts";
import { type Design, readPart, type SplineProfile } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { demoSpline } from "../profile/soundness.ts";
import { designOf, scaleProfile } from "./designs.ts";

const demo = (file: string) => readPart(readFileSync(`demo/${file}`, "utf8"), file).designs;
const rounded = (root: number): SplineProfile => ({ ...demoSpline("internal spline"), rootRadius: root });
const face = demo("orchard-ramp.yaml").find((d) => d.variant === "V2")!.profile;

describe("a design's answer", () => {
  const filleted = [...demo("orchard-hub.yaml"), ...demo("orchard-ramp.yaml")].filter(
    ({ profile: p }) => (p.kind === "face tooth" ? p.driveRootRadius : p.rootRadius) !== 0,
  );

  // the same problem with everything four times finer
  test.each(filleted.map((design) => ({ name: `${design.part}, ${design.variant}`, design })))(
    "is within 2 percent of a four times finer mesh at default settings: $name",
    ({ design }) => {
      const { result } = answerDesign(design);
      const fine = solvePass(design, buildProfile(design.profile), 1 / 4, 1_000_000).answer.root;
      expect(Math.abs(result.root.peakPrincipal!.stress / fine.peakPrincipal!.stress - 1)).toBeLessThan(0.02);
      expect(Math.abs(result.root.peakVonMises!.stress / fine.peakVonMises!.stress - 1)).toBeLessThan(0.02);
    },
  );

  test("has an averaged stress at a sharp root that a tenfold finer mesh moves by less than 1 %", () => {
    const design = designOf(rounded(0));
    const built = buildProfile(design.profile);
    const [coarse, fine] = [1, 0.1].map(
      (f) => solvePass(design, built, f, 4_000_000).answer.root.average.opening,
    );
    expect(Math.abs(coarse / fine - 1)).toBeLessThan(0.01);
  });

  // such teeth lean so much that the thrust on their flanks presses every root and every place beside it
  test.each([
    ["36 teeth of module 0.5, bore 14.4 mm", 36, "0.5 mm", "14.4 mm"],
    ["36 teeth of module 0.5, bore 5 mm", 36, "0.5 mm", "5 mm"],
    ["24 teeth of module 1, bore 14 mm", 24, "1 mm", "14 mm"],
  ])(
    "reads sharp roots that next to nothing pulls, nor any place beside them: %s",
    (_, teeth, module, bore) => {
      const { designs } = readPart(
        `part: shaft\nprofile: { kind: external spline, teeth: ${teeth}, module: ${module}, pressure angle: 45 deg, ` +
          `bore diameter: ${bore}, face width: 4 mm, root radius: 0 }\nload: { torque: 100 N m, teeth sharing: 100 % }\n`,
        "shaft.yaml",
      );
      const [design] = designs;
      const { root, checks, accuracy } = answerDesign(design!).result;
      const { contactPressure } = root;
      expect(root.average.opening).toBeLessThan(0.12 * contactPressure);
      expect(checks.stressJump).toBeLessThan(1);
      expect(accuracy.met).toBe(true);
      const built = buildProfile(design!.profile);
      const fine = solvePass(design!, built, 1 / 4, 1_000_000).answer.root.average.opening;
      expect(Math.abs(root.average.opening - fine)).toBeLessThan(0.01 * contactPressure);
    },
  );

  // a shaft whose sharp root is sheared as well as opened: its bisector is 24° off the path that is opened most
  test("averages a sheared corner where it is opened most, as its vanishing fillet is, and reads its paths about the bisector", () => {
    const at = (radius: string) =>
      answerDesign(
        readPart(
          `part: shaft
profile: { kind: external spline, teeth: 20, pitch diameter: 24 mm, pressure angle: 37.5 deg, tooth thickness: 1.73 mm,
  tip diameter: 25.8 mm, root diameter: 21.9 mm, bore diameter: 5.2 mm, root radius: ${radius}, face width: 22 mm,
  contact: { from: 24.2 mm, to: 25.6 mm } }
load: { torque: 137.5 N m, teeth sharing: 100 % }
steel: { grade: 4140, hardness: 40..44 HRC }
strength: { shocks: 1000000 }
`,
          "shaft.yaml",
        ).designs[0]!,
      );
    const [sharp, tiny, small] = ["0", "0.01 mm", "0.1 mm"].map(at);
    const opening = (of: typeof sharp) => of!.result.root.average.opening;
    expect(opening(sharp)).toBeGreaterThan(opening(small));
    expect(Math.abs(opening(sharp) / opening(tiny) - 1)).toBeLessThan(0.02);
    const { average } = sharp!.result.root;
    const { rootField, capacity } = sharp!.result;
    const corner = sharp!.profile.corners.find(({ side }) => side === "loaded")!;
    const along = average.dx * corner.bisectorX + average.dy * corner.bisectorY;
    expect(Math.acos(along)).toBeGreaterThan(0.2);
    expect(rootField!.dx * corner.bisectorX + rootField!.dy * corner.bisectorY).toBeCloseTo(1, 12);
    const fatigue = (of: typeof sharp) =>
      of!.result.capacity!.modes.find(({ id }) => id === "fatigue")!.torque!.low;
    expect(capacity).not.toBeNull();
    expect(fatigue(sharp)).toBeLessThan(1.01 * fatigue(tiny));
  });

  // beside the end of a rubbing contact no peak is read, but what a path from there is opened by is
  test("knows no step from a contact without friction to one with next to none", () => {
    const fatigue = [0, 1e-6].map((friction) => {
      const text = `part: Dogs
profile: { kind: face tooth, teeth: 12, mean diameter: 67.65 mm, face width: 14.5 mm, height: 3.577 mm, drive flank angle: 29.89 deg,
  over-run flank angle: 0 deg, root radius: 0, base thickness: 6.17 mm, tip chamfer: 0.508 mm, contact: { from: 2.069 mm, to: 2.714 mm } }
load: { torque: 213 N m, teeth sharing: 75 %, friction: ${friction} }
steel: { grade: 4340, hardness: 26..28 HRC }
strength: { torque ratio: -1, shocks: 10000, finish: ground, flaw depth: 0.4 mm }
`;
      const { modes } = answerDesign(readPart(text, "dogs.yaml").designs[0]!).result.capacity!;
      return modes.find(({ id }) => id === "fatigue")!.torque!.low;
    });
    expect(Math.abs(fatigue[1]! / fatigue[0]! - 1)).toBeLessThan(0.005);
  });

  test("refuses options that are no such numbers", () => {
    const design = designOf(rounded(0.4));
    for (const accuracy of [Number.NaN, -1, 0, 1, "1%" as never])
      expect(() => answerDesign(design, { accuracy })).toThrow(/accuracy .* is no share between 0 and 1/);
    expect(() => answerDesign(design, { mostBytes: Number.NaN })).toThrow(/mostBytes NaN must be positive/);
    expect(() => answerDesign(design, { maxUnknowns: Number.NaN })).toThrow(
      /maxUnknowns NaN must be positive/,
    );
  });

  test("prints no peak for a sharp root", () => {
    const { root, zones } = answerDesign(designOf(rounded(0))).result;
    expect(root).toMatchObject({ sharp: true, peakPrincipal: null, peakVonMises: null, kt: null });
    expect(zones.map((z) => z.zone)).not.toContain("root");
    expect(root.average.opening).toBeGreaterThan(0);
  });

  test("holds the highest von Mises stress of any root against yield, of the pushed root where that is higher", () => {
    const stub = designOf({ ...demoSpline("external spline"), rootRadius: 0.1, backDiameter: 10 });
    const { root, rootField, torque } = answerDesign(stub).result;
    // the tooth's bending pulls one root and pushes the other alike; the thrust on its flank presses both, which helps only the pulled one
    expect(root.highestVonMises!.stress).toBeGreaterThan(1.2 * root.peakVonMises!.stress);
    // the two lie on either side of the tooth's centre line
    expect(root.highestVonMises!.y * root.peakVonMises!.y).toBeLessThan(0);
    const fine = solvePass(stub, buildProfile(stub.profile), 1 / 4, 1_000_000).answer.root;
    expect(Math.abs(root.highestVonMises!.stress / fine.highestVonMises!.stress - 1)).toBeLessThan(0.02);
    expect(rootField!.highestVonMises).toBeCloseTo(root.highestVonMises!.stress / torque.shock, 12);

    const ring = answerDesign(designOf(rounded(0.4))).result.root;
    expect(ring.highestVonMises).toEqual(ring.peakVonMises);
  });

  test("says how much harder a root is pushed than the governing one is pulled, at peaks and over the averaging distance", () => {
    const stub = designOf({ ...demoSpline("external spline"), rootRadius: 0.1, backDiameter: 10 });
    const { root, rootField } = answerDesign(stub).result;
    const byPeaks = root.highestVonMises!.stress / root.peakPrincipal!.stress;
    expect(root.pushOverPull).toBeGreaterThanOrEqual(byPeaks);
    expect(root.pushOverPull).toBeLessThan(1.1 * byPeaks);
    expect(rootField!.pushOverPull).toBe(root.pushOverPull);

    // the same roots left sharp have no peaks; their averages tell much the same
    const bare = answerDesign(designOf({ ...stub.profile, rootRadius: 0 } as SplineProfile)).result.root;
    expect(Math.abs(bare.pushOverPull! / root.pushOverPull! - 1)).toBeLessThan(0.05);

    // a ring's thrust pulls both roots
    expect(answerDesign(designOf(rounded(0.4))).result.root.pushOverPull).toBe(1);
  });

  test("has the torque of a check by hand", () => {
    // 690 N·m × 1.8 on 17 teeth: 72.9 kN round Ø34 in all, 8.6 kN a tooth at half sharing (arithmetic)
    const design = designOf(rounded(0.4));
    const { torque } = answerDesign(design).result;
    expect(torque.shock).toBeCloseTo(1_242_000, 6);
    expect(torque.shock / 17).toBeCloseTo(73_058.8, 1);
    expect(torque.perTooth / 17).toBeCloseTo(8_595.2, 1);
    expect(torque.applied).toBeCloseTo(torque.shock / 0.5, 3);
    expect(torque.imbalance).toBeLessThan(1e-9);
  });

  test("has the contact pressure of an involute flank: torque over base radius times arc length times width", () => {
    // r × n is the base radius all along an involute, whose arc length is rb (t1² − t0²) / 2: closed form
    const design = designOf(rounded(0.4));
    const pass = solvePass(design, buildProfile(design.profile), 0.5, 400_000);
    const p = design.profile as SplineProfile;
    const rb = (p.pitchDiameter / 2) * Math.cos(Math.PI / 6);
    const [t0, t1] = buildProfile(p).contact.map((d) => Math.sqrt((d / 2 / rb) ** 2 - 1));
    const exact = pass.loads.perTooth / ((rb * rb * (t1 ** 2 - t0 ** 2)) / 2) / p.faceWidth;
    expect(pass.loads.pressure / exact).toBeCloseTo(1, 6);
  });

  test.each([
    { name: "spline", profile: rounded(0.4) },
    { name: "face tooth", profile: face },
  ])("grows with the torque and falls with the face width, in proportion: $name", ({ profile }) => {
    const once = answerDesign(designOf(profile)).result.root;
    const design = designOf(profile);
    const load = { ...design.load, torque: 2 * design.load.torque };
    const twice = answerDesign({ ...design, load }).result.root;
    expect(twice.peakPrincipal!.stress / once.peakPrincipal!.stress).toBeCloseTo(2, 9);
    const wide = answerDesign(designOf({ ...profile, faceWidth: 2 * profile.faceWidth })).result.root;
    expect(once.peakPrincipal!.stress / wide.peakPrincipal!.stress).toBeCloseTo(2, 9);
    expect(once.kt).toBeCloseTo(wide.kt!, 9);
  });

  test.each([
    { name: "spline", profile: rounded(0.4) },
    { name: "sharp spline", profile: rounded(0) },
    { name: "face tooth", profile: face },
  ])("is the same for a part of twice the size under eight times the torque: $name", ({ profile }) => {
    const small = answerDesign(designOf(profile)).result.root;
    const design = designOf(scaleProfile(profile, 2), { averagingDistance: 0.2 });
    const large = answerDesign({ ...design, load: { ...design.load, torque: 8 * design.load.torque } }).result
      .root;
    expect(large.average.opening / small.average.opening).toBeCloseTo(1, 8);
    if (!small.sharp) expect(large.peakPrincipal!.stress / small.peakPrincipal!.stress).toBeCloseTo(1, 8);
  });

  test("of a whole ring with all teeth alike is that of one sector", () => {
    const sector = designOf(rounded(0.4));
    const weights = Array.from({ length: 17 }, () => 1 / 17);
    const ring: Design = {
      ...sector,
      load: { ...sector.load, torque: 2 * 690_000, sharing: { mode: "teeth", weights } },
    };
    const built = buildProfile(sector.profile);
    const one = solvePass(sector, built, 1, 400_000);
    const all = solvePass(ring, built, 1, 400_000);
    expect(all.model.kind).toBe("whole ring");
    expect(all.loads.perTooth).toBeCloseTo(one.loads.perTooth, 6);
    // recovery sees the cut as a seam in one and as plain material in the other
    expect(all.answer.root.peakPrincipal!.stress / one.answer.root.peakPrincipal!.stress).toBeCloseTo(1, 6);
    expect(all.answer.root.average.opening / one.answer.root.average.opening).toBeCloseTo(1, 6);
  });

  test("of a strip of face teeth all alike is that of one tooth", () => {
    const one = designOf(face);
    const n = face.teeth;
    const weights = Array.from({ length: n }, () => 1 / n);
    const strip: Design = {
      ...one,
      load: { ...one.load, torque: 2 * 690_000, sharing: { mode: "teeth", weights } },
    };
    const built = buildProfile(face);
    const a = solvePass(one, built, 1, 400_000).answer.root;
    const b = solvePass(strip, built, 1, 400_000).answer.root;
    expect(b.peakPrincipal!.stress / a.peakPrincipal!.stress).toBeCloseTo(1, 6);
  });

  test("of one loaded tooth in the ring names that tooth's root and balances force and torque", () => {
    // a thick rim: in a thin one, bent by the one tooth's thrust, another root is pulled harder
    const base = designOf({ ...rounded(0.4), backDiameter: 120 });
    const weights = Array.from({ length: 17 }, (_, k) => (k === 4 ? 1 : 0));
    const design: Design = { ...base, load: { ...base.load, sharing: { mode: "teeth", weights } } };
    const { result } = answerDesign(design);
    expect(result.model).toBe("whole ring");
    expect(result.torque.imbalance).toBeLessThan(1e-9);
    expect(result.torque.applied).toBeCloseTo(result.torque.shock, 3);
    const { x, y } = result.root.peakPrincipal!;
    const tooth = ((Math.atan2(y, x) + 2 * Math.PI) % (2 * Math.PI)) / ((2 * Math.PI) / 17);
    expect(Math.abs(tooth - 4)).toBeLessThan(0.5);
  });

  test("turns only with the torque when the loaded tooth moves round the ring", () => {
    const base = designOf(rounded(0.8));
    const peak = (loaded: number) => {
      const weights = Array.from({ length: 17 }, (_, k) => (k === loaded ? 1 : 0));
      return solvePass(
        { ...base, load: { ...base.load, sharing: { mode: "teeth", weights } } },
        buildProfile(base.profile),
        1.2,
        400_000,
      ).answer.root.peakPrincipal!.stress;
    };
    expect(peak(7) / peak(0)).toBeCloseTo(1, 6);
  });

  test("of two loads at once is that of one and the other, in a ring (superposition of reactions)", () => {
    const base = designOf(rounded(0.8));
    const built = buildProfile(base.profile);
    const loadsOf = (teeth: number[]) => {
      const weights = Array.from({ length: 17 }, (_, k) => (teeth.includes(k) ? 1 / teeth.length : 0));
      const design: Design = { ...base, load: { ...base.load, sharing: { mode: "teeth", weights } } };
      return toothLoads(design, built, solvePass(design, built, 1.2, 400_000).model);
    };
    const both = loadsOf([2, 9]);
    expect(both.appliedTorque).toBeCloseTo((loadsOf([2]).appliedTorque + loadsOf([9]).appliedTorque) / 2, 3);
    expect(both.reactionTorque).toBeCloseTo(-both.appliedTorque, 3);
  });

  test("where a rubbing contact begins at the fillet's end, the root's peak is that of the fillet", () => {
    // the shear traction jumps there, and the stress along the surface would grow with every finer mesh
    const text = `part: Ratchet
profile: { kind: face tooth, teeth: 8, mean diameter: 50.8 mm, face width: 10.16 mm, height: 4.572 mm, back-cut: 3 deg, ramp angle: 50 deg, root radius: 1.524 mm, tip chamfer: 0.254 mm, loaded flank: over-run }
load: { torque: 244 N m, shock factor: 2, friction: 0.2 }
`;
    const [ratchet] = readPart(text, "ratchet.yaml").designs as [Design];
    const [coarse, fine] = [0.01, 0.001].map((accuracy) => answerDesign(ratchet, { accuracy }).result);
    expect(coarse!.accuracy.met).toBe(true);
    expect(fine!.accuracy.met).toBe(true);
    const peak = (of: typeof coarse) => of!.root.peakPrincipal!;
    expect(Math.abs(peak(coarse).stress / peak(fine).stress - 1)).toBeLessThan(0.01);
    const end = ratchet.profile.contact[0];
    expect(end - peak(fine).y).toBeGreaterThan(0.05);
  });

  test("with friction keeps the torque and changes the pressure", () => {
    const base = designOf(rounded(0.4));
    const plain = answerDesign(base).result;
    const rubbing = answerDesign({ ...base, load: { ...base.load, friction: 0.1 } }).result;
    expect(rubbing.torque.applied).toBeCloseTo(plain.torque.applied, 2);
    expect(rubbing.torque.imbalance).toBeLessThan(1e-9);
    expect(rubbing.root.contactPressure).not.toBeCloseTo(plain.root.contactPressure, 1);
  });

  test("says when it stops short of the accuracy asked for, and at which limit", () => {
    const { result } = answerDesign(designOf(rounded(0.4)), { accuracy: 1e-9, maxUnknowns: 20_000 });
    expect(result.notes.join()).toContain("above the");
    expect(result.accuracy).toEqual({ target: 1e-9, met: false, stoppedBy: "unknowns" });
    expect(result.passes.length).toBeGreaterThan(1);
    expect(Math.max(...result.passes.map((p) => p.unknowns))).toBeLessThanOrEqual(20_000);
  });
});
