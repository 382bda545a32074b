import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { FaceToothProfile } from "../../src/design/design.ts";
import { type ArcCurve, curvePoint } from "../../src/geometry/index.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import { DEGREE, edgeNamed, expectSound, faceTeeth, faultsOf, namedLimit, RUNS, SEED } from "./soundness.ts";

type Side = "loaded" | "unloaded";

const ok = (profile: FaceToothProfile) => faultsOf(() => largestFillet(profile, "loaded")).length === 0;
const nameOf = (profile: FaceToothProfile, side: Side) =>
  (profile.loadedFlank === "drive") === (side === "loaded") ? "drive" : "over-run";
const withRadius = (profile: FaceToothProfile, side: Side, radius: number | "full"): FaceToothProfile =>
  nameOf(profile, side) === "drive"
    ? { ...profile, driveRootRadius: radius }
    : { ...profile, overrunRootRadius: radius };

/** Radii on both sides as parts of the largest: the unloaded side first, the loaded one in what is left. */
function rounded(profile: FaceToothProfile, unloadedPart: number, loadedPart: number): FaceToothProfile {
  const one = withRadius(profile, "unloaded", unloadedPart * largestFillet(profile, "unloaded").radius);
  return withRadius(one, "loaded", loadedPart * largestFillet(one, "loaded").radius);
}

/** The tooth made so wide that a full fillet on one side, the other sharp, ends under the contact band. */
function halfSharp(profile: FaceToothProfile, side: Side): FaceToothProfile {
  const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
  const flanks = profile.height * (Math.tan(profile.driveAngle) + Math.tan(profile.overrunAngle));
  const wide = { ...profile, tipLand: pitch - flanks - 0.9 * profile.contact[0] };
  return withRadius(withRadius(wide, side === "loaded" ? "unloaded" : "loaded", 0), side, "full");
}

/** Signed distance of (x, y) from the line of a flank, positive in the space beside it; by the test's own geometry. */
function flankDistance(p: FaceToothProfile, flank: "drive" | "over-run", x: number, y: number): number {
  const angle = flank === "drive" ? p.driveAngle : p.overrunAngle;
  const along = flank === "drive" ? x : -x;
  // the flank passes the tip corner (tip land / 2, height) and leans by `angle` from the axis
  return (along - p.tipLand / 2) * Math.cos(angle) + (y - p.height) * Math.sin(angle);
}

