import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { SplineProfile } from "../../src/design/design.ts";
import { iso14 } from "../../src/design/proportions.ts";
import { type ArcCurve, curvePoint, mirrorCurve } from "../../src/geometry/index.ts";
import { buildProfile, largestFillet } from "../../src/profile/index.ts";
import {
  DEGREE,
  demoSpline,
  edgeNamed,
  expectSound,
  faultsOf,
  involuteHalfAngle,
  involuteSplines,
  least,
  namedLimit,
  RUNS,
  SEED,
  straightFlankY,
  straightSplines,
} from "./soundness.ts";

const kinds = [
  ["involute internal", involuteSplines("internal spline")],
  ["involute external", involuteSplines("external spline")],
  ["straight internal", straightSplines("internal spline")],
  ["straight external", straightSplines("external spline")],
] as const;

const ok = (profile: SplineProfile) => faultsOf(() => largestFillet(profile, "loaded")).length === 0;

/** Distance from (cx, cy) to the flank on the counter-clockwise side, by the test's own flank formulas. */
function flankDistance(profile: SplineProfile, cx: number, cy: number): number {
  const low = Math.min(profile.tipDiameter, profile.rootDiameter) / 2;
  const high = Math.max(profile.tipDiameter, profile.rootDiameter) / 2;
  if (profile.flank.form === "straight") {
    const y0 = straightFlankY(profile, 0);
    const y1 = straightFlankY(profile, 1);
    return Math.abs(cy - y0 - (y1 - y0) * cx) / Math.hypot(1, y1 - y0);
  }
  const base = (profile.pitchDiameter / 2) * Math.cos(profile.flank.pressureAngle);
  const to = (r: number) => {
    const angle = involuteHalfAngle(profile, r);
    return Math.hypot(cx - r * Math.cos(angle), cy - r * Math.sin(angle));
  };
  const onInvolute = least(to, Math.max(low, base), high);
  if (low >= base) return onInvolute;
  // below the base circle: the radial line at the angle the involute has there
  const angle = involuteHalfAngle(profile, base);
  const along = Math.min(base, Math.max(0, cx * Math.cos(angle) + cy * Math.sin(angle)));
  return Math.min(onInvolute, Math.hypot(cx - along * Math.cos(angle), cy - along * Math.sin(angle)));
}

