import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type Design, type OverRunChoice, readPart } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import {
  assessOverRun,
  type Band,
  designCapacity,
  designOverRun,
  fairSplit,
  hasOverRunCase,
  leastRamp,
  overRunCases,
  pinBand,
  type RootField,
  variantChanges,
} from "../../src/strength/index.ts";
import { off, reference } from "./reference.ts";
import { rootOf } from "./roots.ts";

const rad = (degrees: number) => (degrees * Math.PI) / 180;
const HUB: OverRunChoice = {
  rampAngle: rad(8),
  meanRadius: 27.5,
  springForce: 160,
  friction: [0.08, 0.2],
  spline: { radius: 17, pressureAngle: rad(30) },
  torque: 1_242_000,
};
const ROOT: Band = { low: 1_800_000, high: 2_840_000 };
const root = (torque: Band) => ({ mode: "fatigue" as const, torque, vouched: true });
const demo = (name: string) =>
  readPart(readFileSync(new URL(`../../demo/${name}.yaml`, import.meta.url), "utf8"), name).designs;
const hub = demo("orchard-hub");
const ramp = demo("orchard-ramp");
const variant = (designs: readonly Design[], name: string) => designs.find((one) => one.variant === name)!;

describe("click-over torque", () => {
  // T = Fs/[tan(β − φ)/R − μ/(r cos α)] worked by hand for springs of 160 N, R 27.5, r 17 mm, α 30°, to whole N·m
  const NEVER = null;
  test.each([
    [8, [NEVER, NEVER, NEVER, NEVER]],
    [15, [127, NEVER, NEVER, NEVER]],
    [23, [24, 67, NEVER, NEVER]],
    [31, [13, 20, 43, NEVER]],
    [38, [9, 12, 17, 34]],
  ] as const)("of a ramp of %d° is the table's at friction 0.08, 0.12, 0.16, 0.20", (degrees, expected) => {
    const at = (mu: number) =>
      assessOverRun({ ...HUB, rampAngle: rad(degrees), friction: [mu, mu] }, null, null).clickOver.low;
    const found = [0.08, 0.12, 0.16, 0.2].map((mu) => {
      const click = at(mu);
      return click === null ? null : Math.round(click / 1000);
    });
    expect(found).toEqual(expected);
  });

  const angle = fc.double({ min: rad(1), max: rad(70), noNaN: true });
  const mu = fc.double({ min: 0.01, max: 0.4, noNaN: true });

  test("falls with the ramp angle and rises with friction, and the verdict goes one way with both", () => {
    const rank = { "lets go": 2, "depends on friction": 1, "self-holding": 0 };
    fc.assert(
      fc.property(
        angle,
        angle,
        mu,
        mu,
        fc.double({ min: 0.02, max: 0.2, noNaN: true }),
        (a, b, m, n, wide) => {
          const of = (rampAngle: number, low: number) =>
            assessOverRun({ ...HUB, rampAngle, friction: [low, low + wide] }, null, null);
          const [flat, steep] = a < b ? [a, b] : [b, a];
          const [slippery, sticky] = m < n ? [m, n] : [n, m];
          const click = (x: ReturnType<typeof of>) => x.clickOver.low ?? Number.POSITIVE_INFINITY;
          expect(click(of(steep, m))).toBeLessThanOrEqual(click(of(flat, m)));
          expect(click(of(a, slippery))).toBeLessThanOrEqual(click(of(a, sticky)));
          expect(rank[of(steep, m).verdict]).toBeGreaterThanOrEqual(rank[of(flat, m).verdict]);
          expect(rank[of(a, slippery).verdict]).toBeGreaterThanOrEqual(rank[of(a, sticky).verdict]);
        },
      ),
      { seed: 23, numRuns: 300 },
    );
  });

  test("the least ramp told is where the verdict turns, and the largest friction told where the ring still lets go", () => {
    const { leastRamp: least } = assessOverRun(HUB, null, null);
    const at = (rampAngle: number) => assessOverRun({ ...HUB, rampAngle }, null, null).verdict;
    expect(at(least! + 1e-6)).toBe("lets go");
    expect(at(least! - 1e-6)).toBe("depends on friction");
    expect(least).toBe(leastRamp({ meanRadius: 27.5, spline: HUB.spline }, 0.2));
    const { holdsAbove } = assessOverRun({ ...HUB, rampAngle: rad(31) }, null, null);
    const click = (one: number) =>
      assessOverRun({ ...HUB, rampAngle: rad(31), friction: [one, one] }, null, null).clickOver.low;
    expect(click(holdsAbove - 1e-6)).not.toBe(null);
    expect(click(holdsAbove + 1e-6)).toBe(null);
  });

  test("a ramp that lets go in time clicks over at the least of pins, root and the largest torque, at high friction", () => {
    const root = { mode: "fatigue", torque: { low: 180_000, high: 400_000 }, vouched: true } as const;
    const band = { low: 327_000, high: 400_000 };
    for (const [pins, found, torque, limit] of [
      [band, null, 1_242_000, 327_000],
      [band, root, 1_242_000, 180_000],
      [null, null, 60_000, 60_000],
    ] as const) {
      const { rampInTime } = assessOverRun({ ...HUB, torque }, pins, found);
      const { clickOver } = assessOverRun({ ...HUB, torque, rampAngle: rampInTime! }, pins, found);
      expect(Math.abs(clickOver.high! / limit - 1)).toBeLessThan(1e-9);
    }
  });

  test("a back-cut or a friction that no ramp overcomes is told as such", () => {
    expect(assessOverRun({ ...HUB, rampAngle: rad(-2) }, null, null)).toMatchObject({
      verdict: "self-holding",
      holdsAbove: 0,
    });
    expect(assessOverRun({ ...HUB, friction: [0.5, 1] }, null, null).leastRamp).toBe(null);
  });
});

