import { describe, expect, test } from "vitest";
import { DesignError, type FaceToothProfile, type SplineProfile } from "../../src/design/design.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import { DEGREE, demoSpline, expectSound, faultsOf, namedLimit } from "./soundness.ts";

const external = demoSpline("external spline");
const internal = demoSpline("internal spline");
const straight: SplineProfile = {
  ...external,
  teeth: 6,
  flank: { form: "straight", angle: 0 },
  pitchDiameter: 26,
  module: 26 / 6,
  toothThickness: 26 * Math.asin(6 / 26),
  tipDiameter: 28,
  rootDiameter: 23,
  backDiameter: 10,
  contact: [24.5, 28],
};
const face: FaceToothProfile = {
  kind: "face tooth",
  teeth: 11,
  meanDiameter: 55,
  height: 4.5,
  driveAngle: -2 * DEGREE,
  overrunAngle: 31 * DEGREE,
  tipLand: 4,
  driveRootRadius: 1,
  overrunRootRadius: 1,
  tipChamfer: 0,
  baseThickness: 6,
  faceWidth: 9,
  contact: [1.2, 4.5],
  contactGiven: true,
  loadedFlank: "drive",
};
const ext = (change: Partial<SplineProfile>): SplineProfile => ({ ...external, ...change });
const int = (change: Partial<SplineProfile>): SplineProfile => ({ ...internal, ...change });
const str = (change: Partial<SplineProfile>): SplineProfile => ({ ...straight, ...change });
/** Few teeth: the root stands where fillets would need their centres inside the base circle. */
const tight = (change: Partial<SplineProfile>): SplineProfile => ({
  ...internal,
  teeth: 6,
  flank: { form: "involute", pressureAngle: 28.48 * DEGREE },
  pitchDiameter: 12,
  toothThickness: 2.6287,
  tipDiameter: 10.605,
  rootDiameter: 13.471,
  backDiameter: 29.065,
  contact: [10.605, 10.94],
  contactGiven: true,
  ...change,
});
const fac = (change: Partial<FaceToothProfile>): FaceToothProfile => ({ ...face, ...change });

describe("the profiles the faults start from", () => {
  test("have no fault", () => {
    for (const profile of [external, internal, straight, face])
      expect(() => buildProfile(profile)).not.toThrow();
  });
});

