import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { adaptedSize } from "../../src/answer/adaptedSize.ts";
import { estimateError } from "../../src/answer/errorEstimate.ts";
import { answerDesign } from "../../src/answer/index.ts";
import { sizeField } from "../../src/answer/sizing.ts";
import { solvePass } from "../../src/answer/solvePass.ts";
import { type Design, type Profile, readPart, type SplineProfile } from "../../src/design/index.ts";
import { meshOutline } from "../../src/mesh/index.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import {
  demoSpline,
  faceTeeth,
  faultsOf,
  involuteSplines,
  SEED,
  straightSplines,
} from "../profile/soundness.ts";
import { designOf } from "./designs.ts";

const demo = (file: string) => readPart(readFileSync(`demo/${file}`, "utf8"), file).designs;
const variant = (file: string, name: string): Design => demo(file).find((d) => d.variant === name)!;

describe("the estimate from a series of values", () => {
  test("is the last value's own bound over its scale where the values agree within their bounds", () => {
    const found = [
      { value: 100, bound: 5, scale: 100 },
      { value: 103, bound: 1, scale: 103 },
    ];
    expect(estimateError(found.slice(0, 1))).toBe(0.05);
    expect(estimateError(found)).toBe(1 / 103);
  });

  test("is raised by as much as two values are further apart than their bounds together", () => {
    const found = [
      { value: 100, bound: 1, scale: 100 },
      { value: 110, bound: 1, scale: 110 },
    ];
    expect(estimateError(found)).toBeCloseTo((1 / 110) * (10 / 2), 12);
  });
});

/** Involute and straight splines and face teeth, with a root radius from a tenth of the largest to nearly all of it. */
const profiles: fc.Arbitrary<Profile> = fc
  .tuple(
    fc.oneof(
      involuteSplines("internal spline"),
      involuteSplines("external spline"),
      straightSplines("internal spline"),
      straightSplines("external spline"),
      faceTeeth(),
    ),
    fc.double({ min: 0.1, max: 0.95, noNaN: true }),
  )
  .filter(([profile]) => faultsOf(() => largestFillet(profile, "loaded")).length === 0)
  .map(([profile, share]): Profile => {
    const radius = share * largestFillet(profile, "loaded").radius;
    if (profile.kind !== "face tooth") return { ...profile, rootRadius: radius };
    const key = profile.loadedFlank === "drive" ? "driveRootRadius" : "overrunRootRadius";
    return { ...profile, [key]: radius };
  })
  .filter((profile) => faultsOf(() => buildProfile(profile)).length === 0);

describe("the estimated error of random profiles", () => {
  const runs = { seed: SEED, numRuns: 10, endOnFailure: true };
  const small = (profile: Profile) => designOf(profile, { averagingDistance: 0.01 });

  test("covers the difference to a target ten times tighter, and is not over the target when it says it is met", () => {
    fc.assert(
      fc.property(profiles, (profile) => {
        const design = small(profile);
        const coarse = answerDesign(design, { accuracy: 0.01 }).result;
        const fine = answerDesign(design, { accuracy: 0.001 }).result;
        expect(coarse.accuracy).toEqual({ target: 0.01, met: true, stoppedBy: null });
        expect(coarse.root.errorEstimate).toBeLessThanOrEqual(0.01);
        expect(fine.root.errorEstimate).toBeLessThanOrEqual(0.001);
        const [a, b] = [coarse, fine].map((r) => r.passes.at(-1)!);
        expect(Math.abs(a.value - b.value)).toBeLessThanOrEqual((a.estimate + b.estimate) * b.value);
      }),
      runs,
    );
  });

  test("falls by half at least when all elements are made 2.5 times smaller", () => {
    fc.assert(
      fc.property(profiles, (profile) => {
        const design = small(profile);
        const built = buildProfile(profile);
        const [coarse, fine] = [1, 0.4].map((f) => solvePass(design, built, f, 1e6));
        expect(fine.error.bound / fine.answer.reading.scale).toBeLessThan(
          0.5 * (coarse.error.bound / coarse.answer.reading.scale),
        );
      }),
      runs,
    );
  });

  test("grows with the torque, in proportion", () => {
    fc.assert(
      fc.property(profiles, (profile) => {
        const design = small(profile);
        const built = buildProfile(profile);
        const once = solvePass(design, built, 1, 1e6);
        const load = { ...design.load, torque: 3 * design.load.torque };
        const thrice = solvePass({ ...design, load }, built, 1, 1e6);
        expect(thrice.error.bound / (3 * once.error.bound)).toBeCloseTo(1, 6);
      }),
      runs,
    );
  });
});