describe("pins", () => {
  const pins = (count: number, diameter: number) => ({
    count,
    diameter,
    radius: 22,
    planes: 1,
    shearStrength: [700, 700] as const,
  });

  // n s (π d²/4) τ R worked by hand at τ 700 MPa, R 22 mm, to whole N·m
  test.each([
    [3, 3, 327],
    [3, 4, 581],
    [4, 5, 1210],
  ])("%d of %d mm shear at %d N·m", (count, diameter, torque) => {
    const { low, high } = pinBand(pins(count, diameter));
    expect(low).toBe(high);
    expect(Math.round(low / 1000)).toBe(torque);
  });

  // ultimate shear 0.67 of tensile (Shigley, from a public course code)
  test.each(reference("ramp-and-pins", "pins"))(
    "$id shear at the reference's ultimate",
    ({ inputs, expected }) => {
      const of = (key: string) => Number(inputs[key]);
      const shear = 0.67 * of("UTS");
      const band = pinBand({
        count: of("n"),
        diameter: of("d"),
        radius: of("R"),
        planes: of("planes"),
        shearStrength: [shear, shear],
      });
      expect(off(band.low / 1000, expected["T_ultimate_Nm"]!)).toBeLessThan(1e-3);
    },
  );

  test("of the demo shear at those torques", () => {
    const of = (name: string) => pinBand(variant(hub, name).pins!).low / 1000;
    expect([of("V0"), of("V9"), of("V8")].map(Math.round)).toEqual([327, 581, 1210]);
    expect(variant(ramp, "V8").pins).toEqual(variant(hub, "V8").pins);
  });
});

