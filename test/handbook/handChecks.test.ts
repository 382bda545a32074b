import { readFileSync } from "node:fs";
import { evaluate } from "mathjs";
import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type Design, readPart, stressUnit } from "../../src/design/index.ts";
import {
  FORMULA_CARDS,
  type HandSheet,
  handChecks,
  loadedTooth,
  shearAllowance,
} from "../../src/handbook/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { straightTooth } from "./straightTooth.ts";

const demo = (name: string) =>
  readPart(readFileSync(new URL(`../../demo/${name}.yaml`, import.meta.url), "utf8"), name).designs;
const hub = demo("orchard-hub");
const ramp = demo("orchard-ramp");

const SHAFT = `part: Axle stub
profile: { kind: external spline, teeth: 17, module: 2 mm, pressure angle: 30 deg, root radius: 0.4 mm, face width: 16 mm, bore diameter: 8 mm }
load: { torque: 1240 N m, teeth sharing: 50 % }
`;
const INCH = `part: Inch stub
profile: { kind: external spline, teeth: 14, diametral pitch: 12 /in, pressure angle: 30 deg, root radius: full, face width: 0.75 in, bore diameter: 0.4 in }
load: { torque: 200 lbf ft, teeth sharing: 75 %, friction: 0.1 }
`;

/** Every variant solved once, coarsely: what is claimed here does not hang on the last per cent. */
const solved = new Map<Design, { sheet: HandSheet; result: ReturnType<typeof answerDesign>["result"] }>();
function solve(design: Design) {
  const known = solved.get(design);
  if (known) return known;
  const { result, profile } = answerDesign(design, { accuracy: 0.05 });
  const made = { result, sheet: handChecks(result, profile) };
  solved.set(design, made);
  return made;
}
const variant = (designs: readonly Design[], name: string) =>
  designs.find((design) => design.variant === name)!;
const shaft = readPart(SHAFT, "shaft").designs[0]!;
const inch = readPart(INCH, "inch").designs[0]!;
const parts: [string, Design][] = [
  ["bore spline V0", variant(hub, "V0")],
  ["bore spline V2", variant(hub, "V2")],
  ["bore spline, sharp", variant(hub, "sharp, as drawn")],
  ["ramp tooth V2", variant(ramp, "V2")],
  ["axle stub", shaft],
  ["inch stub with friction", inch],
];

/** A value worked out from the printed arithmetic alone, as with a pocket calculator. */
function calculated(working: string): number {
  const plain = (text: string) =>
    text.replaceAll("×", "*").replaceAll("−", "-").replaceAll("²", "^2").replaceAll("⁴", "^4");
  const factored = /(?:K|Kf|YS|Kt) = (.*?)(?: = ([\d.]+))?; times (.*)$/.exec(working);
  if (!factored) return evaluate(plain(working)) as number;
  const [, rule, value, nominal] = factored;
  const factor = evaluate(plain(rule!)) as number;
  // the factor's own arithmetic gives the factor that is printed behind it
  if (value) expect(Math.abs(factor / Number(value) - 1)).toBeLessThan(3e-3);
  return factor * (evaluate(plain(nominal!)) as number);
}

describe("the load as one force", () => {
  // equilibrium: the force's moment about the axis is the tooth's torque
  test.for([...parts.filter(([, { profile }]) => profile.kind !== "face tooth")])(
    "turns the %s with the tooth's torque",
    ([, design]) => {
      const built = buildProfile(design.profile);
      const tooth = loadedTooth(design, built, 1000);
      const outward = design.profile.kind === "external spline" ? 1 : -1;
      const lever = built.rootRadiusPosition + outward * tooth.lineHeight(0);
      expect(tooth.across * lever).toBeCloseTo(1000, 6);
    },
  );
  test("of a face tooth is its torque over the mean radius, square to the flank", () => {
    const design = variant(ramp, "V0");
    const tooth = loadedTooth(design, buildProfile(design.profile), 1000);
    expect(tooth.across).toBeCloseTo(1000 / 27.5, 9);
    // 2° of back-cut pull the tooth off its root
    expect(Math.tan(tooth.angle)).toBeCloseTo(-Math.tan((2 * Math.PI) / 180), 9);
  });
});

describe("friction", () => {
  // a face of friction angle φ = atan μ turns the force by φ, here towards the tip: away from the root
  test.for([0, 20, 30])("towards the tip turns the load of a %s° flank off its root by atan μ", (betaDeg) => {
    const { result, built } = straightTooth({ B: 2, betaDeg, hp: 1.2, hl: 0.7, r: 0.2 }, 2);
    const design = { ...result.design, load: { ...result.design.load, friction: 0.1 } };
    const tooth = loadedTooth(design, built, result.torque.perTooth);
    expect(tooth.angle).toBeCloseTo((betaDeg * Math.PI) / 180 - Math.atan(0.1), 9);
    expect(tooth.across).toBeCloseTo(Math.cos((betaDeg * Math.PI) / 180), 9);
  });
});

