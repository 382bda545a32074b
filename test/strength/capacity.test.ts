import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type FaceToothProfile, type Fault, readPart } from "../../src/design/index.ts";
import { flawUpTo } from "../../src/strength/field/surfaceFlaw.ts";
import {
  assess,
  BUILT_IN,
  type Capacity,
  type Conditions,
  criticalDistanceLife,
  findSteel,
  hardnessWindow,
  lifeTorque,
  lineStress,
  type Mode,
  type ModeId,
  plasticTooth,
  plasticTwist,
  ROOT_METRE,
  type RootField,
  type RootPaths,
  type SteelCatalogue,
  type SteelQuery,
  type SteelRecord,
  type SteelState,
  shocksAt,
  steelState,
} from "../../src/strength/index.ts";
import { off } from "./reference.ts";
import { design, rootOf, spline } from "./roots.ts";

const REQUIRED = 690_000 * 1.8;
const hard: SteelQuery = { grade: "4340", hardnessLow: 54, hardnessHigh: 56 };
const tough: SteelQuery = { grade: "4340", hardnessLow: 38, hardnessHigh: 42 };
const soft: SteelQuery = { grade: "4340", hardnessLow: 22, hardnessHigh: 26 };
const cased: SteelQuery = {
  grade: "8620 case",
  hardnessLow: 58,
  hardnessHigh: 61,
  core: { hardnessLow: 30, hardnessHigh: 38 },
};

function capacityOf(root: RootField, query: SteelQuery, conditions: Partial<Conditions> = {}): Capacity {
  const found = assess(root, query, { requiredTorque: REQUIRED, ...conditions });
  if ("faults" in found) throw new Error(JSON.stringify(found.faults));
  return found.capacity;
}

function faultsOf(
  root: RootField,
  query: SteelQuery,
  conditions: Partial<Conditions> = {},
): readonly Fault[] {
  const found = assess(root, query, { requiredTorque: REQUIRED, ...conditions });
  return "faults" in found ? found.faults : [];
}

/** Range from zero of a plain specimen whose fully reversed amplitude is `s`: Goodman's line, 2 s S / (s + S). */
const goodmanRange = (s: number, tensile: number): number => (2 * s * tensile) / (s + tensile);

const modeOf = (found: Capacity, id: ModeId): Mode => found.modes.find((mode) => mode.id === id)!;

let sharp: RootField;
let fillet: RootField;
beforeAll(() => {
  sharp = rootOf(design(spline({ rootRadius: 0 })));
  fillet = rootOf(design(spline({ rootRadius: 0.4 })));
});