describe("a fault names its key, what was found and what would do", () => {
  const cases: [string, SplineProfile | FaceToothProfile, string, RegExp][] = [
    ["two teeth", ext({ teeth: 2 }), "teeth", /2 teeth.*3 or more/],
    ["a broken tooth count", ext({ teeth: 17.5 }), "teeth", /17\.5.*whole number/],
    [
      "a full root where the flank curves too tightly for it",
      tight({ rootRadius: "full" }),
      "root radius",
      /^(?!.*contact).*full does not fit: no arc over 1\.461 mm touches the flank.*Ø10\.54.*use 1\.461 mm or less/,
    ],
    [
      "the same with a contact band in the way",
      tight({ rootRadius: "full", contact: [10.605, 11.9986] }),
      "root radius",
      /^(?!.*contact band at).*full does not fit: no arc over 1\.461 mm.*, and the fillet would run into the contact band.*use 1\.20/,
    ],
    ["no tooth thickness", ext({ toothThickness: 0 }), "tooth thickness", /between 0 and 6\.28/],
    [
      "a tooth thicker than the pitch",
      ext({ toothThickness: 7 }),
      "tooth thickness",
      /7 mm leaves no space.*6\.2832/,
    ],
    [
      "a solid shaft",
      ext({ backDiameter: 0 }),
      "bore diameter",
      /solid shaft.*give a bore diameter; 7\.8 mm/,
    ],
    [
      "a bore through the root",
      ext({ backDiameter: 32 }),
      "bore diameter",
      /Ø32 lies outside the root Ø31; use a bore of 30\.5 mm or less/,
    ],
    [
      "a bore that leaves a skin",
      ext({ backDiameter: 30.9 }),
      "bore diameter",
      /less than 0\.1 of the tooth's height/,
    ],
    [
      "a root beyond the rim",
      int({ backDiameter: 36 }),
      "rim diameter",
      /root Ø37 lies beyond the rim Ø36; use a rim of 37\.473 mm or more/,
    ],
    [
      "an internal tip outside its root",
      int({ tipDiameter: 38 }),
      "tip diameter",
      /tip Ø38 of an internal spline is not inside its root Ø37/,
    ],
    [
      "an external tip inside its root",
      ext({ tipDiameter: 30 }),
      "tip diameter",
      /tip Ø30 of an external spline is not outside its root Ø31/,
    ],
    [
      "an internal tip below the base circle",
      int({ tipDiameter: 29 }),
      "tip diameter",
      /base circle Ø29\.445.*use a tip diameter of 29\.445 mm or more/,
    ],
    [
      "a flat pressure angle",
      ext({ flank: { form: "involute", pressureAngle: 2 * DEGREE } }),
      "pressure angle",
      /2°.*5° to 60°/,
    ],
    [
      "a flat straight flank",
      str({ flank: { form: "straight", angle: 70 * DEGREE } }),
      "flank angle",
      /70°.*-60° and 60°/,
    ],
    [
      "a straight flank that passes the root circle by",
      str({ flank: { form: "straight", angle: -58 * DEGREE }, rootDiameter: 20, toothThickness: 2 }),
      "flank angle",
      /never reach the root circle/,
    ],
    [
      "a pointed tooth",
      ext({ tipDiameter: 41 }),
      "tip diameter",
      /comes to a point at Ø38\.\d+, before the tip Ø41; use a tip diameter of 38\.\d+ mm or less/,
    ],
    [
      "a pointed internal tooth",
      int({ tipDiameter: 30, toothThickness: 1.2 }),
      "tip diameter",
      /comes to a point at Ø3\d\.\d+, before the tip Ø30; use a tip diameter of 3\d\.\d+ mm or more/,
    ],
    [
      "teeth that meet before the root",
      ext({ toothThickness: 5, rootDiameter: 30 }),
      "root diameter",
      /neighbouring teeth meet at Ø3\d\.\d+, before the root Ø30/,
    ],
    [
      "spaces that close before the root",
      int({ rootDiameter: 44 }),
      "root diameter",
      /neighbouring teeth meet at Ø38\.\d+, before the root Ø44; use a root diameter of 38\.\d+ mm or less/,
    ],
    [
      "a chamfer wider than the tip",
      ext({ tipChamfer: 1.5 }),
      "tip chamfer",
      /leaves no tip land; use 1\.002 mm or less, or 0/,
    ],
    [
      "a chamfer into the given band",
      ext({ tipChamfer: 0.5, contact: [33, 36], contactGiven: true }),
      "tip chamfer",
      /cuts into the contact band Ø33 to Ø36.*end the band at Ø35\.\d+/,
    ],
    [
      "a band outside the flank",
      ext({ contact: [33, 37], contactGiven: true }),
      "contact",
      /Ø33 to Ø37 runs outside the flank, which spans Ø31 to Ø36; keep the band within 31 and 36 mm/,
    ],
    ["a band upside down", ext({ contact: [36, 33] }), "contact", /no height/],
    [
      "a band below the base circle",
      ext({ rootDiameter: 28.8, contact: [29, 36], contactGiven: true, rootRadius: 0 }),
      "contact",
      /starts below the base circle Ø29\.445/,
    ],
    ["a default band off the flank", int({ contact: [36.8, 39] }), "contact", /less than a fifth/],
    ["a negative radius", ext({ rootRadius: -1 }), "root radius", /-1 mm is no radius/],
    [
      "a fillet too large for the root",
      ext({ rootRadius: 1.4 }),
      "root radius",
      /1\.4 mm does not fit: the fillets of both sides meet at the middle.*or 0 for sharp/,
    ],
    [
      "a fillet too large for the given band",
      ext({ rootRadius: 1, contact: [31.5, 36], contactGiven: true }),
      "root radius",
      /would run into the contact band, whose root end is at Ø31\.5; use 0\.\d+ mm or less, or 0 for sharp, or start the contact band at Ø3\d\.\d+/,
    ],
    [
      "a full root over a given band",
      ext({ rootRadius: "full", contact: [31.5, 36], contactGiven: true }),
      "root radius",
      /full does not fit: one arc across the root needs 1\.227 mm.*contact band/,
    ],
    ["a face tooth alone", fac({ teeth: 1 }), "teeth", /2 or more/],
    ["no mean diameter", fac({ meanDiameter: 0 }), "mean diameter", /above 0/],
    ["no height", fac({ height: 0 }), "height", /above 0/],
    ["no tip land", fac({ tipLand: 0 }), "tip land", /above 0/],
    ["a drive flank lying down", fac({ driveAngle: 85 * DEGREE }), "drive flank angle", /85°.*-30° and 80°/],
    ["an over-run flank lying down", fac({ overrunAngle: 85 * DEGREE }), "over-run flank angle", /85°/],
    [
      "land and flanks wider than the pitch",
      fac({ tipLand: 14 }),
      "tip land",
      /take 16\.547 mm at the root, and the pitch is 15\.708 mm.*use a tip land of 13\.1\d mm or less/,
    ],
    [
      "back-cut teeth that meet at the tip",
      fac({ tipLand: 15.8, overrunAngle: -2 * DEGREE }),
      "tip land",
      /leaves no space/,
    ],
    [
      "flanks that cross",
      fac({ tipLand: 1, driveAngle: -20 * DEGREE, overrunAngle: -20 * DEGREE }),
      "height",
      /cross 3\.126 mm above the root line; use a height of 1\.37\d mm or less/,
    ],
    [
      "a thin base",
      fac({ baseThickness: 0.5 }),
      "base thickness",
      /0\.5 mm under a tooth 4\.5 mm high.*use 0\.9 mm or more/,
    ],
    [
      "a chamfer as wide as half the land",
      fac({ tipChamfer: 2.1, contact: [1.2, 2] }),
      "tip chamfer",
      /leaves no tip land of the 4 mm; use 1\.996 mm or less/,
    ],
    [
      "a chamfer into the face tooth's band",
      fac({ tipChamfer: 0.5 }),
      "tip chamfer",
      /cuts into the contact band 1\.2 to 4\.5 mm/,
    ],
    [
      "a band above the tip",
      fac({ contact: [1.2, 5] }),
      "contact",
      /spans 0 to 4\.5 mm.*within 0 and 4\.5 mm/,
    ],
    [
      "a fillet into the face tooth's band",
      fac({ driveRootRadius: 1.3 }),
      "drive root radius",
      /which starts 1\.2 mm above the root line; use 1\.1\d+ mm or less/,
    ],
    [
      "an over-run fillet past the tip",
      fac({ overrunRootRadius: 12, tipLand: 1 }),
      "over-run root radius",
      /would take the whole flank; use 9\.093 mm or less/,
    ],
  ];
  test.each(cases)("%s", (_name, profile, key, wording) => {
    const faults = faultsOf(() => buildProfile(profile));
    expect(faults.map((fault) => fault.key)).toEqual([`profile.${key}`]);
    expect(faults[0]!.line).toMatch(wording);
  });

  test.each(cases)("%s, in inches where the file is in inches", (_name, profile) => {
    for (const { line } of faultsOf(() => buildProfile(profile, "inch"))) {
      expect(line).not.toMatch(/\bmm\b/);
      for (const [, after] of line.matchAll(/Ø[\d.]+(.{0,3})/g)) expect(after).toBe(" in");
    }
  });

  test("a limit told in inches is one that fits", () => {
    for (const profile of [ext({ rootRadius: 9 }), int({ rootRadius: 9 }), str({ rootRadius: 9 })]) {
      const [fault] = faultsOf(() => buildProfile(profile, "inch"));
      const inches = Number(/use ([\d.]+) in or less/.exec(fault!.line)![1]);
      expect(() => buildProfile({ ...profile, rootRadius: 25.4 * inches })).not.toThrow();
      expect(() => buildProfile({ ...profile, rootRadius: 25.4 * 1.002 * inches })).toThrow(DesignError);
    }
  });
});