describe("the shoulder chart", () => {
  // Peterson, 3rd ed., chart 3.8a, values of notch-charts.json at H/d and r/d
  const { cases } = JSON.parse(
    readFileSync(new URL("../../fixtures/reference/notch-charts.json", import.meta.url), "utf8"),
  ) as {
    cases: {
      id: string;
      section: string;
      inputs: Record<string, number>;
      expected: Record<string, number>;
    }[];
  };
  // a tooth of a pitch of 8 mm must leave room for its fillets
  const fitting = cases.filter(
    ({ section, inputs }) => section === "shoulder-bending" && inputs["r_d"]! < (inputs["H_d"]! - 1) / 2,
  );
  test("has cases to read", () => expect(fitting.length).toBeGreaterThan(3));
  test.for(fitting)("is read at the tooth's own step and radius: $id", ({ inputs, expected }) => {
    const d = 8 / inputs["H_d"]!;
    const tooth = { B: d, betaDeg: 0, hp: 8, hl: 7, r: inputs["r_d"]! * d };
    const { result, built } = straightTooth(tooth, 1);
    const check = handChecks(result, built).checks.find(({ id }) => id === "shoulder chart")!;
    expect(Math.abs(check.factor! / expected["KtChart"]! - 1)).toBeLessThan(1e-3);
    // nominal: 6 M / (b d²) with the moment of 1 N at 7 mm
    expect(check.stress! / check.factor!).toBeCloseTo((6 * 7) / d ** 2, 6);
  });
});