describe("the shares of elements in the error", () => {
  test("add up to the error that displacements bring, and lie round the root", () => {
    const design = designOf({ ...demoSpline("internal spline"), rootRadius: 0.4 });
    const { error, model, answer } = solvePass(design, buildProfile(design.profile), 1, 1e6);
    const sum = error.byElement.reduce((a, b) => a + b, 0);
    expect(sum).toBeCloseTo(error.displacement, 9);
    // an element's distance from the peak, weighted with its share
    const { x, y } = answer.root.peakPrincipal!;
    const { xy, elements } = model.mesh;
    let weight = 0;
    let far = 0;
    for (let e = 0; e < error.byElement.length; e++) {
      const i = 2 * elements[6 * e];
      const share = Math.abs(error.byElement[e]);
      weight += share;
      if (Math.hypot(xy[i] - x, xy[i + 1] - y) > 1.5) far += share;
    }
    expect(far / weight).toBeLessThan(0.5);
  });

  test("make a mesh whose shares scatter less than those of an even mesh of as many elements", () => {
    const design = designOf({ ...demoSpline("internal spline"), rootRadius: 0.4 });
    const built = buildProfile(design.profile);
    const first = solvePass(design, built, 1, 1e6);
    const coarsest = sizeField(design, built, 1);
    const allowed = 2e-4 * first.answer.reading.scale;
    const sizeOf = (error: number, mostGrowth: number) =>
      adaptedSize(first.sector, 1, first.model.mesh, first.error, error, coarsest, mostGrowth);
    const size = sizeOf(allowed, 100);
    const adapted = solvePass(design, built, 1, 1e6, { size });
    const even = solvePass(design, built, 0.5, 1e6);
    // the number of elements is foreseen within a factor of two: a much smaller error would ask for more than these times as many
    for (const growth of [2, 6]) {
      const bounded = meshOutline(built.outline, { size: sizeOf(allowed / 1000, growth) });
      const grown = bounded.elements.length / 6 / first.quality.elements;
      expect(grown).toBeGreaterThan(growth / 2);
      expect(grown).toBeLessThan(growth * 2);
    }
    expect(adapted.quality.elements).toBeLessThan(1.5 * even.quality.elements);
    expect(adapted.error.scatter).toBeLessThan(even.error.scatter);
    expect(adapted.error.bound).toBeLessThan(even.error.bound);
  });

  test("keep tied cuts alike: the adapted mesh is a valid one of the same sector", () => {
    const design = designOf({ ...demoSpline("external spline"), rootRadius: 0.4 });
    const built = buildProfile(design.profile);
    const first = solvePass(design, built, 1, 1e6);
    const coarsest = sizeField(design, built, 1);
    const size = adaptedSize(first.sector, 1, first.model.mesh, first.error, 0.05, coarsest, 8);
    const mesh = meshOutline(built.outline, { size });
    expect(mesh.tieLeader.length).toBeGreaterThan(0);
    expect(mesh.tieLeader.length).toBe(mesh.tieFollower.length);
  });
});