describe.each(kinds)("%s splines", (_name, profiles) => {
  const drawn = fc.record({ profile: profiles, part: fc.double({ min: 0.02, max: 1, noNaN: true }) });
  const tryAll = (check: (profile: SplineProfile, part: number) => void) => {
    let tried = 0;
    fc.assert(
      fc.property(drawn, ({ profile, part }) => {
        fc.pre(ok(profile));
        tried++;
        check(profile, part);
      }),
      { seed: SEED, numRuns: RUNS },
    );
    expect(tried).toBeGreaterThanOrEqual(RUNS);
  };

  test("close, tie, keep their tangents at the fillets and have a polygon's area, sharp or rounded", () => {
    tryAll((profile, part) => {
      const rootRadius = part < 0.1 ? 0 : part * largestFillet(profile, "loaded").radius;
      const built = buildProfile({ ...profile, rootRadius });
      expectSound(built);
      expect(built.sectors * built.outline.ties![0]!.motion.angle).toBeCloseTo(2 * Math.PI, 12);
    });
  });

  test("have fillets that touch flank and root circle", () => {
    tryAll((profile, part) => {
      const rootRadius = part * largestFillet(profile, "loaded").radius;
      const built = buildProfile({ ...profile, rootRadius });
      const { radius } = built.corners.find(({ side }) => side === "unloaded")!;
      // a radius within a thousandth of the full one is made full
      expect(Math.abs(radius / rootRadius - 1)).toBeLessThan(1.1e-3);
      const fillet = edgeNamed(built, "root fillet unloaded side").curve as ArcCurve;
      expect(fillet.radius).toBe(radius);
      const size = profile.tipDiameter;
      const fromAxis = Math.hypot(fillet.cx, fillet.cy);
      const way = profile.kind === "external spline" ? 1 : -1;
      expect(Math.abs(fromAxis - way * radius - profile.rootDiameter / 2)).toBeLessThan(1e-12 * size);
      expect(Math.abs(flankDistance(profile, fillet.cx, fillet.cy) - radius)).toBeLessThan(1e-11 * size);
    });
  });

  test("are their own mirror image but for the names", () => {
    tryAll((profile, part) => {
      const built = buildProfile({ ...profile, rootRadius: part * largestFillet(profile, "loaded").radius });
      for (const edge of built.outline.loops[0]!) {
        if (!edge.name.endsWith(" loaded side")) continue;
        const twin = edgeNamed(built, edge.name.replace(" loaded side", " unloaded side"));
        const image = mirrorCurve(twin.curve);
        for (const u of [0, 0.5, 1]) {
          const [ax, ay] = curvePoint(edge.curve, u, [0, 0]);
          const [bx, by] = curvePoint(image, 1 - u, [0, 0]);
          expect(Math.hypot(ax - bx, ay - by)).toBeLessThan(1e-12 * profile.tipDiameter);
        }
      }
    });
  });

  test("have flanks on which every point is where the thickness formula puts it", () => {
    tryAll((profile, part) => {
      const built = buildProfile({ ...profile, rootRadius: part * largestFillet(profile, "loaded").radius });
      for (const edge of built.outline.loops[0]!) {
        if (edge.zone !== "flank" || edge.name.endsWith("radial")) continue;
        for (const u of [0, 0.3, 0.7, 1]) {
          const [x, y] = curvePoint(edge.curve, u, [0, 0]);
          const r = Math.hypot(x, y);
          // the loaded flank is the one on the clockwise side
          expect(Math.sign(y)).toBe(edge.name.startsWith("loaded") ? -1 : 1);
          const miss =
            profile.flank.form === "involute"
              ? r * (Math.atan2(Math.abs(y), x) - involuteHalfAngle(profile, r))
              : Math.abs(y) - straightFlankY(profile, x);
          // the arc cosine of the test's formula loses half its digits at the base circle
          expect(Math.abs(miss)).toBeLessThan(1e-9 * profile.tipDiameter);
        }
      }
    });
  });

  test("take the largest fillet, refuse one part in ten thousand more and name it", () => {
    const limits = new Set<string>();
    tryAll((profile) => {
      const largest = largestFillet(profile, "loaded");
      limits.add(largest.limitedBy);
      const built = buildProfile({ ...profile, rootRadius: largest.radius });
      expectSound(built);
      expect(built.corners[0]!.largestRadius).toBe(largest.radius);
      const fillet = edgeNamed(built, "root fillet unloaded side").curve as ArcCurve;
      const half = Math.PI / profile.teeth;
      if (largest.limitedBy === "middle of the root") {
        // the two fillets meet: the centre lies on the middle of the space
        const off = fillet.cx * Math.sin(half) - fillet.cy * Math.cos(half);
        expect(Math.abs(off)).toBeLessThan(1e-11 * profile.tipDiameter);
        expect(buildProfile({ ...profile, rootRadius: "full" }).corners[0]!.radius).toBe(largest.radius);
      } else {
        const [line] = faultsOf(() => buildProfile({ ...profile, rootRadius: "full" }));
        expect(line!.key).toBe("profile.root radius");
        expect(line!.line).toContain("contact band");
      }
      if (largest.limitedBy === "contact band" && profile.contactGiven) {
        // the fillet ends where the band starts
        const { curve } = edgeNamed(built, "loaded flank contact");
        const touch = [0, 1].map((u) => Math.hypot(...curvePoint(curve, u, [0, 0])));
        const rootEnd = profile.contact[profile.kind === "external spline" ? 0 : 1] / 2;
        expect(Math.min(...touch.map((r) => Math.abs(r - rootEnd)))).toBeLessThan(1e-9 * rootEnd);
      }
      const faults = faultsOf(() => buildProfile({ ...profile, rootRadius: 1.0001 * largest.radius }));
      expect(faults.map(({ key }) => key)).toEqual(["profile.root radius"]);
      const named = namedLimit(faults[0]!.line);
      expect(named).toBeLessThanOrEqual(largest.radius * (1 + 1e-11));
      expect(named).toBeGreaterThan(0.998 * largest.radius);
      expectSound(buildProfile({ ...profile, rootRadius: named }));
    });
    expect([...limits].sort()).toEqual(["contact band", "middle of the root"]);
  });
});

describe("the limits of the contact band", () => {
  test("are the ends of the contact edge", () => {
    const profile: SplineProfile = {
      ...demoSpline("external spline"),
      contact: [33, 35.5],
      contactGiven: true,
    };
    const built = buildProfile(profile);
    const { curve } = edgeNamed(built, built.contactEdges[0]!);
    expect(2 * Math.hypot(...curvePoint(curve, 0, [0, 0]))).toBeCloseTo(33, 12);
    expect(2 * Math.hypot(...curvePoint(curve, 1, [0, 0]))).toBeCloseTo(35.5, 12);
    expect(built.contact[0]).toBeCloseTo(33, 12);
    expect(built.bandMiddle).toBeCloseTo((33 + 35.5) / 4, 12);
    expect(built.notes).toEqual([]);
  });

  test("give way to the fillet and the chamfer when nobody gave them, with a note", () => {
    const built = buildProfile({ ...demoSpline("external spline"), rootRadius: 1.2, tipChamfer: 0.3 });
    expect(built.contact[0]).toBeGreaterThan(demoSpline("external spline").contact[0]);
    expect(built.notes.join()).toContain(
      "contact band trimmed from Ø32.272 to Ø36 to the flank that is left",
    );
  });
});