describe("every printed piece of arithmetic gives the printed value", () => {
  test.for(parts)("%s", ([, design]) => {
    const { sheet } = solve(design);
    const unit = stressUnit(design.units).perMPa;
    for (const { working, stress, name } of sheet.checks) {
      if (stress === null) {
        expect(working, name).toMatch(/^no value: /);
        continue;
      }
      const value = calculated(working);
      // four figures in: where two terms nearly cancel, their rounding is that of the larger one
      const terms = /^(.*times )?\(?(6 × .*?) [−+] \d/.exec(working);
      const slack = terms ? Math.abs(calculated(`${terms[1] ?? ""}${terms[2]}`)) : 0;
      expect(Math.abs(value - stress * unit), name).toBeLessThan(
        3e-3 * Math.abs(stress * unit) + 1e-3 * slack * (working.endsWith(" / 1000") ? 1e-3 : 1),
      );
    }
  });
});

describe("a sheet", () => {
  test.for(parts)(
    "of the %s tells for each formula whether this root is in its range, and why it disagrees",
    ([, design]) => {
      const { sheet, result } = solve(design);
      const known = new Set(sheet.reasons.map(({ key }) => key));
      for (const check of sheet.checks) {
        expect(FORMULA_CARDS.map(({ id }) => id)).toContain(check.id);
        for (const key of check.why) expect(known).toContain(key);
        if (!check.beside) continue;
        if (check.stress === null || Math.abs(check.difference!) > 0.1)
          expect(check.why.length, check.name).toBeGreaterThan(0);
        else expect(check.why).toEqual([]);
      }
      const beam = sheet.checks.find(({ id }) => id === "short beam")!;
      expect(beam.stress).toBe(result.root.nominal.stress);
      if (!result.root.sharp) expect(beam.computedFactor).toBeCloseTo(result.root.kt!, 9);
    },
  );

  test("of a sharp root has no factor and no stress where a formula divides by the radius, and says how it grows", () => {
    const { sheet } = solve(variant(hub, "sharp, as drawn"));
    for (const id of ["Dolan-Broghamer", "AGMA Kf", "ISO YF YS", "shoulder chart"]) {
      const check = sheet.checks.find((one) => one.id === id)!;
      expect(check).toMatchObject({ stress: null, factor: null, computedFactor: null, difference: null });
      expect(check.working).toContain("without limit");
      expect(check.why).toContain("sharp");
      expect(check.beside!.what).toBe("averaged root stress");
    }
    const growing = /would be (\S+), (\S+), (\S+),/.exec(
      sheet.checks.find(({ id }) => id === "Dolan-Broghamer")!.working,
    )!;
    expect(Number(growing[1])).toBeLessThan(Number(growing[2]));
    expect(Number(growing[2])).toBeLessThan(Number(growing[3]));
  });

  test("of the bore spline says that the slanted load bends next to nothing, and finds no gear rule to speak for it", () => {
    const { sheet } = solve(variant(hub, "V2"));
    for (const id of ["Dolan-Broghamer", "AGMA Kf", "ISO YF YS"]) {
      const check = sheet.checks.find((one) => one.id === id)!;
      expect(check.stress).toBeNull();
      expect(check.outside.join()).toContain("internal spline, made for external gears");
      expect(check.why).toEqual(expect.arrayContaining(["internal", "stubby", "line", "ring"]));
    }
    expect(sheet.reasons.find(({ key }) => key === "push")!.text).toContain("36.1° from square");
  });

  // Dudley 1957: life factor 1 at 10,000 cycles, 0.5 at 100,000 one way, 0.4 either way (the table of splineAllowables.ts)
  test("holds the shear against the allowance for the file's own number of shocks", () => {
    const { strength, ...base } = variant(hub, "V2");
    const { root } = solve(variant(hub, "V2")).result;
    const told = (shocks: number, torqueRatio = 0) =>
      Number(
        /Dudley allows ([\d.]+) MPa/.exec(
          shearAllowance({ ...base, strength: { ...strength!, shocks, torqueRatio } }, root, 100, null)!,
        )![1],
      );
    expect(told(1e5) / told(1e4)).toBeCloseTo(0.5, 2);
    expect(told(1e5, -1) / told(1e4)).toBeCloseTo(0.4, 2);
    expect(shearAllowance(base, root, 100, null)).toContain("at 10,000 cycles");
  });

  test("of the ramp tooth has no ring, no Dudley and no slant", () => {
    const { sheet } = solve(variant(ramp, "V2"));
    const ids = sheet.checks.map(({ id }) => id);
    for (const id of ["ring tension", "Dudley shear", "Dudley bearing", "shaft torsion"])
      expect(ids).not.toContain(id);
    expect(sheet.reasons.map(({ key }) => key)).not.toContain("push");
    // nothing but equilibrium is in it: torque over mean radius over the band's area
    const bearing = sheet.checks.find(({ id }) => id === "plain bearing")!;
    expect(Math.abs(bearing.difference!)).toBeLessThan(1e-3);
  });

  test("puts Dudley's bearing with the part's own sharing within 2 % of the computed contact pressure", () => {
    // both are the same force over nearly the same band; the computed one is measured along the curved flank
    const bearing = solve(variant(hub, "V2")).sheet.checks.find(
      ({ name }) => name === "Dudley bearing, Km 2",
    )!;
    expect(Math.abs(bearing.difference!)).toBeLessThan(0.02);
  });

  test("tells of the ring's tension what a thicker ring shows: less of it, and a lower peak at the same tooth", () => {
    const design = variant(hub, "V2");
    if (design.profile.kind === "face tooth") throw new Error("the hub is a spline");
    const thick = solve({ ...design, profile: { ...design.profile, backDiameter: 120 } });
    const thin = solve(design);
    const ring = ({ sheet }: typeof thin) => sheet.checks.find(({ id }) => id === "ring tension")!.stress!;
    const peak = ({ result }: typeof thin) => result.root.peakPrincipal!.stress;
    expect(ring(thick)).toBeLessThan(0.3 * ring(thin));
    // a notch raises it: the peak falls by more than the mean tension does
    expect(peak(thin) - peak(thick)).toBeGreaterThan(ring(thin) - ring(thick));
    // and the tooth formulas do not notice
    const beam = ({ sheet }: typeof thin) => sheet.checks.find(({ id }) => id === "short beam")!.stress!;
    expect(beam(thick)).toBeCloseTo(beam(thin), 9);
  });
});

describe("roots that are loaded otherwise", () => {
  test("one tooth of fourteen: Dudley's shear is told of it too, half of the teeth carrying by his formula", () => {
    const text = (bore: number) => `part: Stub
profile: { kind: external spline, teeth: 14, module: 2.54 mm, pressure angle: 30 deg, root radius: 0.6 mm, face width: 28 mm, bore diameter: ${bore} mm }
load: { torque: 1000 N m, teeth sharing: one tooth }
`;
    const { sheet } = solve(readPart(text(14), "stub").designs[0]!);
    const shear = sheet.checks.filter(({ id }) => id === "Dudley shear");
    expect(shear.map(({ name }) => name)).toEqual([1, 2, 7].map((km) => `Dudley shear, Km ${km}`));
    expect(shear[2]!.stress! / shear[0]!.stress!).toBeCloseTo(7, 9);
    expect(sheet.reasons.find(({ key }) => key === "other root")).toBeUndefined();
    // on thin metal the ring is bent so that the root of a tooth that carries nothing is opened furthest
    const thin = solve(readPart(text(29.5), "stub").designs[0]!);
    const { x, y } = thin.result.root.peakPrincipal!;
    const tooth = ((Math.round((Math.atan2(y, x) * 14) / (2 * Math.PI)) + 14) % 14) + 1;
    expect(tooth).not.toBe(1);
    const told = thin.sheet.reasons.find(({ key }) => key === "other root")!;
    expect(told.text).toContain(
      `that of tooth ${tooth}, which carries nothing: what the loaded teeth do to the ring`,
    );
    expect(thin.result.notes.join()).toContain(
      `the root told is that of tooth ${tooth}, which carries nothing`,
    );
  });

  test("unequal teeth: no ring stress is told, and Dudley's Km is the most loaded tooth's share over the even one", () => {
    const text = `part: Parallel stub
profile: { kind: external spline, flank: straight, flank angle: 0 deg, teeth: 6, pitch diameter: 26 mm, tip diameter: 28 mm, root diameter: 24 mm, tooth thickness: 6 mm, root radius: 0.3 mm, face width: 20 mm, bore diameter: 8 mm }
load: { torque: 200 N m, loaded teeth: [1, 4, 5] }
`;
    const { sheet } = solve(readPart(text, "ring").designs[0]!);
    expect(sheet.checks.map(({ id }) => id)).not.toContain("ring tension");
    // a third of the torque where a sixth would be even
    expect(sheet.checks.map(({ name }) => name)).toContain("Dudley bearing, Km 2");
    expect(sheet.reasons.map(({ key }) => key)).toContain("sharing");
    // parallel flanks push square across
    expect(sheet.inputs.find(({ symbol }) => symbol === "Wr")!.value).toBeCloseTo(0, 6);
  });

  test("a ramp loaded on its over-run flank is read from that flank", () => {
    const text = `part: Over-run
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, back-cut: 2 deg, ramp angle: 38 deg, root radius: 0.5 mm, loaded flank: over-run }
load: { torque: 100 N m }
`;
    const design = readPart(text, "over").designs[0]!;
    const tooth = loadedTooth(design, buildProfile(design.profile), 1000);
    expect(tooth.angle).toBeCloseTo((38 * Math.PI) / 180, 9);
    expect(tooth.flankAngle).toBeCloseTo((38 * Math.PI) / 180, 9);
    expect(tooth.at.s).toBeGreaterThan(0);
  });

  test("a peak on the other side of the tooth is told, whatever the formulas say", () => {
    const { result, built } = straightTooth({ B: 2, betaDeg: 20, hp: 1.8, hl: 1.2, r: 0.2 }, 3.3);
    const told = (x: number) => {
      const root = { ...result.root, peakPrincipal: { stress: 3.3, x, y: 0.1 } };
      return handChecks({ ...result, root }, built).reasons.map(({ key }) => key);
    };
    expect(told(1)).not.toContain("other root");
    expect(told(-1)).toContain("other root");
  });
});

describe("shearAllowance", () => {
  const { result, sheet } = solve(variant(hub, "V2"));
  const shear = sheet.checks.find(({ id }) => id === "Dudley shear")!.stress!;
  // Dudley 1957: 40,000 psi = 276 MPa at 33 to 38 HRC
  test("reads the row of the steel's hardness, and says that shear does not see the root corner", () => {
    const text = shearAllowance(variant(hub, "V4"), result.root, shear, null)!;
    expect(text).toContain("276 MPa (40.0 ksi)");
    expect(text).toContain("says nothing of the root corner");
  });
  test("has nothing to say of face teeth or of a part without a steel", () => {
    expect(shearAllowance(variant(ramp, "V2"), result.root, shear, null)).toBeNull();
    expect(shearAllowance({ ...variant(hub, "V2"), steel: null }, result.root, shear, null)).toBeNull();
  });
});

describe("docs/hand-checks.md", () => {
  const text = readFileSync(new URL("../../docs/hand-checks.md", import.meta.url), "utf8");
  test.for(FORMULA_CARDS.map(({ id, formula, source }) => ({ id, formula, source })))(
    "explains $id with its formula and source",
    ({ id, formula, source }) => {
      const from = text.indexOf(`### ${id}\n`);
      expect(from).toBeGreaterThan(0);
      const next = text.indexOf("\n### ", from + 1);
      const section = text.slice(from, next < 0 ? undefined : next).replaceAll(/\s+/g, " ");
      expect(section).toContain(`\`${formula.split(",")[0]}\``);
      expect(section).toContain(source);
    },
  );
});