describe("tight targets on the demo parts", () => {
  test.each([
    { file: "orchard-hub.yaml", name: "V1" },
    { file: "orchard-hub.yaml", name: "sharp, as drawn" },
    { file: "orchard-ramp.yaml", name: "V2" },
  ])(
    "a run at 0.1 percent agrees with one at 0.02 percent to 0.1 percent: $file, $name",
    ({ file, name }) => {
      const design = variant(file, name);
      const [wide, tight] = [0.001, 0.0002].map((accuracy) => answerDesign(design, { accuracy }).result);
      expect(wide.accuracy.met).toBe(true);
      expect(tight.accuracy.met).toBe(true);
      const value = (r: typeof wide) => r.passes.at(-1)!.value;
      expect(Math.abs(value(wide) / value(tight) - 1)).toBeLessThan(0.001);
      expect(Math.abs(value(wide) / value(tight) - 1)).toBeLessThan(
        wide.root.errorEstimate + tight.root.errorEstimate,
      );
      // the whole point of putting elements where they matter
      expect(tight.mesh.unknowns).toBeLessThan(30_000);
    },
  );

  test("each pass but the first has more unknowns and a lower estimate, down to the target", () => {
    const { passes } = answerDesign(variant("orchard-hub.yaml", "V1"), { accuracy: 0.00005 }).result;
    expect(passes.length).toBeGreaterThan(1);
    for (let k = 1; k < passes.length; k++) {
      expect(passes[k].unknowns).toBeGreaterThan(passes[k - 1].unknowns);
      expect(passes[k].estimate).toBeLessThan(passes[k - 1].estimate);
    }
  });
});

describe("limits", () => {
  const spline = (changes: Partial<SplineProfile> = {}) =>
    designOf({ ...demoSpline("internal spline"), rootRadius: 0.4, ...changes });

  test("a first mesh that is larger than allowed is refused, with the limit named", () => {
    expect(() => answerDesign(spline(), { maxUnknowns: 500 })).toThrow("500 unknowns allowed");
  });

  test("a ring is held to the unknowns it has, not to those of its sectors apart", () => {
    const weights = Array.from({ length: 17 }, (_, k) => (k < 2 ? 0.5 : 0));
    const ring = { ...spline(), load: { ...spline().load, sharing: { mode: "teeth", weights } as const } };
    const free = answerDesign(ring, { accuracy: 0.05 }).result.passes[0]!.unknowns;
    // three supported components are no unknowns, but their nodes are counted
    const { result } = answerDesign(ring, { accuracy: 0.05, maxUnknowns: free + 4 });
    expect(result.passes[0]!.unknowns).toBe(free);
    expect(() => answerDesign(ring, { accuracy: 0.05, maxUnknowns: free - 1 })).toThrow("unknowns allowed");
  });

  test("a target out of reach ends at the limit of unknowns, which no pass exceeds", () => {
    const { result } = answerDesign(spline(), { accuracy: 1e-9, maxUnknowns: 6000 });
    expect(result.accuracy).toEqual({ target: 1e-9, met: false, stoppedBy: "unknowns" });
    expect(result.notes.some((note) => note.includes(`stopped at ${result.mesh.unknowns} unknowns`))).toBe(
      true,
    );
    for (const pass of result.passes) expect(pass.unknowns).toBeLessThanOrEqual(6000);
  });

  test("the result told is that of the last pass", () => {
    const { result } = answerDesign(spline(), { accuracy: 0.001 });
    const last = result.passes.at(-1)!;
    expect(last.value).toBe(result.root.peakPrincipal!.stress);
    expect(last.estimate).toBe(result.root.errorEstimate);
    expect(last.unknowns).toBe(result.mesh.unknowns);
  });
});

/*
 * Splines of standard proportions whose peaks lie where two of the recovery's polynomials cross along the surface, so that their gap along
 * it says next to nothing. Each against its own solution at a twentieth of the error asked for.
 */
describe("the estimate of a full root", () => {
  test.each([
    "kind: external spline, teeth: 12, pressure angle: 30 deg",
    "kind: external spline, teeth: 13, pressure angle: 30 deg",
    "kind: external spline, teeth: 12, pressure angle: 30 deg, bore diameter: 6.39 mm",
    "kind: internal spline, teeth: 11, pressure angle: 45 deg, rim diameter: 30.41 mm",
    "kind: internal spline, teeth: 19, pressure angle: 45 deg, rim diameter: 54 mm, tip chamfer: 0.2 mm",
    "kind: external spline, teeth: 71, pressure angle: 37.5 deg, bore diameter: 109.76 mm",
  ])("is no lower than its error: %s", (words) => {
    const text = `part: full root
profile: { ${words}, module: 2 mm, root form: fillet, root radius: full, face width: 10 mm }
load: { torque: 10 N m, teeth sharing: 100 % }
`;
    const [design] = readPart(text, "full.yaml").designs;
    const told = answerDesign(design).result.passes.at(-1)!;
    const exact = answerDesign(design, { accuracy: 0.0005 }).result.passes.at(-1)!;
    expect(Math.abs(told.value / exact.value - 1)).toBeLessThanOrEqual(told.estimate + exact.estimate);
    expect(told.estimate).toBeLessThanOrEqual(0.01);
  });
});