describe("modes", () => {
  test("every mode states its formula, its source and a band; what has no number says why", () => {
    for (const root of [sharp, fillet])
      for (const query of [hard, tough, cased]) {
        const conditions = {
          flawDepth: 0.05,
          ...(query === cased ? { caseDepth: [0.4, 0.6] as const } : {}),
        };
        for (const mode of capacityOf(root, query, conditions).modes) {
          expect(mode.formula.length).toBeGreaterThan(5);
          expect(mode.source.length).toBeGreaterThan(20);
          if (mode.torque === null) expect(mode.note.length).toBeGreaterThan(10);
          else {
            expect(mode.torque.low).toBeGreaterThan(0);
            expect(mode.torque.low).toBeLessThanOrEqual(mode.torque.high);
          }
          // whatever names memory as a source is marked so
          if (/memory/.test(mode.source)) expect(mode.memory).toBe(true);
        }
      }
  });

  test("first yield is the peak over yield, worked by hand, and does not govern", () => {
    const mode = modeOf(capacityOf(fillet, tough), "first yield");
    // 4340 at 38..42 HRC: tensile 1179 × 0.93 to 1338 × 1.07 MPa, yield 0.855 to 0.962 of it
    expect(off(mode.torque!.low, (1179 * 0.93 * 0.855) / fillet.highestVonMises!)).toBeLessThan(1e-9);
    expect(off(mode.torque!.high, (1338 * 1.07 * 0.962) / fillet.highestVonMises!)).toBeLessThan(1e-9);
    expect(mode.governs).toBe(false);
    expect(mode.note).toMatch(/not yet failure/);
  });

  test("a sharp corner has no peak: yield there is said in words, fracture is a number", () => {
    const found = capacityOf(sharp, hard);
    expect(modeOf(found, "first yield")).toMatchObject({
      torque: null,
      note: expect.stringContaining("any torque"),
    });
    expect(modeOf(found, "root fracture").torque!.low).toBeGreaterThan(0);
    expect(modeOf(found, "fatigue by Kf").torque).toBeNull();
  });

  // hand check at the low end: T = σ0 / mean opening stress over 2L, then the strip-yield rule
  test("root fracture is σ0 over the mean opening stress of the worst path, lowered for yielding", () => {
    const steel = (steelState((findSteel("4340") as { steel: never }).steel, 54, 56) as { state: SteelState })
      .state;
    const L = (steel.toughness!.low / steel.inherent.low) ** 2 / Math.PI;
    const means = sharp.paths.map((path) => {
      const k = path.distances.findIndex((r) => r >= 2 * L);
      const t = (2 * L - path.distances[k - 1]) / (path.distances[k] - path.distances[k - 1]);
      return path.mean[k - 1] + t * (path.mean[k] - path.mean[k - 1]);
    });
    const linear = steel.inherent.low / Math.max(...means);
    const found = capacityOf(sharp, hard);
    const limit = modeOf(found, "plastic section").torque!.low;
    const both = limit * (2 / Math.PI) * Math.acos(Math.exp(-(Math.PI ** 2 / 8) * (linear / limit) ** 2));
    expect(off(modeOf(found, "root fracture").torque!.low, both)).toBeLessThan(1e-6);
    // the distance itself is of any toughness with any strength
    const { toughness, inherent } = steel;
    expect(off(found.criticalDistance!.low, (toughness!.low / inherent.high) ** 2 / Math.PI)).toBeLessThan(
      1e-9,
    );
    expect(off(found.criticalDistance!.high, (toughness!.high / inherent.low) ** 2 / Math.PI)).toBeLessThan(
      1e-9,
    );
    expect(found.criticalDistance!.low).toBeLessThan(L);
  });

  test("governing is the lowest low end among the modes that govern, next the one after", () => {
    const found = capacityOf(fillet, hard);
    const ruling = found.modes.filter((mode) => mode.governs && mode.torque);
    expect(found.governing).toBe(ruling[0]);
    expect(found.next).toBe(ruling[1]);
    for (const mode of ruling) expect(mode.torque!.low).toBeGreaterThanOrEqual(found.governing.torque!.low);
    expect(found.margin.low).toBeCloseTo(found.governing.torque!.low / REQUIRED, 12);
    expect(found.governing.id).not.toMatch(/published|yield|Kf|points/);
  });

  test("where the steel is soft and tough the plastic limit takes fracture's place, and the result says so", () => {
    const thick = rootOf(
      design(spline({ rootRadius: 0.8, rootDiameter: 37.6, tipDiameter: 32.4, backDiameter: 60 })),
      2,
    );
    const found = capacityOf(thick, { grade: "4340", hardnessLow: 22, hardnessHigh: 24 });
    const fracture = modeOf(found, "root fracture");
    expect(found.regime).toBe("plastic limit");
    expect(fracture.governs).toBe(false);
    expect(fracture.note).toMatch(/plastic limit governs/);
    // and what it says is the plastic limit to 2 %
    expect(off(fracture.torque!.low, modeOf(found, "plastic section").torque!.low)).toBeLessThan(0.02);
    expect(found.validity.find((one) => one.what === "small-scale yielding")!.holds).toBe("no");
    expect(capacityOf(sharp, hard).validity.find((one) => one.what === "plane strain")!.holds).toBe("yes");
  });

  test("hardness that breaks it by fracture leaves it more of a yield margin, and the reverse", () => {
    const [a, b] = [capacityOf(fillet, hard), capacityOf(fillet, tough)];
    expect(modeOf(a, "first yield").torque!.low).toBeGreaterThan(modeOf(b, "first yield").torque!.low);
    expect(modeOf(a, "plastic section").torque!.low).toBeGreaterThan(
      modeOf(b, "plastic section").torque!.low,
    );
    expect(modeOf(a, "root fracture").torque!.low).toBeLessThan(modeOf(b, "root fracture").torque!.low);
  });

  test("a case cracks at less than its core would, and the cracked case is judged with the core's toughness", () => {
    const found = capacityOf(fillet, cased, { caseDepth: [0.4, 0.6] });
    const core = capacityOf(fillet, { grade: "8620 core", hardnessLow: 30, hardnessHigh: 38 });
    expect(modeOf(found, "root fracture").title).toMatch(/case cracks/);
    expect(modeOf(found, "root fracture").torque!.low).toBeLessThan(
      modeOf(core, "root fracture").torque!.low,
    );
    expect(modeOf(found, "cracked case").torque!.low).toBeLessThan(modeOf(core, "root fracture").torque!.low);
    expect(
      off(modeOf(found, "plastic section").torque!.low, modeOf(core, "plastic section").torque!.low),
    ).toBeLessThan(1e-9);
    expect(found.warnings.join()).toMatch(/case is harder and brittle/);
  });

  test("published allowables are shown, say that they are design limits, and never govern", () => {
    const found = capacityOf(fillet, { grade: "4340", hardnessLow: 34, hardnessHigh: 36 });
    const shear = modeOf(found, "published shear");
    // Dudley: T = Ss D N F t Kf / 4 at 40 ksi (276 MPa), 10⁴ cycles Kf 1, chordal thickness 34 sin(π/34) mm
    const byHand = (40_000 * 6.894757e-3 * 34 * 17 * 16 * 34 * Math.sin(Math.PI / 34)) / 4;
    expect(off(shear.torque!.low, byHand)).toBeLessThan(1e-3);
    expect(shear).toMatchObject({ governs: false, note: expect.stringContaining("design limit") });
    expect(modeOf(found, "published bearing").governs).toBe(false);
  });

  test("rim burst is the statics of one tooth cut out with its sector", () => {
    const found = modeOf(capacityOf(fillet, tough), "rim burst");
    // 1 N·mm on the part, 1/17 a tooth; the force W = M / r_b on the flank at radius 17.1, its line tangent to the base circle. The
    // tooth is 2 (π/34 + inv 30° − inv α)·r thick there, less as the space of a shaft's tooth grows: the band's middle lies β off its axis
    const [rb, r] = [17 * Math.cos(Math.PI / 6), 17.1];
    const inv = (a: number) => Math.tan(a) - a;
    const alpha = Math.acos(rb / r);
    const beta = Math.PI / 34 - (inv(Math.PI / 6) - inv(alpha));
    const W = 1 / 17 / rb;
    const tension = (W * Math.sin(alpha + beta)) / (2 * Math.sin(Math.PI / 17));
    // wall 9.5 mm by 16 mm, yield at the low end
    expect(off(found.torque!.low, (1179 * 0.93 * 0.855 * 9.5 * 16) / tension)).toBeLessThan(0.01);
  });

  test("the shaft of an external spline twists off at the torque of a round bar", () => {
    const stub = spline({
      kind: "external spline",
      tipDiameter: 36,
      rootDiameter: 31,
      backDiameter: 10,
      contact: [32.4, 36],
    });
    const root = rootOf(design(stub), 2);
    const found = capacityOf(root, tough, { shocks: 1 });
    const twist = modeOf(found, "shaft twist");
    expect(twist.governs).toBe(true);
    // round bars (textbooks): elastic T = π τ (D⁴ − d⁴) / (16 D), and 4/3 of it when a solid one is fully plastic. Ø31
    // solid has 212 MPa of shear under 1240 N·m
    expect(off(plasticTwist(212, { diameter: 31, bore: 0 }), (1_240_000 * 4) / 3)).toBeLessThan(1e-3);
    // the shear stress times its arm, ring by ring
    const steel = (steelState((findSteel("4340") as { steel: never }).steel, 38, 42) as { state: SteelState })
      .state;
    let sum = 0;
    const rings = 1000;
    for (let k = 0; k < rings; k++) {
      const r = 5 + ((k + 0.5) * 10.5) / rings;
      sum += (steel.yield.low / Math.sqrt(3)) * 2 * Math.PI * r * r * (10.5 / rings);
    }
    expect(off(twist.torque!.low, sum)).toBeLessThan(1e-5);
    // of many shocks the low end is first yield of the surface
    const many = capacityOf(root, tough, { shocks: 10_000 });
    const first = ((steel.yield.low / Math.sqrt(3)) * Math.PI * (31 ** 4 - 10 ** 4)) / (16 * 31);
    expect(off(modeOf(many, "shaft twist").torque!.low, first)).toBeLessThan(1e-9);
    expect(modeOf(many, "shaft twist").torque!.high).toBe(twist.torque!.high);
    // at its best, too, a part stands no more than each mode that governs lets it
    const ends = many.modes.filter((one) => one.governs && one.torque).map((one) => one.torque!.high);
    expect(many.stands).toEqual({ low: many.governing.torque!.low, high: Math.min(...ends) });
    expect(many.margin.high).toBeCloseTo(Math.min(...ends) / REQUIRED, 12);
    // Dudley's allowable shear, 40 ksi at this hardness, for 10⁴ cycles (life factor 1)
    const allowed = (40_000 * 6.894757e-3 * Math.PI * (31 ** 4 - 10 ** 4)) / (16 * 31);
    expect(off(modeOf(many, "published twist").torque!.low, allowed)).toBeLessThan(1e-3);
    // an internal spline has none
    expect(modeOf(capacityOf(fillet, tough), "shaft twist")).toMatchObject({ torque: null, governs: false });
    expect(modeOf(capacityOf(fillet, tough), "published twist").torque).toBeNull();
  });

  // Dudley 1957: 40 ksi at 33 to 38 HRC and above up to 42; life factor 1 at 10⁴ cycles, 0.4 at 10⁵ either way
  test("no shaft is vouched for above its published twist where the shocks are many", () => {
    const root = rootOf(
      design(
        spline({
          kind: "external spline",
          tipDiameter: 36,
          rootDiameter: 31,
          backDiameter: 10,
          contact: [32.4, 36],
        }),
      ),
      2,
    );
    const allowed = (40_000 * 6.894757e-3 * Math.PI * (31 ** 4 - 10 ** 4)) / (16 * 31);
    const at = (requiredTorque: number, conditions: Partial<Conditions>) =>
      capacityOf(root, tough, { requiredTorque, ...conditions });
    for (const [factor, conditions] of [
      [1, { shocks: 1e4 }],
      [0.5, { shocks: 1e5 }],
      [0.4, { shocks: 1e5, torqueRatio: -1 }],
    ] as const) {
      expect(at(0.998 * factor * allowed, conditions)).toMatchObject({ uncounted: [], vouched: true });
      const over = at(1.25 * factor * allowed, conditions);
      expect(over).toMatchObject({ uncounted: ["twist"], vouched: false });
      expect(over.warnings.join()).toContain("for that many shocks is 80 % of the required torque");
    }
    // what is wanted above the required torque is wanted of the shaft too
    expect(at(0.7 * allowed, { shocks: 1e4, margin: 1.4 }).uncounted).toEqual([]);
    expect(at(0.7 * allowed, { shocks: 1e4, margin: 1.5 }).uncounted).toEqual(["twist"]);
    // one shock tires nothing: a ductile shaft yields, a hard or flawed one may break from its roots; 1.8 at 10³ cycles and fewer
    const once = (query: SteelQuery, conditions: Partial<Conditions> = {}) =>
      capacityOf(root, query, { requiredTorque: 2.2 * allowed, shocks: 1, ...conditions });
    expect(modeOf(once(soft), "root fracture").governs).toBe(false);
    expect(once(soft).uncounted).toEqual([]);
    expect(once(soft, { flawDepth: 0.3 }).uncounted).toEqual(["twist"]);
    expect(once(hard).uncounted).toEqual(["twist"]);
    // and an internal spline has no shaft
    expect(capacityOf(fillet, tough, { requiredTorque: 1e9, shocks: 1e6 }).uncounted).toEqual([]);
  });

  test("a face tooth has no published allowables and no rim, and says so", () => {
    const tooth: FaceToothProfile = {
      kind: "face tooth",
      teeth: 11,
      meanDiameter: 55,
      height: 4,
      driveAngle: 0.05,
      overrunAngle: 0.6,
      tipLand: 4,
      driveRootRadius: 0.8,
      overrunRootRadius: 0.8,
      tipChamfer: 0,
      baseThickness: 8,
      faceWidth: 12,
      contact: [1, 4],
      contactGiven: false,
      loadedFlank: "drive",
    };
    const root = rootOf(design(tooth), 2);
    const found = capacityOf(root, tough);
    expect(modeOf(found, "published shear")).toMatchObject({
      torque: null,
      note: expect.stringContaining("splines only"),
    });
    expect(modeOf(found, "rim burst")).toMatchObject({ torque: null, governs: false });
    expect(found.governing.torque!.low).toBeGreaterThan(0);
  });
});