describe("the 17-tooth module 2 spline", () => {
  // ISO 4156 relations: D = m z, DEI = m (z + 1.5) flat, m (z + 1.8) fillet, DEE = m (z + 1), DIE = m (z − 1.5)
  test("has root circle 37.0 (flat) or 37.6 (fillet) inside and tip 36.0, root 31.0 outside", () => {
    const radiusOf = (profile: SplineProfile, name: string) =>
      (edgeNamed(buildProfile(profile), name).curve as ArcCurve).radius;
    expect(2 * radiusOf(demoSpline("internal spline"), "root land loaded side")).toBeCloseTo(37, 12);
    expect(2 * radiusOf(demoSpline("internal spline", "fillet"), "root land loaded side")).toBeCloseTo(
      37.6,
      12,
    );
    expect(2 * radiusOf(demoSpline("external spline"), "tip land")).toBeCloseTo(36, 12);
    expect(2 * radiusOf(demoSpline("external spline"), "root land loaded side")).toBeCloseTo(31, 12);
  });

  test("is as thick at the root as the thickness formula says", () => {
    // t_r = 2 r (t/D + inv φ − inv φ_r) at Ø31: φ_r = acos(29.445/31) = 18.224°; worked by hand
    const built = buildProfile(demoSpline("external spline"));
    const phiR = Math.acos((34 * Math.cos(30 * DEGREE)) / 31);
    const arcThickness = 31 * (Math.PI / 34 + 0.053751493591 - (Math.tan(phiR) - phiR));
    expect(built.rootThickness).toBeCloseTo(31 * Math.sin(arcThickness / 31), 10);
    expect(built.rootRadiusPosition).toBe(15.5);
  });

  test("takes a 0.4 mm root flat and refuses 1.2 mm at the ISO fillet root, where the spaces are narrower", () => {
    expectSound(buildProfile(demoSpline("internal spline")));
    const faults = faultsOf(() =>
      buildProfile({ ...demoSpline("internal spline", "fillet"), rootRadius: 1.2 }),
    );
    expect(faults[0]!.line).toContain("meet at the middle of the root");
  });
});

describe("a root below the base circle", () => {
  const deep: SplineProfile = { ...demoSpline("external spline"), rootDiameter: 28.4 };

  test("is reached by a radial line from the base circle, and says so", () => {
    const built = buildProfile({ ...deep, rootRadius: 0.1 });
    const radial = edgeNamed(built, "unloaded flank radial").curve;
    const [ax, ay] = curvePoint(radial, 0, [0, 0]);
    const [bx, by] = curvePoint(radial, 1, [0, 0]);
    expect(Math.abs(ax * by - ay * bx)).toBeLessThan(1e-12);
    expect(2 * Math.hypot(ax, ay)).toBeCloseTo(34 * Math.cos(30 * DEGREE), 12);
    expect(built.notes.join()).toContain("common practice, no source");
    expectSound(built);
  });

  test("keeps fillet and tangents whether the fillet ends on the radial line, at the base circle or on the involute", () => {
    // touch on the radial line at √(R² + 2 R ρ): the base circle is met at ρ = (rb² − R²) / 2R
    const rb = 17 * Math.cos(30 * DEGREE);
    const meets = (rb * rb - 14.2 * 14.2) / (2 * 14.2);
    for (const rootRadius of [0.2, meets * (1 - 1e-9), meets, meets * (1 + 1e-9), meets * 1.02]) {
      const built = buildProfile({ ...deep, rootRadius });
      expectSound(built);
      expect(built.corners[0]!.radius / rootRadius).toBeCloseTo(1, 8);
    }
  });
});