describe("face teeth", () => {
  const part = fc.double({ min: 0.02, max: 1, noNaN: true });
  const tryAll = (check: (profile: FaceToothProfile, a: number, b: number) => void) => {
    let tried = 0;
    fc.assert(
      fc.property(faceTeeth(), part, part, (profile, a, b) => {
        fc.pre(ok(profile));
        tried++;
        check(profile, a, b);
      }),
      { seed: SEED, numRuns: RUNS },
    );
    expect(tried).toBeGreaterThanOrEqual(RUNS);
  };

  test("close, tie, keep their tangents at the fillets and have a polygon's area, sharp or rounded", () => {
    tryAll((profile, a, b) => {
      expectSound(buildProfile(profile));
      const built = buildProfile(rounded(profile, a, b));
      expectSound(built);
      const { dx, dy, angle } = built.outline.ties![0]!.motion;
      expect(dx * built.sectors).toBeCloseTo(Math.PI * profile.meanDiameter, 9);
      expect([dy, angle]).toEqual([0, 0]);
    });
  });

  test("have fillets that touch flank and root line", () => {
    tryAll((profile, a, b) => {
      const built = buildProfile(rounded(profile, a, b));
      for (const flank of ["drive", "over-run"] as const) {
        const fillet = edgeNamed(built, `root fillet ${flank} side`).curve as ArcCurve;
        const size = profile.meanDiameter;
        expect(Math.abs(fillet.cy - fillet.radius)).toBeLessThan(1e-13 * size);
        const distance = flankDistance(profile, flank, fillet.cx, fillet.cy);
        expect(Math.abs(distance - fillet.radius)).toBeLessThan(1e-12 * size);
      }
    });
  });

  test("are cut clear of a sharp corner that a full fillet runs into", () => {
    let tried = 0;
    tryAll((profile) => {
      for (const side of ["loaded", "unloaded"] as const) {
        const wanted = halfSharp(profile, side);
        if (faultsOf(() => buildProfile(wanted)).length > 0) continue;
        tried++;
        const built = buildProfile(wanted);
        expectSound(built);
        const corner = built.corners.find((one) => one.side !== side)!;
        const { radius, edges, materialAngle } = built.corners.find((one) => one.side === side)!;
        expect(edges).toHaveLength(2);
        const cuts = built.outline.loops[0]!.filter(({ zone }) => zone === "cut");
        const away = cuts.map(({ curve }) => Math.abs(curvePoint(curve, 0.5, [0, 0])[0] - corner.x));
        // a quarter of the way from the corner to where the fillet leaves the root line
        expect(Math.min(...away) / (-radius / Math.tan(materialAngle / 2))).toBeCloseTo(0.25, 9);
        // both pieces are of the same arc, a pitch apart
        const [one, two] = edges.map((name) => edgeNamed(built, name).curve as ArcCurve);
        const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
        expect([one!.radius, two!.radius, two!.cy]).toEqual([radius, radius, one!.cy]);
        expect(Math.abs(Math.abs(one!.cx - two!.cx) - pitch)).toBeLessThan(1e-12 * profile.meanDiameter);
      }
    });
    expect(tried).toBeGreaterThan(40);
  });

  test("have the area of trapezium, base and the two fillets' gussets", () => {
    tryAll((profile, a, b) => {
      const sharp = { ...profile, tipChamfer: 0 };
      const half = halfSharp(sharp, "unloaded");
      const isHalf = b < 0.5 && faultsOf(() => buildProfile(half)).length === 0;
      const filleted = isHalf ? half : rounded(sharp, a, b);
      const built = buildProfile(filleted);
      const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
      const mid =
        filleted.tipLand +
        (profile.height / 2) * (Math.tan(profile.driveAngle) + Math.tan(profile.overrunAngle));
      let expected = pitch * profile.baseThickness + mid * profile.height;
      for (const corner of built.corners) {
        // kite from corner to centre less the sector: ρ² (cot(s/2) − (π − s)/2), s the space's angle
        const space = 2 * Math.PI - corner.materialAngle;
        expected += corner.radius ** 2 * (1 / Math.tan(space / 2) - (Math.PI - space) / 2);
      }
      let area = 0;
      for (const { curve } of built.outline.loops[0]!) {
        for (let k = 0; k < 400; k++) {
          const [x0, y0] = curvePoint(curve, k / 400, [0, 0]);
          const [x1, y1] = curvePoint(curve, (k + 1) / 400, [0, 0]);
          area += (x0 * y1 - x1 * y0) / 2;
        }
      }
      expect(Math.abs(area / expected - 1)).toBeLessThan(1e-5);
    });
  });

  test("take the largest fillet of either side, refuse one part in ten thousand more and name it", () => {
    const limits = new Set<string>();
    tryAll((profile, a) => {
      for (const side of ["loaded", "unloaded"] as const) {
        const otherSide = side === "loaded" ? "unloaded" : "loaded";
        const one = withRadius(profile, otherSide, 0.5 * a * largestFillet(profile, otherSide).radius);
        const { radius, limitedBy } = largestFillet(one, side);
        limits.add(`${side} ${limitedBy}`);
        const built = buildProfile(withRadius(one, side, radius));
        expectSound(built);
        expect(built.corners.find((c) => c.side === side)!.largestRadius).toBeCloseTo(radius, 12);
        const flank = nameOf(profile, side);
        const fillet = edgeNamed(built, `root fillet ${flank} side`).curve as ArcCurve;
        const touch =
          fillet.cy - fillet.radius * Math.sin(flank === "drive" ? profile.driveAngle : profile.overrunAngle);
        if (limitedBy === "contact band" && profile.contactGiven)
          expect(touch).toBeCloseTo(profile.contact[0], 9);
        if (limitedBy === "middle of the root") {
          expect(built.outline.loops[0]!.some(({ name }) => name.startsWith("root land"))).toBe(false);
          const full = buildProfile(withRadius(one, side, "full"));
          expect(full.corners.find((c) => c.side === side)!.radius).toBeCloseTo(radius, 12);
        }
        const faults = faultsOf(() => buildProfile(withRadius(one, side, 1.0001 * radius)));
        expect(faults.map(({ key }) => key)).toEqual([`profile.${flank} root radius`]);
        const named = namedLimit(faults[0]!.line);
        expect(named).toBeLessThanOrEqual(radius * (1 + 1e-11));
        expect(named).toBeGreaterThan(0.998 * radius);
      }
    });
    expect([...limits].sort()).toEqual([
      "loaded contact band",
      "loaded middle of the root",
      "unloaded middle of the root",
      "unloaded tip",
    ]);
  });

  test("are their own mirror image when both flanks are alike", () => {
    tryAll((profile, a) => {
      const even = { ...profile, overrunAngle: profile.driveAngle };
      fc.pre(ok(even));
      const both = Math.min(largestFillet(even, "loaded").radius, largestFillet(even, "unloaded").radius) / 2;
      const built = buildProfile({ ...even, driveRootRadius: a * both, overrunRootRadius: a * both });
      const drive = edgeNamed(built, "root fillet drive side").curve as ArcCurve;
      const overrun = edgeNamed(built, "root fillet over-run side").curve as ArcCurve;
      expect(drive.cx).toBeCloseTo(-overrun.cx, 12);
      const ends = (name: string) =>
        [0, 1]
          .map((u) => curvePoint(edgeNamed(built, name).curve, u, [0, 0])[0])
          .sort((p, q) => Math.abs(p) - Math.abs(q));
      expect(ends("base line")[0]).toBeCloseTo(-ends("base line")[1]!, 9);
    });
  });
});