describe("what physics orders", () => {
  // behind the sharp root of a small tooth the stress falls faster than the strength that shortens the distance rises
  test.each([
    [28, 32, {}],
    [38, 42, {}],
    [54, 58, { finish: "as forged", torqueRatio: 0.9, shocks: 1e6 }],
    [26, 36, { finish: "hot rolled", torqueRatio: 0.5, shocks: 1e5 }],
  ] as const)(
    "a window of %d to %d HRC stands no more than any hardness in it, and no less than all",
    (low, high, how) => {
      const text = `part: Small
profile: { kind: face tooth, teeth: 24, outside diameter: 46.49 mm, inside diameter: 32.11 mm, height: 1.08 mm, root radius: 0 }
load: { torque: 1125 N m, teeth sharing: 50 % }
`;
      const root = answerDesign(readPart(text, "small.yaml").designs[0]!).result.rootField!;
      const fatigue = (hardnessLow: number, hardnessHigh: number) =>
        modeOf(capacityOf(root, { grade: "4340", hardnessLow, hardnessHigh }, how), "fatigue").torque!;
      const window = fatigue(low, high);
      const each = Array.from({ length: high - low + 1 }, (_, k) => fatigue(low + k, low + k));
      for (const one of each) {
        expect(window.low / one.low).toBeLessThan(1.002);
        expect(window.high / one.high).toBeGreaterThan(0.998);
      }
    },
  );

  test("more face width carries more, in proportion, in every mode", () => {
    const roots = [12, 16, 24].map((faceWidth) => rootOf(design(spline({ faceWidth })), 2));
    for (const query of [hard, tough]) {
      const found = roots.map((root) => capacityOf(root, query));
      for (const mode of found[1].modes) {
        if (!mode.torque) continue;
        const [a, b, c] = found.map((one) => modeOf(one, mode.id).torque!.low);
        expect(off(a / b, 12 / 16)).toBeLessThan(1e-6);
        expect(off(c / b, 24 / 16)).toBeLessThan(1e-6);
      }
    }
  });

  test("a larger radius on the same tooth never breaks sooner, by one shock or by many", () => {
    const roots = [0, 0.05, 0.1, 0.2, 0.4, 0.6].map((rootRadius) => rootOf(design(spline({ rootRadius }))));
    for (const query of [hard, { ...hard, hardnessLow: 46, hardnessHigh: 50 }, tough]) {
      const found = roots.map((root) => capacityOf(root, query));
      for (const id of ["root fracture", "fatigue"] as const) {
        const torques = found.map((one) => modeOf(one, id).torque!.low);
        for (let k = 1; k < torques.length; k++) expect(torques[k]).toBeGreaterThan(torques[k - 1] * 0.997);
      }
    }
  });

  test("fewer N·m, more margin; fewer teeth, less capacity", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e4, max: 1e7, noNaN: true }), (torque) => {
        const [a, b] = [torque, 1.1 * torque].map((requiredTorque) =>
          capacityOf(fillet, hard, { requiredTorque }),
        );
        expect(a.margin.low).toBeGreaterThan(b.margin.low);
        expect(a.governing.torque).toEqual(b.governing.torque);
      }),
      { seed: 7, numRuns: 25 },
    );
    const few = design(spline(), {
      load: { ...design(spline()).load, sharing: { mode: "share", fraction: 0.25 } },
    });
    const quarter = capacityOf(rootOf(few, 2), hard);
    const half = capacityOf(rootOf(design(spline()), 2), hard);
    expect(quarter.governing.torque!.low).toBeLessThan(0.6 * half.governing.torque!.low);
  });

  test("a deeper flaw breaks sooner, never later than no flaw", () => {
    const whole = modeOf(capacityOf(fillet, hard), "root fracture").torque!.low;
    let before = whole;
    for (const flawDepth of [0.001, 0.01, 0.05, 0.1, 0.3]) {
      const torque = modeOf(capacityOf(fillet, hard, { flawDepth }), "flaw fracture").torque!.low;
      expect(torque).toBeLessThanOrEqual(before);
      before = torque;
    }
    expect(before).toBeLessThan(0.7 * whole);
  });

  test("a flaw costs fatigue too, down to its threshold, and a vanishing one nothing", () => {
    const at = (flawDepth: number, shocks: number) =>
      modeOf(capacityOf(fillet, tough, { flawDepth, shocks }), "fatigue").torque!.low;
    for (const shocks of [1, 1e4, 1e6]) {
      expect(off(at(1e-7, shocks), at(0, shocks))).toBeLessThan(0.01);
      let before = at(0, shocks);
      for (const depth of [0.01, 0.05, 0.2]) {
        expect(at(depth, shocks)).toBeLessThan(before);
        before = at(depth, shocks);
      }
    }
    // a deep flaw at 10⁶ shocks: threshold over the flaw's intensity, 4 MPa√m at the low end (from memory)
    const intensity = flawUpTo(fillet, 0.2, Infinity);
    expect(at(0.2, 1e6)).toBeLessThan((4 * ROOT_METRE) / intensity);
    expect(at(0.2, 1e6)).toBeGreaterThan((0.6 * 4 * ROOT_METRE) / intensity);
  });

  test("more shocks, less torque; the number at a torque and the torque of a number undo each other", () => {
    const steel = (steelState((findSteel("4340") as { steel: never }).steel, 38, 42) as { state: SteelState })
      .state;
    const once = modeOf(capacityOf(fillet, tough), "root fracture").torque!;
    const life = criticalDistanceLife(
      fillet,
      [steel],
      { ratio: 0, finish: "machined", peened: false },
      once,
    )!;
    expect(life.low(1)).toBe(once.low);
    let before = Infinity;
    for (const shocks of [1, 10, 100, 1e3, 3e3, 1e4, 1e5, 1e6]) {
      const { low, high } = lifeTorque(life, shocks);
      expect(low).toBeLessThanOrEqual(before);
      expect(low).toBeLessThanOrEqual(high);
      before = low;
      // where the curve is level many numbers share a torque: the largest is given
      const again = shocksAt(life.low, low * (1 - 1e-12));
      if (shocks < 1e6) expect(again).toBeGreaterThan(shocks * (1 - 1e-6));
      if (shocks >= 3e3 && shocks < 1e6) expect(off(again, shocks)).toBeLessThan(1e-6);
    }
    expect(life.low(1e7)).toBe(life.low(1e6));
    expect(shocksAt(life.low, 0.99 * life.low(1e6))).toBe(Number.POSITIVE_INFINITY);
    expect(shocksAt(life.low, 1.01 * once.low)).toBe(0);
  });

  // T(10³) = 0.77 S / ((1 − R) s̄(L)) at the low end, L of any inherent strength between 1 and 1.5 of tensile: none may be lower
  test("the low end of root fracture is that of the worst inherent strength in its band, the high end that of the best", () => {
    const { state } = steelState((findSteel("4340") as { steel: never }).steel, 38, 42) as {
      state: SteelState;
    };
    // where stress falls off faster than a crack's, a higher strength breaks sooner: it counts over less of the path
    const steep: RootField = {
      ...fillet,
      others: [],
      paths: fillet.paths.map((path) => {
        const opening = path.distances.map((r) => 1e-3 * Math.exp(-r / 0.02));
        return {
          ...path,
          opening,
          mean: path.distances.map((r) => (2e-5 * (1 - Math.exp(-r / 0.02))) / (r || 1)),
        };
      }),
    };
    for (const [root, worst] of [
      [fillet, "low"],
      [steep, "high"],
    ] as const) {
      const { low, high } = modeOf(capacityOf(root, tough), "root fracture").torque!;
      const at = (end: "low" | "high", strength: number) =>
        strength / lineStress(root, (state.toughness![end] / strength) ** 2 / Math.PI, "fading").stress;
      const ends = [state.inherent.low, state.inherent.high];
      const limit = modeOf(capacityOf(root, tough), "plastic section").torque!;
      const both = (linear: number, p: number) =>
        p * (2 / Math.PI) * Math.acos(Math.exp(-(Math.PI ** 2 / 8) * (linear / p) ** 2));
      expect(at("low", state.inherent[worst])).toBe(Math.min(...ends.map((s) => at("low", s))));
      expect(off(low, both(Math.min(...ends.map((s) => at("low", s))), limit.low))).toBeLessThan(1e-6);
      expect(off(high, both(Math.max(...ends.map((s) => at("high", s))), limit.high))).toBeLessThan(1e-6);
    }
  });

  test("the low end of fatigue is that of the worst inherent strength in its band, the high end that of the best", () => {
    const { state } = steelState((findSteel("4340") as { steel: never }).steel, 38, 42) as {
      state: SteelState;
    };
    const how = { ratio: 0, finish: "machined", peened: false } as const;
    const once = { low: 1e12, high: 1e12 };
    for (const root of [sharp, fillet]) {
      const life = criticalDistanceLife(root, [state], how, once)!;
      const at = (end: "low" | "high", few: number) =>
        [1, 1.1, 1.25, 1.4, 1.5].map((share) => {
          const L = (state.toughness![end] / (share * state.tensile[end])) ** 2 / Math.PI;
          return few / lineStress(root, L).stress;
        });
      const low = at("low", goodmanRange(0.77 * state.tensile.low, state.tensile.low));
      expect(off(life.low(1e3), Math.min(...low))).toBeLessThan(1e-9);
      const high = at("high", goodmanRange(0.9 * state.tensile.high, state.tensile.high));
      expect(off(life.high(1e3), Math.max(...high))).toBeLessThan(1e-9);
    }
  });

  test("a flaw leaves the section it has not cracked, and a deep one feels the far side", () => {
    const thickness = fillet.tooth.rootThickness;
    const at = (share: number) =>
      capacityOf(
        fillet,
        { grade: "4340", hardnessLow: 24, hardnessHigh: 24 },
        { shocks: 1, flawDepth: share * thickness },
      );
    const [shallow, deep] = [at(0.05), at(0.4)];
    // in a half plane a crack of 0.4 t would have less than the strip's intensity: bending, 1.26 against 0.58 (computed factors)
    const [strip, halfPlane] = [thickness, Infinity].map((t) => flawUpTo(fillet, 0.4 * thickness, t));
    expect(strip! / halfPlane!).toBeGreaterThan(1.7);
    expect(modeOf(shallow, "flaw fracture").torque!.low).toBeGreaterThan(
      modeOf(deep, "flaw fracture").torque!.low,
    );
    // bending: the plastic limit goes as the square of what is left, 0.36; shear lets it fall a little less
    const whole = modeOf(deep, "plastic section").torque!.low;
    expect(modeOf(deep, "flaw fracture").torque!.low).toBeLessThan(0.6 * whole);
    // soft and tough: what is left of the section bounds it from above
    const steel = (steelState((findSteel("4340") as { steel: never }).steel, 24, 24) as { state: SteelState })
      .state;
    for (const [share, found] of [
      [0.05, shallow],
      [0.4, deep],
    ] as const) {
      const left = plasticTooth(fillet.tooth, steel.yield, share * thickness).torque;
      expect(modeOf(found, "flaw fracture").torque!.low).toBeLessThanOrEqual(left.low);
      expect(modeOf(found, "flaw fracture").torque!.high).toBeLessThanOrEqual(left.high);
    }
    expect(deep.governing.torque!.low).toBeLessThanOrEqual(modeOf(deep, "flaw fracture").torque!.low);
  });

  test("a reversed torque takes the published life factor of reversed cycles: 0.3 in place of 0.4 at 10⁶", () => {
    const at = (torqueRatio: number) =>
      modeOf(capacityOf(fillet, tough, { shocks: 1e6, torqueRatio }), "published shear").torque!.low;
    expect(off(at(-1) / at(0), 0.3 / 0.4)).toBeLessThan(1e-9);
  });

  /** Paths whose stresses are so many times those of a root. */
  const times = (root: RootField, by: number): RootPaths => ({
    corner: null,
    paths: root.paths.map((path) => ({
      ...path,
      opening: path.opening.map((value) => by * value),
      mean: path.mean.map((value) => by * value),
    })),
  });

  // amplitude of a root between T s̄ and −p T s̄: (1 + p) T s̄ / 2; compression on the whole earns no higher amplitude at the low end
  test("reversed shocks count the harder push of the other roots: (1 + p) / 2 of the torque at p = 1", () => {
    const alone = { ...fillet, others: [] };
    const found = (push: number, torqueRatio: number) =>
      capacityOf({ ...alone, pushed: times(fillet, push), pushOverPull: push }, tough, {
        shocks: 1e6,
        torqueRatio,
        finish: "polished",
      });
    const low = (push: number, torqueRatio: number, id: ModeId = "fatigue") =>
      modeOf(found(push, torqueRatio), id).torque!.low;
    for (const push of [1.2, 1.5, 2])
      for (const id of ["fatigue", "fatigue by Kf"] as const)
        expect(off(low(1, -1, id) / low(push, -1, id), (1 + push) / 2)).toBeLessThan(1e-9);
    // half the torque back: a root pulled by half and pushed by p counts 1.5 of that, and half of the rest
    expect(off(low(2, -0.5) / low(3, -0.5), (0.5 + 1.5 + 0.75) / (0.5 + 1.5 + 0.25))).toBeLessThan(1e-9);
    // pulled by 1 and pushed by half of 1 is what remains where no root is pushed harder
    expect(low(1, -0.5)).toBeGreaterThan(low(2, -0.5));
    // next to nothing back is next to no change
    expect(off(low(10, -1e-6), low(10, 0))).toBeLessThan(1e-3);
    // one way: no push at another root is a pull at this one
    expect(low(2, 0)).toBe(low(1, 0));
    expect(modeOf(found(1.5, -1), "fatigue").note).toContain("pushed 1.50 times as hard");
  });

  test("of full reversal it makes no difference which of two unlike flanks is called the loaded one", () => {
    // a root that is hardly pulled and pushed hard, and one the other way round
    const one = { ...fillet, others: [], pushed: times(fillet, 0.2), pushOverPull: 1 };
    const other = { ...one, ...times(fillet, 0.15), pushed: times(fillet, 0.9) };
    const named = (root: RootField, reverse: RootField) =>
      modeOf(capacityOf({ ...root, reverse }, tough, { shocks: 1e6, torqueRatio: -1 }), "fatigue").torque!;
    expect(off(named(one, other).low, named(other, one).low)).toBeLessThan(1e-12);
    expect(off(named(one, other).high, named(other, one).high)).toBeLessThan(1e-12);
  });

  test("Kf is not stated of a reversal that loads another root, nor where the push is not told", () => {
    const kf = (root: RootField, torqueRatio: number) =>
      modeOf(capacityOf(root, tough, { shocks: 1e6, torqueRatio }), "fatigue by Kf");
    const own = { ...fillet, pushed: times(fillet, 0.2), pushOverPull: 1 };
    expect(kf(own, -1).torque).not.toBeNull();
    expect(kf({ ...own, reverse: own }, -1)).toMatchObject({
      torque: null,
      note: expect.stringContaining("another root"),
    });
    expect(kf({ ...own, pushOverPull: null }, -1)).toMatchObject({
      torque: null,
      note: expect.stringContaining("pushes the root"),
    });
    expect(kf({ ...own, pushOverPull: null }, 0).torque).not.toBeNull();
  });

  test("a root that is only pushed is told by its push, flawed or not, and a flaw makes it no better", () => {
    const only = {
      ...fillet,
      ...times(fillet, -1),
      others: [],
      pushed: times(fillet, 1),
      highestVonMises: null,
    };
    const at = (flawDepth: number, root: RootField = only) =>
      capacityOf(root, tough, { shocks: 1e6, torqueRatio: -1, finish: "polished", flawDepth });
    const low = (flawDepth: number, root?: RootField) => modeOf(at(flawDepth, root), "fatigue").torque!.low;
    // half the range of a root that is pulled as hard as it is pushed
    const both = { ...fillet, pushed: times(fillet, 1) };
    expect(off(low(0), 2 * low(0, both))).toBeLessThan(1e-9);
    expect(low(0.2)).toBeLessThan(low(0));
    expect(low(0.2, both)).toBeLessThan(low(0.2));
    expect(at(0.2).vouched).toBe(true);
  });

  test("a sharp pushed corner is no better in a torque that reverses than the fillet it is of", () => {
    const lows = [0, 0.005, 0.05].map((rootRadius) => {
      const root = rootOf(design(spline({ rootRadius })));
      return modeOf(capacityOf(root, tough, { shocks: 1e5, torqueRatio: -1 }), "fatigue").torque!.low;
    });
    expect(off(lows[0]!, lows[1]!)).toBeLessThan(0.05);
    expect(lows[2]!).toBeGreaterThan(lows[0]!);
  });

  test("peening and a better finish help fatigue and leave the first shock alone; reversed shocks cost", () => {
    const plain = capacityOf(fillet, tough, { shocks: 1e6 });
    const peened = capacityOf(fillet, tough, { shocks: 1e6, peened: true });
    const ground = capacityOf(fillet, tough, { shocks: 1e6, finish: "ground" });
    const both = capacityOf(fillet, tough, { shocks: 1e6, torqueRatio: -1 });
    const at = (found: Capacity, id: ModeId) => modeOf(found, id).torque!.low;
    expect(at(peened, "fatigue")).toBeGreaterThan(1.1 * at(plain, "fatigue"));
    expect(at(ground, "fatigue")).toBeGreaterThan(at(plain, "fatigue"));
    expect(at(both, "fatigue")).toBeLessThan(at(plain, "fatigue"));
    expect(at(peened, "root fracture")).toBe(at(plain, "root fracture"));
  });
});