describe("all faults come at once", () => {
  test("for a spline with five of them", () => {
    const profile = ext({
      backDiameter: 0,
      tipChamfer: 3,
      rootRadius: 5,
      contact: [20, 36],
      contactGiven: true,
    });
    expect(faultsOf(() => buildProfile(profile)).map(({ key }) => key)).toEqual([
      "profile.bore diameter",
      "profile.tip chamfer",
      "profile.contact",
      "profile.root radius",
    ]);
    const worse = ext({ teeth: 1, tipDiameter: 30, backDiameter: 0, tipChamfer: -1, rootRadius: -1 });
    expect(faultsOf(() => buildProfile(worse)).map(({ key }) => key)).toEqual([
      "profile.teeth",
      "profile.tip diameter",
      "profile.bore diameter",
      "profile.root radius",
      "profile.tip chamfer",
    ]);
  });

  test("for a face tooth whose two radii are both too large for the root", () => {
    const narrow = fac({
      tipLand: 8,
      driveRootRadius: 6,
      overrunRootRadius: 6,
      contactGiven: false,
      loadedFlank: "over-run",
    });
    const faults = faultsOf(() => buildProfile(narrow));
    expect(faults.map(({ key }) => key)).toContain("profile.drive root radius");
    const radius = Math.min(...faults.map(({ line }) => namedLimit(line)));
    expect(() =>
      buildProfile({ ...narrow, driveRootRadius: radius, overrunRootRadius: radius }),
    ).not.toThrow();
  });

  test("as a DesignError whose message carries every line", () => {
    expect(() => buildProfile(ext({ backDiameter: 0, rootRadius: 5 }))).toThrow(DesignError);
    expect(() => buildProfile(ext({ backDiameter: 0, rootRadius: 5 }))).toThrow(
      /bore diameter[\s\S]*root radius/,
    );
  });
});