describe("what gives first", () => {
  const small: Band = { low: 300_000, high: 350_000 };

  test("a ring that holds breaks its pins, and the root next; bigger pins change places with it", () => {
    const held = assessOverRun(HUB, small, root(ROOT));
    expect(held.sticky).toEqual(held.slippery);
    expect(held.sticky.first).toEqual({ what: "pins shear", torque: small });
    expect(held.sticky.next).toEqual({ what: "root breaks", torque: ROOT });
    expect(held.value).toEqual(small);
    const big = assessOverRun(HUB, { low: 2e6, high: 4e6 }, root(ROOT));
    expect(big.sticky.first!.what).toBe("root breaks");
    expect(big.sticky.next!.what).toBe("pins shear");
    expect(big.value).toEqual(ROOT);
    expect(big.margin.low).toBeCloseTo(1_800_000 / 1_242_000, 12);
  });

  test("a ring that lets go is loaded no further, and only its root limits what over-running can bring", () => {
    const free = assessOverRun({ ...HUB, rampAngle: rad(38) }, small, root(ROOT));
    expect(free.verdict).toBe("lets go");
    expect(free.sticky.first).toMatchObject({ what: "ring lets go" });
    expect(free.sticky.next).toBe(null);
    expect(free.value).toEqual(ROOT);
  });

  test("one that lets go only while slippery has the pins at the low end and the root at the high end", () => {
    const both = assessOverRun({ ...HUB, rampAngle: rad(23) }, small, root(ROOT));
    expect(both.slippery.first!.what).toBe("ring lets go");
    expect(both.sticky.first!.what).toBe("pins shear");
    expect(both.value).toEqual({ low: small.low, high: ROOT.high });
  });

  test("pins are held to what lifts the ring, or to all that over-running brings where that is less", () => {
    // 38° clicks over at 34.1 N·m where μ is 0.20, at 8.62 where it is 0.08 (hand-worked, T = Fs / [tan(β − φ)/R − μ/(r cos α)])
    const thin: Band = { low: 36_000, high: 40_000 };
    const ramp = { ...HUB, rampAngle: rad(38) };
    const free = assessOverRun(ramp, thin, root(ROOT));
    expect(free.verdict).toBe("lets go");
    expect(free.margin.low).toBeCloseTo(36 / 34.1, 2);
    expect(free.sticky.counted).toEqual({ what: "pins shear", torque: thin });
    // a tenth of the torque that 40 N·m of pins stand at 8.62 N·m: there the root is the lesser
    expect(free.slippery.counted).toEqual({ what: "root breaks", torque: ROOT });
    expect(free.margin.high).toBeCloseTo(ROOT.high / 1_242_000, 12);
    // too little to lift the ring at high friction: it all goes through the pins
    const never = assessOverRun({ ...ramp, torque: 30_000 }, thin, root(ROOT));
    expect(never.margin.low).toBeCloseTo(36 / 30, 12);
    expect(never.sticky.counted!.what).toBe("pins shear");
    // stronger than anything that comes on them, the root is what is left
    expect(assessOverRun(ramp, small, root(ROOT)).margin.low).toBeCloseTo(ROOT.low / 1_242_000, 12);
  });

  test("a ramp that lets go in time leaves the pins the margin wanted", () => {
    const ramp = assessOverRun(HUB, small, root(ROOT), { wanted: 2 }).rampInTime!;
    const turned = assessOverRun({ ...HUB, rampAngle: ramp }, small, root(ROOT));
    expect(turned.clickOver.high!).toBeCloseTo(150_000, 3);
    expect(small.low / turned.clickOver.high!).toBeCloseTo(2, 9);
  });

  test("letting go beyond what holds it counts as holding", () => {
    // 23° clicks over at 67 N·m where μ is 0.12: pins of 50 N·m go before
    const weak = assessOverRun(
      { ...HUB, rampAngle: rad(23), friction: [0.12, 0.12] },
      { low: 50_000, high: 60_000 },
      root(ROOT),
    );
    expect(weak.verdict).toBe("lets go");
    expect(weak.sticky.first!.what).toBe("pins shear");
    expect(weak.value).toEqual({ low: 50_000, high: 60_000 });
  });

  test("with nothing known nothing breaks, and without a steel it says why the root is not counted", () => {
    const alone = assessOverRun({ ...HUB, rampAngle: rad(38) }, null, null);
    expect(alone.value).toEqual({ low: Number.POSITIVE_INFINITY, high: Number.POSITIVE_INFINITY });
    expect(assessOverRun(HUB, null, null).sticky).toEqual({ first: null, next: null, counted: null });
    const { steel: _steel, strength: _strength, ...rest } = variant(hub, "V0");
    expect(designOverRun({ ...rest, steel: null }, null)!.rootUnknown).toBe("no steel is named");
    const { overRun: _overRun, ...bare } = variant(hub, "V0");
    expect(designOverRun(bare, null)).toBe(null);
  });

  test("what over-running can bring, and its margin, never falls with a stronger pin, a steeper ramp or a stronger root", () => {
    const band = fc
      .tuple(fc.double({ min: 1e4, max: 4e6, noNaN: true }), fc.double({ min: 1, max: 2, noNaN: true }))
      .map(([low, wide]): Band => ({ low, high: low * wide }));
    const more = fc.double({ min: 1, max: 3, noNaN: true });
    const scaled = ({ low, high }: Band, by: number): Band => ({ low: low * by, high: high * by });
    fc.assert(
      fc.property(
        band,
        band,
        more,
        fc.double({ min: 1, max: 50, noNaN: true }),
        (pins, strong, by, degrees) => {
          const told = (d: number, p: Band, r: Band, choice = HUB) =>
            assessOverRun({ ...choice, rampAngle: rad(d) }, p, root(r));
          const of = (d: number, p: Band, r: Band) => told(d, p, r).value;
          const base = of(degrees, pins, strong);
          expect(base.low).toBeLessThanOrEqual(base.high);
          // nor does its margin, which more torque, stiffer springs and more friction never raise
          const { margin } = told(degrees, pins, strong);
          expect(margin.low).toBeLessThanOrEqual(margin.high);
          for (const [better, worse] of [
            [told(degrees, scaled(pins, by), strong).margin, margin],
            [told(degrees + 5, pins, strong).margin, margin],
            [told(degrees, pins, scaled(strong, by)).margin, margin],
            [margin, told(degrees, pins, strong, { ...HUB, torque: by * HUB.torque }).margin],
            [margin, told(degrees, pins, strong, { ...HUB, springForce: by * HUB.springForce }).margin],
            [margin, told(degrees, pins, strong, { ...HUB, friction: [0.08 * by, 0.2 * by] }).margin],
          ] as const)
            for (const end of ["low", "high"] as const)
              expect(worse[end]).toBeLessThanOrEqual(better[end] * (1 + 1e-12));
          for (const other of [
            of(degrees, scaled(pins, by), strong),
            of(degrees + 5, pins, strong),
            of(degrees, pins, scaled(strong, by)),
          ]) {
            expect(other.low).toBeGreaterThanOrEqual(base.low * (1 - 1e-12));
            expect(other.high).toBeGreaterThanOrEqual(base.high * (1 - 1e-12));
          }
        },
      ),
      { seed: 41, numRuns: 300 },
    );
  });
});