test("a root field that has been through JSON has lost its arrays, and is refused", () => {
  expect(() => capacityOf(JSON.parse(JSON.stringify(fillet)), tough)).toThrow(
    /JSON loses them, structuredClone keeps them/,
  );
  expect(capacityOf(structuredClone(fillet), tough)).toEqual(capacityOf(fillet, tough));
});

describe("what a steel's own rows leave out", () => {
  type Rows = Pick<SteelRecord, "tensile" | "toughness" | "fatigueLimit" | "threshold">;
  const row = (from: number, to: number, mean: number) => ({
    hrc: [from, to] as const,
    low: [mean, mean] as const,
    high: [mean, mean] as const,
    scatter: 0.1,
    source: "data sheet",
  });
  const built = findSteel("4340");
  if ("fault" in built) throw new Error("no 4340");
  const our = (rows: Rows) => ({
    steels: [{ ...built.steel, name: "ours", also: [], hrc: [36, 48] as const, ...rows }],
  });
  const at = (rows: Rows, [hardnessLow, hardnessHigh]: readonly [number, number], shocks = 1e5) => {
    const steel = { grade: "ours", hardnessLow, hardnessHigh };
    const found = assess(fillet, steel, { requiredTorque: 1e5, shocks }, our(rows));
    if ("faults" in found) throw new Error(JSON.stringify(found.faults));
    return found.capacity;
  };
  const partial = { fatigueLimit: [row(36, 40, 600)] };
  // as a table in whole HRC has it, with a hole narrower than any step of a sweep
  const holed = { fatigueLimit: [row(36, 40.1, 600), row(40.2, 48, 620)] };
  const noThreshold = { threshold: [] };

  test("is fatigue not counted, and no margin beside it a yes", () => {
    for (const [rows, hardness] of [
      [partial, [44, 46]],
      [partial, [39, 41]],
      [holed, [38, 42]],
      [noThreshold, [44, 46]],
      [{ fatigueLimit: [] }, [44, 46]],
    ] as const) {
      const found = at(rows, hardness);
      expect(found).toMatchObject({ uncounted: ["root fatigue"], vouched: false });
      expect(modeOf(found, "fatigue").torque).toBeNull();
      expect(found.warnings.join()).toMatch(
        /No (fatigue limit|threshold) is known for ours at this hardness/,
      );
      // one shock tires nothing
      expect(at(rows, hardness, 1)).toMatchObject({ uncounted: [], vouched: true });
    }
    for (const rows of [partial, holed])
      expect(at(rows, [36, 39])).toMatchObject({ uncounted: [], vouched: true });
  });

  test("nor is a hole in its tensile rows, across which nothing is ordered", () => {
    const tensile = [row(36, 40, 1200), row(44, 48, 1500)];
    const found = hardnessWindow(
      fillet,
      { grade: "ours", hardnessLow: 38, hardnessHigh: 40 },
      { requiredTorque: 1e5, shocks: 1e5 },
      { tolerance: 0.5, catalogue: our({ tensile }) },
    );
    if ("faults" in found) throw new Error(JSON.stringify(found.faults));
    const near = (x: number) => expect.closeTo(x, 1);
    expect(found.window.satisfying).toEqual([
      [36, near(40)],
      [near(44), 48],
    ]);
  });

  test("rows narrower than any step of a sweep are looked at", () => {
    const brittle = { toughness: [row(36, 41.1, 90), row(41.1, 41.2, 4), row(41.2, 48, 90)] };
    const found = hardnessWindow(
      fillet,
      { grade: "ours", hardnessLow: 38, hardnessHigh: 40 },
      { requiredTorque: 2.5 * REQUIRED, shocks: 1 },
      { tolerance: 0.5, catalogue: our(brittle) },
    );
    if ("faults" in found) throw new Error(JSON.stringify(found.faults));
    expect(found.window.satisfying).toHaveLength(2);
    const [[, to], [from]] = found.window.satisfying;
    expect(to).toBeLessThanOrEqual(41.1);
    expect(from).toBeGreaterThanOrEqual(41.2);
  });

  test("is no hardness of a window, in a hole that its steps pass over as little as beyond the rows", () => {
    const windowOf = (rows: Rows) => {
      const asked = { requiredTorque: 1e5, shocks: 1e5 };
      const steel = { grade: "ours", hardnessLow: 38, hardnessHigh: 40 };
      const found = hardnessWindow(fillet, steel, asked, { tolerance: 0.5, catalogue: our(rows) });
      if ("faults" in found) throw new Error(JSON.stringify(found.faults));
      return found.window;
    };
    const near = (x: number) => expect.closeTo(x, 1);
    expect(windowOf({}).satisfying).toEqual([[36, 48]]);
    expect(windowOf(partial)).toMatchObject({
      satisfying: [[36, near(40)]],
      uncounted: [{ of: "root fatigue", ranges: [[near(40), 48]] }],
      vouched: true,
    });
    const { satisfying, uncounted } = windowOf(holed);
    expect(satisfying).toEqual([
      [36, near(40.1)],
      [near(40.2), 48],
    ]);
    expect(uncounted).toMatchObject([{ of: "root fatigue", ranges: [[near(40.15), near(40.15)]] }]);
    const none = windowOf(noThreshold);
    expect(none).toMatchObject({ satisfying: [], aim: null, vouched: false });
    expect(none.none!.why).toContain("at any hardness no fatigue limit or no threshold is known");
    // each of them at some, between them at every hardness
    const both = windowOf({ ...partial, toughness: [row(40.5, 48, 80)] });
    expect(both).toMatchObject({ satisfying: [], vouched: false });
    expect(both.none!.why).toMatch(/at some hardness no fracture toughness .*; at some hardness no fatigue/);
  });

  test("a core without toughness behind a cracked case is not counted", () => {
    const core = findSteel("8620 core");
    if ("fault" in core) throw new Error("no core");
    const steels = BUILT_IN.steels.map((one) => (one === core.steel ? { ...one, toughness: [] } : one));
    const of = (catalogue: SteelCatalogue) => {
      const found = assess(fillet, cased, { requiredTorque: REQUIRED, caseDepth: [0.4, 0.6] }, catalogue);
      if ("faults" in found) throw new Error(JSON.stringify(found.faults));
      return found.capacity.uncounted;
    };
    expect(of(BUILT_IN)).toEqual([]);
    expect(of({ steels })).toEqual(["core"]);
    // nor is one whose case is as deep as nobody says
    const found = capacityOf(fillet, cased);
    expect(found).toMatchObject({ uncounted: ["core"], vouched: false });
    expect(found.warnings.join()).toContain("give steel.case depth");
  });

  test("the steels that come with the tool leave out nothing anywhere in their range", () => {
    for (const steel of BUILT_IN.steels.filter(({ condition }) => condition === "through hardened")) {
      const query = { grade: steel.name, hardnessLow: steel.hrc[0], hardnessHigh: steel.hrc[1] };
      expect(capacityOf(fillet, query, { shocks: 1e5 }).uncounted).toEqual([]);
    }
    for (const steel of BUILT_IN.steels.filter(({ condition }) => condition === "case")) {
      const found = findSteel(steel.core!);
      if ("fault" in found) throw new Error(`no ${steel.core}`);
      const [hardnessLow, hardnessHigh] = found.steel.hrc;
      const query = { grade: steel.name, hardnessLow: steel.hrc[0], hardnessHigh: steel.hrc[1] };
      const core = { hardnessLow, hardnessHigh };
      const asked = { shocks: 1e5, caseDepth: [0.4, 0.6] as const };
      expect(capacityOf(fillet, { ...query, core }, asked).uncounted).toEqual([]);
    }
  });
});

