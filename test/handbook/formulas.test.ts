import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { nominalStress } from "../../src/answer/nominal.ts";
import { type ToothLoads, toothTorques } from "../../src/answer/toothLoads.ts";
import type { FaceToothProfile, Profile } from "../../src/design/index.ts";
import {
  agmaKf,
  dolanBroghamer,
  handChecks,
  lewisSection,
  loadedTooth,
  tangentSection,
} from "../../src/handbook/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { toothFigures } from "../../src/strength/field/rootField.ts";
import { shaftShear, toothBearing, toothShear } from "../../src/strength/modes/splineAllowables.ts";
import { designOf } from "../answer/designs.ts";
import { spline as asCut } from "../strength/roots.ts";
import { type StraightTooth, straightTooth } from "./straightTooth.ts";

interface ReferenceCase {
  readonly id: string;
  readonly section: string;
  readonly inputs: Readonly<Record<string, number>>;
  readonly expected: Readonly<Record<string, number>>;
  readonly rulesForComparison?: Readonly<Record<string, number>>;
  readonly ruleErrors?: Readonly<Record<string, number>>;
}

const reference = JSON.parse(
  readFileSync(new URL("../../fixtures/reference/tooth-root.json", import.meta.url), "utf8"),
) as { readonly cases: readonly ReferenceCase[] };
const teeth = reference.cases.filter(({ section }) => section === "projection");
const share = (value: number, of: number) => Math.abs(value / of - 1);

// tooth-root.json, "projection": sections and rule values worked out independently for nine straight-flanked teeth
describe("the sections of nine straight-flanked teeth are those worked out for them independently", () => {
  test("all nine are there", () => expect(teeth).toHaveLength(9));

  test.for(teeth)("$id", ({ inputs, expected, rulesForComparison: rules, ruleErrors }) => {
    const { result, built } = straightTooth(inputs as unknown as StraightTooth, expected["peak"]!);
    const tooth = loadedTooth(result.design, built, result.torque.perTooth);
    // printed to five figures there
    const lewis = lewisSection(tooth)!;
    expect(share(lewis.thickness, rules!["lewis_t"]!)).toBeLessThan(5e-5);
    expect(share(lewis.arm, rules!["lewis_h"]!)).toBeLessThan(5e-5);
    const iso = tangentSection(tooth, Math.PI / 6)!;
    expect(share(iso.thickness, rules!["iso_sFn"]!)).toBeLessThan(5e-5);
    expect(share(iso.arm, rules!["iso_hFe"]!)).toBeLessThan(5e-5);

    // the stresses that Dolan-Broghamer (20°), AGMA 908-B89 at the flank's angle and ISO 6336-3 give for them
    const beta = (inputs["betaDeg"]! * Math.PI) / 180;
    const nominal =
      (6 * Math.cos(beta) * lewis.arm) / lewis.thickness ** 2 - Math.sin(beta) / lewis.thickness;
    expect(share(nominal, rules!["nominal"]!)).toBeLessThan(1e-4);
    const r = inputs["r"]!;
    const by20 = nominal * dolanBroghamer(20, lewis.thickness, r, lewis.arm);
    expect(share(by20, rules!["sDolanBroghamer20"]!)).toBeLessThan(1e-4);
    const { checks } = handChecks(result, built);
    const check = (id: string) => checks.find((one) => one.id === id)!;
    expect(share(check("AGMA Kf").stress!, rules!["sAgmaBeta"]!)).toBeLessThan(1e-4);
    expect(share(check("ISO YF YS").stress!, rules!["sIso"]!)).toBeLessThan(1e-4);
    expect(share(check("ISO YF YS").factor!, rules!["iso_YS"]!)).toBeLessThan(1e-4);
    // how far off each is, as the reference prints it to three places
    expect(check("AGMA Kf").difference).toBeCloseTo(ruleErrors!["agma"]!, 3);
    expect(check("ISO YF YS").difference).toBeCloseTo(ruleErrors!["iso"]!, 3);
    // nothing outside its range is told to be inside: these are no involute gear teeth
    for (const id of ["Dolan-Broghamer", "AGMA Kf", "ISO YF YS"]) {
      expect(check(id).outside.join()).toContain("made for external gears");
    }
  });
});

describe("published factors at published points", () => {
  const cases = (section: string) => reference.cases.filter((one) => one.section === section);
  // Dolan & Broghamer, Univ. Illinois Bull. 335, 1942
  test.for(cases("dolan-broghamer"))("$id", ({ inputs, expected }) => {
    const { t, r, h } = inputs as Record<"t" | "r" | "h", number>;
    expect(share(dolanBroghamer(20, t, r, h), expected["K20"]!)).toBeLessThan(1e-5);
    expect(share(dolanBroghamer(14.5, t, r, h), expected["K14_5"]!)).toBeLessThan(1e-5);
  });
  // AGMA 908-B89
  test.for(cases("agma-kf").filter(({ expected }) => expected["Kf"] !== undefined))(
    "$id",
    ({ inputs, expected }) => {
      const { alphaDeg, sF, rhoF, hF } = inputs as Record<"alphaDeg" | "sF" | "rhoF" | "hF", number>;
      expect(share(agmaKf((alphaDeg * Math.PI) / 180, sF, rhoF, hF), expected["Kf"]!)).toBeLessThan(1e-5);
    },
  );
});