describe("root corners", () => {
  test("of parallel flanks have a material angle of 270° plus half the tooth's angle at the root", () => {
    // parallel flank at height h above the centreline meets the circle of radius R at asin(h/R) from square
    const profile: SplineProfile = {
      ...demoSpline("external spline"),
      teeth: 6,
      flank: { form: "straight", angle: 0 },
      pitchDiameter: 26,
      module: 26 / 6,
      toothThickness: 26 * Math.asin(6 / 26),
      tipDiameter: 28,
      rootDiameter: 23,
      backDiameter: 10,
      rootRadius: 0,
      contact: [24, 28],
      contactGiven: true,
    };
    const built = buildProfile(profile);
    const loaded = built.corners.find(({ side }) => side === "loaded")!;
    expect(loaded.y).toBeCloseTo(-3, 12);
    expect(loaded.materialAngle).toBeCloseTo(1.5 * Math.PI - Math.asin(3 / 11.5), 12);
    expect(loaded.edges).toEqual([]);
    expect(built.rootThickness).toBeCloseTo(6, 12);
    // the bisector points into the material: inward and towards the centreline
    expect(loaded.bisectorX).toBeLessThan(0);
    expect(loaded.bisectorY).toBeGreaterThan(0);
  });

  test("carry bisectors of unit length that halve the material angle", () => {
    fc.assert(
      fc.property(involuteSplines("internal spline"), (profile) => {
        fc.pre(ok(profile));
        for (const c of buildProfile(profile).corners) {
          expect(Math.hypot(c.bisectorX, c.bisectorY)).toBeCloseTo(1, 12);
          expect(c.materialAngle).toBeGreaterThan(Math.PI);
          // a short step along the bisector stays between root circle and rim, away from the space
          const x = c.x + 1e-3 * profile.module * c.bisectorX;
          const y = c.y + 1e-3 * profile.module * c.bisectorY;
          const r = Math.hypot(x, y);
          const inRim = r > profile.rootDiameter / 2;
          const inTooth = Math.abs(Math.atan2(y, x)) < involuteHalfAngle(profile, r);
          expect(inRim || inTooth).toBe(true);
        }
      }),
      { seed: SEED, numRuns: 50 },
    );
  });
});

describe("straight-sided splines of ISO 14", () => {
  // ISO 14:1982, 8 × 46 × 50: keys 9 mm wide on the shaft, slots 9 mm wide in the hub
  const row = iso14.find((r) => r.series === "light" && r.minorDiameter === 46)!;
  const pitchDiameter = 48;
  const keyArc = pitchDiameter * Math.asin(row.keyWidth / pitchDiameter);
  const common = {
    teeth: row.teeth,
    pitchDiameter,
    module: pitchDiameter / row.teeth,
    rootRadius: 0.3,
    tipChamfer: 0.2,
    contact: [46.8, 49.4] as const,
    contactGiven: true,
    faceWidth: 30,
  };

  test("have keys of the tabled width on the shaft", () => {
    const built = buildProfile({
      ...common,
      kind: "external spline",
      flank: { form: "straight", angle: 0 },
      toothThickness: keyArc,
      tipDiameter: row.majorDiameter,
      rootDiameter: row.minorDiameter,
      backDiameter: 20,
    });
    expectSound(built);
    for (const u of [0, 0.5, 1])
      expect(
        2 * Math.abs(curvePoint(edgeNamed(built, "loaded flank contact").curve, u, [0, 0])[1]),
      ).toBeCloseTo(9, 12);
  });

  test("have slots of that width in the hub, whose flanks lean by 180°/N from the hub tooth's centreline", () => {
    const half = Math.PI / row.teeth;
    const built = buildProfile({
      ...common,
      kind: "internal spline",
      flank: { form: "straight", angle: half },
      toothThickness: (Math.PI * pitchDiameter) / row.teeth - keyArc,
      tipDiameter: row.minorDiameter,
      rootDiameter: row.majorDiameter,
      backDiameter: 65,
    });
    expectSound(built);
    for (const u of [0, 0.5, 1]) {
      const [x, y] = curvePoint(edgeNamed(built, "unloaded flank").curve, u, [0, 0]);
      expect(2 * Math.abs(x * Math.sin(half) - y * Math.cos(half))).toBeCloseTo(9, 12);
    }
  });
});

describe("the tip chamfer", () => {
  test("has equal legs along the flank and the tip circle", () => {
    const plain = buildProfile({ ...demoSpline("internal spline"), tipChamfer: 0 });
    const cut = buildProfile({ ...demoSpline("internal spline"), tipChamfer: 0.25 });
    const tip = (edgeNamed(plain, "tip land").curve as ArcCurve).radius;
    const sweep = (built: typeof plain) => {
      const { start, end } = edgeNamed(built, "tip land").curve as ArcCurve;
      return Math.abs(end - start);
    };
    expect(tip * (sweep(plain) - sweep(cut))).toBeCloseTo(0.5, 12);
    const chamfer = edgeNamed(cut, "tip chamfer unloaded side");
    const flankEnd = Math.min(
      ...[0, 1].map((u) => Math.hypot(...curvePoint(edgeNamed(cut, "unloaded flank").curve, u, [0, 0]))),
    );
    // involute length between two radii is (r₁² − r₀²) / 2 rb
    const rb = 17 * Math.cos(30 * DEGREE);
    expect((flankEnd ** 2 - tip ** 2) / (2 * rb)).toBeCloseTo(0.25, 12);
    expect(chamfer.zone).toBe("tip");
    expectSound(cut);
  });
});