// what a whole ring's other roots see is no part of the governing reading: without a look at them these were told 4.3, 1.0 and 1.3 % too low
describe("the estimate of a part whose highest von Mises stress is another root's", () => {
  test.each([
    [
      "an internal spline with a thin rim, one tooth loaded",
      `kind: internal spline, flank: straight, teeth: 5, tip diameter: 53.198 mm, root diameter: 69.994 mm, tooth thickness: 17.098 mm,
    flank angle: 16.21 deg, root radius: 3.9685 mm, rim diameter: 74.26 mm, tip chamfer: 1.575 mm`,
      "loaded teeth: [1]",
    ],
    [
      "one whose fillet has two humps, the higher one off the first mesh's peak",
      `kind: internal spline, flank: straight, teeth: 8, tip diameter: 38.806 mm, root diameter: 45.667 mm, tooth thickness: 7.62 mm,
    flank angle: 23.67 deg, root radius: 0.8746 mm, rim diameter: 46.576 mm, tip chamfer: 0.765 mm`,
      "teeth sharing: 100 %",
    ],
    [
      "a hollow shaft, all teeth loaded",
      "kind: external spline, teeth: 4, module: 2 mm, pressure angle: 45 deg, root form: fillet, root radius: full, bore diameter: 2.91 mm",
      "teeth sharing: 100 %",
    ],
  ])("is no lower than the error of either: %s", (_, profile, sharing) => {
    const text = `part: other root
profile: { ${profile}, face width: 10 mm }
load: { torque: 10 N m, ${sharing} }
`;
    const [design] = readPart(text, "other.yaml").designs;
    const told = answerDesign(design).result;
    const exact = answerDesign(design, { accuracy: 0.0005 }).result;
    const allowed = told.root.errorEstimate + exact.root.errorEstimate;
    expect(told.root.errorEstimate).toBeLessThanOrEqual(0.01);
    for (const of of ["peakPrincipal", "highestVonMises"] as const)
      expect(Math.abs(told.root[of]!.stress / exact.root[of]!.stress - 1)).toBeLessThanOrEqual(allowed);
  });
});

// hardly pulled sharp roots, whose worst mean lies on a flank with sides as large as the hump: told 7.8 to 9.6 and 25.3 to 25.9 MPa by mesh
describe("the worst mean of a sharp root", () => {
  test.each([
    [
      "kind: external spline, teeth: 11, module: 2.696 mm, pressure angle: 37.5 deg, bore diameter: 19.062 mm, tip chamfer: 0.567 mm",
      "teeth sharing: 100 %, friction: -0.3",
      0.1,
    ],
    [
      "kind: external spline, teeth: 11, module: 1.9 mm, pressure angle: 45 deg, bore diameter: 15.21 mm",
      "teeth sharing: 50 %",
      0.05,
    ],
  ])("is found wherever the mesh has its nodes: %s", (profile, load, distance) => {
    const text = `part: sharp
profile: { ${profile}, root radius: 0, face width: 10 mm }
load: { torque: 300 N m, ${load} }
answer: { averaging distance: ${distance} mm }
`;
    const [design] = readPart(text, "sharp.yaml").designs;
    const values = [0.03, 0.01, 0.004, 0.001].map(
      (accuracy) => answerDesign(design, { accuracy }).result.root.average.opening,
    );
    expect(Math.max(...values) / Math.min(...values)).toBeLessThan(1.005);
  });
});