describe("the load case of over-running", () => {
  test("is a spline's own, and another flank's of a face tooth that drives", () => {
    const [spline, face] = [variant(hub, "V0"), variant(ramp, "V4")];
    expect(overRunCases(spline)[0]).toBe(spline);
    expect(hasOverRunCase(face)).toBe(true);
    const turned = overRunCases(face)[0];
    // the demo's contact heights fit this flank too
    expect(turned.profile).toEqual({ ...face.profile, loadedFlank: "over-run" });
    expect(overRunCases(turned)[0]).toBe(turned);
    const { overRun: _overRun, ...silent } = face;
    expect(hasOverRunCase(silent)).toBe(false);
  });

  test("is two of a face tooth, with the highest and the lowest friction, each without a case of its own", () => {
    const face = variant(ramp, "V4");
    const frictions = (design: Design) => overRunCases(design).map(({ load }) => load.friction);
    expect(frictions(face)).toEqual([0.2, 0.08]);
    expect(overRunCases(face).every((one) => !hasOverRunCase(one))).toBe(true);
    const rough: Design = { ...face, load: { ...face.load, friction: 0.3 } };
    expect(frictions(rough)).toEqual([0.3, 0.08]);
    expect(frictions({ ...face, overRun: { ...face.overRun!, friction: [0.1, 0.1] } })).toEqual([0.1]);
    // one that is loaded so already is its own case, and the other end is another
    const [turned] = overRunCases(face);
    const own: Design = { ...turned, overRun: face.overRun! };
    expect(overRunCases(own)[0]).toBe(own);
    expect(frictions(own)).toEqual([0.2, 0.08]);
    expect(hasOverRunCase(own)).toBe(true);
  });

  // equilibrium of the ramp: a torque T at the radius R with friction μ presses a flank of the angle β with p = T/(R A (cos β + μ sin β)), A its
  // area (statics, as in docs/strength.md)
  test("counts the root at whichever end of the friction it gives first", { timeout: 60_000 }, () => {
    const design = (friction: string, shocks: number) =>
      readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 45.84 mm, face width: 10 mm, height: 3 mm, drive flank angle: 0 deg, ramp angle: 45 deg,
  root radius: 0.4 mm, base thickness: 9 mm }
load: { torque: 1000 N m }
steel: { grade: 4340, hardness: 28..30 HRC }
strength: { shocks: ${shocks} }
over-run: { spring force: 200 N, friction: ${friction}, torque: 2900 N m }
`,
        "ring.yaml",
      ).designs[0]!;
    const root = (friction: string, shocks = 1) =>
      answerDesign(design(friction, shocks)).result.overRun!.root!;
    const [wide, easy, hard] = ["0.05..0.20", "0.05", "0.20"].map((friction) => root(friction));
    expect(wide).toEqual({ ...easy, lowFriction: true });
    expect(wide!.mode).toBe("flank crushing");
    expect(hard!.torque.low / easy!.torque.low).toBeCloseTo(1.2 / 1.05, 3);
    // fatigue of this root is worse where it sticks
    const [both, low, high] = ["0.05..0.20", "0.05", "0.20"].map((friction) => root(friction, 100_000));
    expect(both).toEqual(high);
    expect(high!.torque.low).toBeLessThan(low!.torque.low);
    // and nothing between the two ends is worse than both
    for (const shocks of [1, 100_000])
      for (const friction of ["0.09", "0.14"]) {
        const between = root(friction, shocks).torque.low;
        expect(between).toBeGreaterThan(0.99 * (shocks === 1 ? wide : both)!.torque.low);
      }
  });

  test("the over-run flank loaded stands what it stands in over-running, where nobody gives one friction", () => {
    const answer = (load: string) =>
      answerDesign(
        readPart(
          `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 55 mm, face width: 9 mm, height: 4 mm, root radius: 0.5 mm, drive flank angle: 3 deg, ramp angle: 35 deg, loaded flank: over-run }
load: { torque: 350 N m, teeth sharing: 25 %, which teeth: worst${load} }
steel: { grade: 4340, hardness: 40..44 HRC }
over-run: { spring force: 160 N, friction: 0.08..0.20 }
answer: { accuracy: 2 % }
`,
          "ring.yaml",
        ).designs[0]!,
      ).result;
    const both = answer("");
    // one that is told is one
    const [low, high] = [", friction: 0.08", ", friction: 0.1999"].map(answer);
    expect(both.capacity!.stands.low).toBe(Math.min(...[low, high].map((one) => one!.capacity!.stands.low)));
    // few teeth side by side: what is harder to push apart bends the base less
    expect(low!.capacity!.stands.low).toBeLessThan(0.9 * high!.capacity!.stands.low);
    expect(both.capacity!.stands.low).toBeCloseTo(both.overRun!.root!.torque.low, 6);
    expect(both.notes.join()).toContain("worse of both its ends");
    expect(low!.notes.join()).not.toContain("worse of both its ends");
  });

  // p = F/(A (cos β + μ sin β)): what rubs less is pressed harder
  test("leaning drive flanks are judged without friction and with what holds them, so that springs and ramps add nothing to the metal", () => {
    const stands = (more: string, load = "") =>
      answerDesign(
        readPart(
          `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 60 mm, face width: 10 mm, height: 4 mm, drive flank angle: 40 deg, ramp angle: 40 deg, root radius: 0.6 mm, base thickness: 12 mm, contact: { from: 3 mm, to: 3.8 mm }, ring: kept flat }
load: { torque: 1300 N m, teeth sharing: 100 %${load} }
steel: { grade: 1040, hardness: 20..24 HRC }
strength: { shocks: 1 }
answer: { accuracy: 2 % }
${more}`,
          "ring.yaml",
        ).designs[0]!,
      ).result.capacity!;
    const section = "over-run: { spring force: 60000 N, friction: 0.05..0.20 }\n";
    const [bare, both] = [stands(""), stands(section)];
    expect(both.governing.id).toBe("flank crushing");
    expect(both.stands.low).toBeCloseTo(bare.stands.low, 3);
    const slope = Math.tan((40 * Math.PI) / 180);
    expect(stands(section, ", friction: 0.2").stands.low / both.stands.low).toBeCloseTo(1 + 0.2 * slope, 3);
  });

  test("takes what the flank has of given contact heights, however little that is", () => {
    const face = variant(ramp, "V2");
    if (face.profile.kind !== "face tooth") throw new Error("no face tooth");
    // a fillet on the over-run side that reaches above the contact
    const odd: Design = {
      ...face,
      profile: { ...face.profile, contact: [0.1, 4], driveRootRadius: 0.05, overrunRootRadius: 1 },
    };
    const { profile } = overRunCases(odd)[0];
    const fillet = 1 * (1 - Math.sin(face.profile.overrunAngle));
    expect(profile).toMatchObject({ loadedFlank: "over-run", contactGiven: true, contact: [fillet, 4] });
    expect(() => buildProfile(profile)).not.toThrow();
    // the mate that reaches this far on one flank reaches no further on the other
    const upTo = (to: number): Design => ({
      ...odd,
      profile: { ...odd.profile, contact: [0.1, to] } as typeof face.profile,
    });
    const told = answerDesign({ ...upTo(fillet + 0.1), steel: null, accuracy: 0.05 }).result.notes.join();
    expect(told).toMatch(
      /over-run flank loaded: of the contact given, 0\.1 to 0\.\d+ mm, its flank has only/,
    );
    const narrow = overRunCases(upTo(fillet + 0.1))[0].profile;
    expect(narrow).toMatchObject({ contactGiven: true, contact: [fillet, fillet + 0.1] });
    expect(() => buildProfile(narrow)).not.toThrow();
    // wholly beside the fillet: nothing is known of it
    expect(() => buildProfile(overRunCases(upTo(fillet - 0.1))[0].profile)).toThrow(/contact/);
  });

  test("takes a full root of the flank that bears nothing as the radius that it is", () => {
    const { designs } = readPart(
      `part: Ring
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, drive flank angle: 12 deg, ramp angle: 40 deg, drive root radius: 0.3 mm, over-run root radius: full, tip land: 6 mm }
load: { torque: 300 N m, teeth sharing: 50 % }
over-run: { spring force: 600 N, friction: 0.08..0.20, spline radius: 17 mm, spline pressure angle: 30 deg }
`,
      "ring.yaml",
    );
    expect(() => buildProfile(overRunCases(designs[0]!)[0].profile)).not.toThrow();
  });

  test("of the demo's V8 has its pins first and the root soon after: bigger pins have moved the break", () => {
    const before = variant(hub, "V0");
    const after = variant(hub, "V8");
    const field = rootOf(before, 2);
    const [small, big] = [before, after].map((design) => designOverRun(design, field)!);
    expect(small.sticky.first!.what).toBe("pins shear");
    expect(big.value.low).toBeGreaterThan(3 * small.value.low);
    expect(big.sticky.next!.what === "root breaks" || big.sticky.first!.what === "root breaks").toBe(true);
    // drive knows nothing of pins
    const capacity = (design: Design) => designCapacity(field, design);
    expect(capacity(after)).toEqual(capacity(before));
  });
});

describe("what each change bought in over-running", () => {
  const field: RootField = rootOf(variant(hub, "V0"), 2);
  const value = (design: Design): Band => designOverRun(design, field)!.value;

  test("pins alone are a change that bears on over-running and not on drive", () => {
    const found = variantChanges(variant(hub, "V0"), variant(hub, "V8"));
    expect(found.changes).toEqual([{ id: "pins", title: "pins" }]);
    expect([found.bearsOnDrive("pins"), found.bearsOnRelease("pins"), found.needsSolve("pins")]).toEqual([
      false,
      true,
      false,
    ]);
    expect(found.mix(new Set(["pins"])).pins).toEqual(variant(hub, "V8").pins);
  });

  test("springs, friction, ramp and pin strength are changes; the torque asked for is none", () => {
    const a = variant(hub, "V0");
    const b: Design = {
      ...a,
      overRun: {
        ...a.overRun!,
        rampAngle: 0.5,
        springForce: 200,
        friction: [0.1, 0.2],
        meanRadius: 30,
        spline: { radius: 18, pressureAngle: 0.5 },
        torque: 1,
      },
      pins: { ...a.pins!, shearStrength: [800, 900] },
    };
    const found = variantChanges(a, b);
    expect(found.changes.map(({ id }) => id)).toEqual([
      "ramp angle",
      "ramp radius",
      "springs",
      "friction",
      "sliding spline",
      "pin strength",
    ]);
    const all = found.mix(new Set(found.changes.map(({ id }) => id)));
    expect(all.overRun).toEqual({ ...b.overRun!, torque: a.overRun!.torque });
    expect(all.pins).toEqual(b.pins);
    const { pins: _pins, ...without } = a;
    const dropped = variantChanges(a, without);
    expect(dropped.changes.map(({ id }) => id)).toEqual(["pins"]);
    expect("pins" in dropped.mix(new Set(["pins"]))).toBe(false);
  });

  test("a face tooth's ramp is one change that bears on both load cases", () => {
    const [a, b] = [variant(ramp, "V4"), variant(ramp, "V7")];
    const found = variantChanges(a, b);
    expect(found.changes.filter(({ id }) => id === "ramp angle")).toHaveLength(1);
    expect([found.bearsOnDrive("ramp angle"), found.bearsOnRelease("ramp angle")]).toEqual([true, true]);
    const made = found.mix(new Set(["ramp angle"]));
    expect(made.overRun!.rampAngle).toBe(b.overRun!.rampAngle);
    expect((made.profile as { overrunAngle: number }).overrunAngle).toBe(b.overRun!.rampAngle);
  });

  test("the worths of all changes add up to the whole, at both ends of the band", () => {
    // one root for all: the split is of what is asked, whatever the root
    for (const [from, to] of [
      ["V0", "V9"],
      ["V3", "V8"],
      ["V8", "V11"],
    ] as const) {
      const [a, b] = [variant(hub, from), variant(hub, to)];
      const { changes, mix } = variantChanges(a, b);
      const split = fairSplit(changes, (made) => value(mix(made)));
      const ends = (pick: (band: Band) => number) =>
        split.changes.reduce((sum, { fair }) => sum + pick(fair), 0);
      const middle = ({ low, high }: Band) => (low + high) / 2;
      expect(ends(middle)).toBeCloseTo(middle(split.total), 3);
      expect(split.after).toEqual(value(mix(new Set(changes.map(({ id }) => id)))));
    }
  });
});