/** 11 ramp teeth, mean radius 27.5 mm, 4.5 mm high, 2° back-cut on the drive flank, 31° ramp. */
const ramp: FaceToothProfile = {
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

describe("the ramp tooth", () => {
  test("has a pitch of 15.7 mm and its root as wide as land and leans make it", () => {
    // π · 55 / 11 = 15.708; 4 + 4.5 (tan −2° + tan 31°) = 6.5467; worked by hand
    const built = buildProfile(ramp);
    expect(built.outline.ties![0]!.motion.dx).toBeCloseTo(15.708, 3);
    expect(built.rootThickness).toBeCloseTo(6.5467, 4);
  });

  test("loads the flank on its +x side in drive and the ramp in over-run", () => {
    const x = (profile: FaceToothProfile) => {
      const built = buildProfile(profile);
      return curvePoint(edgeNamed(built, built.contactEdges[0]!).curve, 0.5, [0, 0])[0];
    };
    expect(x(ramp)).toBeGreaterThan(0);
    expect(x({ ...ramp, loadedFlank: "over-run" })).toBeLessThan(0);
  });

  test("has a sharper corner under the back-cut than under the ramp", () => {
    const built = buildProfile(ramp);
    const angle = (side: Side) => built.corners.find((c) => c.side === side)!.materialAngle / DEGREE;
    expect(angle("loaded")).toBeCloseTo(272, 10);
    expect(angle("unloaded")).toBeCloseTo(239, 10);
  });

  test("takes full on both sides as equal radii that meet", () => {
    const wide = {
      ...ramp,
      tipLand: 9,
      driveRootRadius: "full",
      overrunRootRadius: "full",
      contact: [4, 4.5],
    } as const;
    const built = buildProfile(wide);
    expectSound(built);
    expect(built.corners[0]!.radius).toBeCloseTo(built.corners[1]!.radius, 12);
  });
});