describe("the remedies work", () => {
  test("the largest arc that touches a tight flank is one that can be cut", () => {
    const asked = tight({ contact: [10.605, 10.65] });
    const { radius, limitedBy } = largestFillet(asked, "loaded");
    expect(limitedBy).toBe("curve of the flank");
    // with its centre on the base circle: root radius less base radius
    expect(radius).toBeCloseTo((13.471 - 12 * Math.cos(28.48 * DEGREE)) / 2, 9);
    expectSound(buildProfile({ ...asked, rootRadius: radius }));
  });

  const apply = (profile: SplineProfile, key: keyof SplineProfile, pattern: RegExp) => {
    const [fault] = faultsOf(() => buildProfile(profile));
    const value = Number(pattern.exec(fault!.line)![1]);
    return { ...profile, [key]: value } as SplineProfile;
  };
  test.each<[string, SplineProfile, keyof SplineProfile, RegExp]>([
    ["rim", int({ backDiameter: 36 }), "backDiameter", /use a rim of ([\d.]+)/],
    ["bore", ext({ backDiameter: 32 }), "backDiameter", /use a bore of ([\d.]+)/],
    ["solid shaft", ext({ backDiameter: 0 }), "backDiameter", /give a bore diameter; ([\d.]+)/],
    ["pointed tip", ext({ tipDiameter: 41, rootRadius: 0 }), "tipDiameter", /tip diameter of ([\d.]+)/],
    ["closed root", int({ rootDiameter: 44, rootRadius: 0 }), "rootDiameter", /root diameter of ([\d.]+)/],
    ["tip below base", int({ tipDiameter: 29 }), "tipDiameter", /tip diameter of ([\d.]+)/],
    ["chamfer", ext({ tipChamfer: 1.5 }), "tipChamfer", /use ([\d.]+) mm or less/],
    [
      "chamfer into the band",
      ext({ tipChamfer: 0.5, contact: [33, 35.8], contactGiven: true }),
      "tipChamfer",
      /use ([\d.]+) mm or less/,
    ],
    ["fillet", ext({ rootRadius: 1.4 }), "rootRadius", /use ([\d.]+) mm or less/],
    [
      "fillet into the band",
      ext({ rootRadius: 1, contact: [31.5, 36], contactGiven: true }),
      "rootRadius",
      /use ([\d.]+) mm or less/,
    ],
  ])("%s", (_name, profile, key, pattern) => {
    const mended = apply(profile, key, pattern);
    expect(faultsOf(() => buildProfile(mended))).toEqual([]);
  });

  // a limit is told as the round number it is but for its last bits: 0.2 × 4.706 mm is 0.9412000000000001 mm
  test("a limit that rounding leaves beyond what it is told as is kept by what it is told as", () => {
    for (const height of [1.5, 3, 3.5, 4.706, 6, 7.29]) {
      const thin = fac({ height, baseThickness: 0.1, contact: [0.9 * height, height] });
      const [fault] = faultsOf(() => buildProfile(thin));
      const told = Number(/use ([\d.]+) mm or more/.exec(fault!.line)![1]);
      expect(told).toBeLessThan(0.2001 * height);
      expect(faultsOf(() => buildProfile({ ...thin, baseThickness: told }))).toEqual([]);
    }
    const shaft = ext({ backDiameter: 31.4 });
    const bore = namedLimit(faultsOf(() => buildProfile(shaft))[0]!.line.replace("a bore of ", ""));
    expect(faultsOf(() => buildProfile({ ...shaft, backDiameter: bore }))).toEqual([]);
  });

  test.each(["arc", "chord"])(
    "an end of straight flanks told to move is told where to, the pitch circle going along, the %s kept",
    (kept) => {
      const chord = 36 * Math.sin(18 / 36);
      const tapered = (rootDiameter: number): SplineProfile => {
        const pitchDiameter = (40 + rootDiameter) / 2;
        const toothThickness = kept === "arc" ? 18 : pitchDiameter * Math.asin(chord / pitchDiameter);
        const flank = { form: "straight", angle: 30 * DEGREE } as const;
        const sizes = { pitchDiameter, module: pitchDiameter / 6, toothThickness, rootRadius: 0 };
        return str({ ...sizes, flank, tipDiameter: 40, rootDiameter, contact: [38.5, 40] });
      };
      const [found] = faultsOf(() => buildProfile(tapered(32)));
      expect(found!.line).toMatch(/neighbouring teeth meet/);
      const told = Number(/use a root diameter of ([\d.]+) mm or more/.exec(found!.line)![1]);
      const meets = (diameter: number) =>
        faultsOf(() => buildProfile(tapered(diameter))).some(({ line }) => /teeth meet/.test(line));
      expect(meets(told)).toBe(false);
      // and not further than it must
      expect(meets(told - 0.2)).toBe(true);
    },
  );

  test("a pitch circle that straight-sided teeth do not cross is told, and makes the same parallel tooth", () => {
    const thickness = (pitchDiameter: number) => ({
      pitchDiameter,
      module: pitchDiameter / 6,
      toothThickness: pitchDiameter * Math.asin(6 / pitchDiameter),
    });
    expect(buildProfile(str({})).notes).toEqual([]);
    expect(buildProfile(str(thickness(24))).notes).toEqual([]);
    expect(buildProfile(str(thickness(20))).notes).toEqual([
      "the pitch circle Ø20, on which the thickness of straight-sided teeth is measured, is not between Ø23 and Ø28 where they are: leave module and pitch diameter out to have it halfway",
    ]);
  });

  test("a chamfer that leaves no place for the band's start asks for a band below it", () => {
    const line = (contact: [number, number]) =>
      faultsOf(() => buildProfile(fac({ tipChamfer: 1.5, contact })))[0]!.line;
    expect(line([1.2, 4.5])).toMatch(/use 0 for none, or end the band at 3\.000\d mm/);
    expect(line([3.4, 4.5])).toMatch(/use 0 for none, or keep the band below 3\.000\d mm/);
  });

  test("a band moved to where the fillet ends is a band that fits", () => {
    for (const [start, move] of [
      [ext({ rootRadius: 1, contact: [31.5, 36], contactGiven: true }), (d: number) => [d, 36] as const],
      [int({ rootRadius: 1, contact: [33, 36.8], contactGiven: true }), (d: number) => [33, d] as const],
    ] as const) {
      const [fault] = faultsOf(() => buildProfile(start));
      const band = move(Number(/contact band at Ø([\d.]+)/.exec(fault!.line)![1]));
      expect(() => buildProfile({ ...start, contact: band })).not.toThrow();
    }
  });

  test("largestFillet does not mind the radius asked for, and minds everything else", () => {
    expect(largestFillet(ext({ rootRadius: 99 }), "loaded").radius).toBeCloseTo(
      largestFillet(external, "loaded").radius,
      14,
    );
    expect(() => largestFillet(ext({ backDiameter: 0 }), "loaded")).toThrow("solid shaft");
  });
});