/**
 * Nominal hand checks of a bore spline with 17 teeth of module 2 and 11 ramp teeth, for 1240 N·m. No stress concentration.
 * Each is worked out in the line above it with rounded inputs; the code must give the same three figures.
 */
describe("the demo's hand checks, worked out by hand", () => {
  const load = (km: number) => ({ torque: 1240e3, ka: 1, km, kf: 1 });
  const spline = { teeth: 17, pitchDiameter: 34, faceWidth: 16 };

  // the band between 33 and 35 mm has its middle on the pitch circle
  const bore = asCut({ contact: [33, 35], contactGiven: true });
  const ramp: FaceToothProfile = {
    kind: "face tooth",
    teeth: 11,
    meanDiameter: 55,
    height: 4.5,
    driveAngle: (-2 * Math.PI) / 180,
    overrunAngle: (8 * Math.PI) / 180,
    tipLand: 7,
    driveRootRadius: 0.1,
    overrunRootRadius: 0.1,
    tipChamfer: 0.3,
    baseThickness: 6,
    faceWidth: 9,
    contact: [1.2, 4],
    contactGiven: true,
    loadedFlank: "drive",
  };
  /** Torque of one tooth, N·mm, where so many of a part's teeth carry 1240 N·m. */
  const torqueOfOne = (profile: Profile, carrying: number): number => {
    const fraction = carrying / profile.teeth;
    const share = { torque: 1240e3, shockFactor: 1, friction: 0, reaction: "uniform shear" } as const;
    const [torque] = toothTorques(
      designOf(profile, { load: { ...share, sharing: { mode: "share", fraction } } }),
    );
    return torque!;
  };

  test("tangential force: 2 × 1,240,000 / 34 = 72,940 N; a tooth of 17, 8.5, 4.25 carries 4.29, 8.58, 17.2 kN", () => {
    const built = buildProfile(bore);
    const force = (carrying: number) => nominalStress(bore, built, torqueOfOne(bore, carrying)).force / 1000;
    expect(17 * force(17)).toBeCloseTo(72.9, 1);
    expect(force(17)).toBeCloseTo(4.29, 2);
    expect(force(8.5)).toBeCloseTo(8.58, 2);
    expect(force(4.25)).toBeCloseTo(17.2, 1);
  });

  // Dudley, When Splines Need Stress Control, Product Engineering 1957
  test("Dudley's tooth shear: 4 × 1,240,000 × Km / (34 × 17 × 16 × 3.142) = 171 MPa, and 341 MPa at Km 2", () => {
    const thickness = Math.PI; // half the pitch of module 2, as an arc
    expect(toothShear(load(1), spline, thickness)).toBeCloseTo(171, 0);
    expect(toothShear(load(2), spline, thickness)).toBeCloseTo(341, 0);
    // the same by equilibrium: half of the teeth in shear
    expect(toothShear(load(1), spline, thickness)).toBeCloseTo((2 * 1240e3) / 34 / 8.5 / (16 * Math.PI), 9);
  });

  test("Dudley's bearing counts all teeth: 2 × 1,240,000 / (34 × 17 × 16 × 1.8) = 149 MPa on a band 1.8 mm high", () => {
    expect(toothBearing(load(1), spline, 1.8)).toBeCloseTo(149, 0);
  });

  // a solid round shaft: 16 T / (π d³)
  test("shaft torsion at Ø31 solid: 16 × 1,240,000 / (3.142 × 31³) = 212 MPa", () => {
    expect(shaftShear(load(1), 31)).toBeCloseTo(212, 0);
  });

  test("short beam, h ≈ 1.0, t ≈ 3.4, b = 16: 6 × 8580 × 1.0 / (16 × 3.4²) = 278 MPa at half sharing, 557 at a quarter", () => {
    // such a tooth: the band's middle on the pitch circle, 1.0 mm from the root
    const built = { ...buildProfile(bore), bandMiddle: 17, rootRadiusPosition: 18, rootThickness: 3.4 };
    const stress = (carrying: number) => nominalStress(bore, built, torqueOfOne(bore, carrying)).stress;
    expect(stress(8.5)).toBeCloseTo(278, 0);
    expect(Math.abs(stress(4.25) - 557)).toBeLessThan(1);
  });

  test("a ramp tooth at 27.5 mm: 1,240,000 / (27.5 × 11) = 4.10 kN; 5.5 and 3 sharing: 8.20 and 15.0 kN", () => {
    const built = buildProfile(ramp);
    for (const [carrying, force, places] of [
      [11, 4.1, 2],
      [5.5, 8.2, 2],
      [3, 15, 1],
    ] as const) {
      const perTooth = torqueOfOne(ramp, carrying);
      expect(nominalStress(ramp, built, perTooth).force / 1000).toBeCloseTo(force, places);
      const loads = { perTooth, shockTorque: 1240e3 } as ToothLoads;
      const { forcePerTorque } = toothFigures(designOf(ramp), built, { loads });
      expect(forcePerTorque * 1240).toBeCloseTo(force, places);
    }
  });
});