describe("bad input is one clear message each, and nothing is computed", () => {
  const one = (faults: readonly Fault[], key: string, words: RegExp) => {
    expect(faults).toHaveLength(1);
    expect(faults[0].key).toBe(key);
    expect(`${faults[0].problem}; ${faults[0].remedy}`).toMatch(words);
  };

  test("an unknown steel, with the nearest offered", () =>
    one(faultsOf(fillet, { ...hard, grade: "4304" }), "steel.grade", /did you mean 4340/));
  test("hardness outside the data", () =>
    one(faultsOf(fillet, { ...hard, hardnessHigh: 62 }), "steel.hardness", /within 20\.\.59 HRC/));
  test("a case deeper than half the tooth", () =>
    one(
      faultsOf(fillet, cased, { caseDepth: [2, 3.2] }),
      "steel.case depth",
      /the cases meet.*use less than 2\.7/,
    ));
  test("a negative flaw", () =>
    one(faultsOf(fillet, hard, { flawDepth: -0.1 }), "strength.flaw depth", /-0\.1 mm/));
  test("a flaw through half the wall behind the root, where that is thinner than the tooth", () => {
    const thin = { ...fillet, tooth: { ...fillet.tooth, wall: 2 } };
    one(faultsOf(thin, hard, { flawDepth: 1.1 }), "strength.flaw depth", /half the wall behind the root/);
    expect(faultsOf(thin, hard, { flawDepth: 0.9 })).toEqual([]);
  });

  test("a flaw through half the tooth", () =>
    one(faultsOf(fillet, hard, { flawDepth: 3 }), "strength.flaw depth", /half the tooth/));
  test("peening on a soft steel", () =>
    one(
      faultsOf(fillet, { grade: "4140", hardnessLow: 24, hardnessHigh: 28 }, { peened: true }),
      "strength.peened",
      /30 HRC or harder/,
    ));
  test("a flaw deeper than its case", () =>
    one(
      faultsOf(fillet, cased, { caseDepth: [0.4, 0.6], flawDepth: 0.5 }),
      "strength.flaw depth",
      /deeper than the case/,
    ));
  test("a flaw in a case of unknown depth", () =>
    one(faultsOf(fillet, cased, { flawDepth: 0.05 }), "strength.flaw depth", /unknown depth/));
  test("a case on a through-hardened steel", () =>
    one(faultsOf(fillet, hard, { caseDepth: [0.4, 0.6] }), "steel.case depth", /has no case/));
  test("a core on a through-hardened steel", () =>
    one(
      faultsOf(fillet, { ...hard, core: { hardnessLow: 30, hardnessHigh: 35 } }),
      "steel.core hardness",
      /has no core/,
    ));
  test("a case without a core", () => {
    const { core: _, ...bare } = cased;
    one(faultsOf(fillet, bare), "steel.core hardness", /missing/);
  });
  test("no shocks, a ratio that is none, no torque, a factor below 1", () => {
    one(faultsOf(fillet, hard, { shocks: 0 }), "strength.shocks", /1 or more/);
    one(faultsOf(fillet, hard, { finish: "shiny" as "ground" }), "strength.finish", /polished, ground/);
    one(faultsOf(fillet, hard, { torqueRatio: 1 }), "strength.torque ratio", /use 0/);
    one(faultsOf(fillet, hard, { requiredTorque: Number.NaN }), "load.torque", /positive/);
    one(faultsOf(fillet, hard, { distributionFactor: 0.5 }), "strength.distribution factor", /below 1/);
  });
  test("all of them at once when all are wrong", () => {
    const faults = faultsOf(
      fillet,
      { ...hard, grade: "x9" },
      { flawDepth: -1, shocks: -2, requiredTorque: -5 },
    );
    expect(faults.map((fault) => fault.key).sort()).toEqual([
      "load.torque",
      "steel.grade",
      "strength.flaw depth",
      "strength.shocks",
    ]);
  });
});
