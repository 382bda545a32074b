import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type Design,
  DesignError,
  type FaceToothProfile,
  readPart,
  type StrengthChoice,
} from "../../src/design/index.ts";
import { overRunCases, reverseCase, variantChanges } from "../../src/strength/index.ts";
import { design, spline } from "./roots.ts";

const all = ({ changes }: ReturnType<typeof variantChanges>) => new Set(changes.map((one) => one.id));
const demo = (file: string) => readFileSync(new URL(`../../demo/${file}`, import.meta.url), "utf8");
const bare = ({ profile, load, steel, material }: Design) => ({
  profile,
  load: { ...load, torque: 0, shockFactor: 0 },
  steel,
  material,
});

const SHAFT = `part: Own
profile: { kind: external spline, teeth: 16, module: 2 mm, root radius: 0.5 mm, face width: 20 mm }
load: { torque: 300 N m }
steel: { grade: 4340, hardness: 38..42 HRC }
variants:
  - name: A
  - name: B
    profile: { module: 2.5 mm }
  - name: C
    profile: { module: 2.5 mm, root radius: 0.6 mm, bore diameter: 14 mm }
  - name: D
    profile: { root form: fillet }
`;

describe("figures that the part file leaves to the teeth", () => {
  const [a, b, c, d] = readPart(SHAFT, "own.yaml").designs as [Design, Design, Design, Design];
  const told = (from: Design, to: Design) => variantChanges(from, to).changes.map(({ title }) => title);

  // it had been "root diameter bought all of it; no part in it: tooth shape"
  test("go with teeth of another size: root diameter, and a bore that nobody gives", () => {
    expect(told(a, b)).toEqual(["tooth shape and contact"]);
    expect(variantChanges(a, b).mix(new Set(["tooth"])).profile).toEqual(b.profile);
    expect(told(a, c)).toEqual(["root radius", "wall behind the root", "tooth shape and contact"]);
    expect(variantChanges(a, c).mix(new Set(["tooth"])).profile).toMatchObject({
      rootDiameter: c.profile.kind === "face tooth" ? 0 : c.profile.rootDiameter,
      rootRadius: 0.5,
    });
  });

  test("also where the size stays and their number or flanks change, unless a root diameter is told", () => {
    const of = (from: string, to: string) =>
      told(
        ...(readPart(
          SHAFT.replace("module: 2 mm", "pitch diameter: 34 mm").replace(
            /variants:[\s\S]*/,
            `variants:\n  - { name: A, profile: { ${from} } }\n  - { name: B, profile: { ${to} } }\n`,
          ),
          "own.yaml",
        ).designs as [Design, Design]),
      );
    expect(of("teeth: 16", "teeth: 20")).toEqual(["tooth shape and contact"]);
    expect(of("teeth: 16", "teeth: 16, pressure angle: 37.5 deg")).toEqual(["tooth shape and contact"]);
    expect(of("root diameter: 30.5 mm", "root diameter: 30 mm")).toEqual(["root diameter"]);
    // 34 mm on 16 teeth, told in two ways
    expect(of("teeth: 16", "module: 2.125 mm")).toEqual([]);
  });

  test("a bore that only one part file gives stays with the teeth in the other", () => {
    const [none, given] = readPart(
      SHAFT.replace(
        "- name: C",
        "- name: E\n    profile: { module: 2.5 mm, bore diameter: 22 mm }\n  - name: C",
      ),
      "own.yaml",
    ).designs.filter(({ variant }) => "AE".includes(variant)) as [Design, Design];
    const found = variantChanges(none, given);
    expect(found.changes.map(({ id }) => id)).toEqual(["rim", "tooth"]);
    expect(found.mix(new Set(["tooth"])).profile).toEqual(b.profile);
    expect(found.mix(new Set(["rim", "tooth"])).profile).toEqual(given.profile);
    expect(found.mix(new Set(["rim"])).profile).toEqual({ ...none.profile, backDiameter: 22 });
    const back = variantChanges(given, none);
    expect(back.mix(new Set(["rim"])).profile).toEqual(b.profile);
    expect(back.mix(new Set(["tooth"])).profile).toEqual({ ...none.profile, backDiameter: 22 });
    expect(back.mix(new Set(["rim", "tooth"])).profile).toEqual(none.profile);
  });

  test("a root diameter told in one alone goes with other teeth, and a contact that nobody gives with a root diameter", () => {
    const of = (text: string, from: string, to: string) =>
      readPart(
        text.replace(/variants:[\s\S]*/, `variants:\n  - { name: A, ${from} }\n  - { name: B, ${to} }\n`),
        "own.yaml",
      ).designs as [Design, Design];
    expect(told(...of(SHAFT, "profile: { root diameter: 29 mm }", "profile: { module: 1.9 mm }"))).toEqual([
      "tooth shape and contact",
    ]);
    const [plain, deep] = of(
      SHAFT.replace("root radius", "root form: fillet, root radius"),
      "note: a",
      "profile: { root diameter: 28.2 mm }",
    );
    expect(told(plain, deep)).toEqual(["root diameter"]);
    expect(variantChanges(plain, deep).mix(new Set(["root radius"])).profile).toMatchObject({
      contact: deep.profile.contact,
    });
    // the ring slides on the teeth that change
    const sliding = `${SHAFT.replace("variants:", "over-run: { ramp angle: 25 deg, mean radius: 26 mm, spring force: 500 N, spline diameter: 30 mm }\nvariants:")}`;
    expect(told(...of(sliding, "note: a", "profile: { pressure angle: 45 deg }"))).toEqual([
      "tooth shape and contact",
    ]);
  });

  const FACE = `part: Own
profile: { kind: face tooth, teeth: 11, inside diameter: 46 mm, outside diameter: 64 mm, height: 4.5 mm, ramp angle: 8 deg, root radius: 0.3 mm, ring: kept flat }
load: { torque: 400 N m }
steel: { grade: 4340, hardness: 38..42 HRC }
variants:
  - name: A
  - name: ramp
    profile: { ramp angle: 40 deg }
  - name: teeth
    profile: { teeth: 12, height: 4 mm }
  - name: B
    profile: { teeth: 12, height: 4 mm, ramp angle: 40 deg }
`;

  // a land made for one ramp had been put on a tooth with another: the teeth were told a loss and are a gain
  test("a tip land and a base that nobody gives follow pitch, ramp and height", () => {
    const [a, ramp, teeth, b] = readPart(FACE, "face.yaml").designs as [Design, Design, Design, Design];
    const found = variantChanges(a, b);
    expect(found.changes.map(({ id }) => id)).toEqual(["ramp angle", "tooth"]);
    expect(found.mix(new Set(["ramp angle"])).profile).toEqual(ramp.profile);
    expect(found.mix(new Set(["tooth"])).profile).toEqual(teeth.profile);
    expect(found.mix(new Set(["ramp angle", "tooth"])).profile).toEqual(b.profile);
  });

  test("and a bore with the root alone", () => {
    expect(told(a, d)).toEqual(["root diameter"]);
    expect(variantChanges(a, d).mix(new Set(["root radius"])).profile).toEqual(d.profile);
  });
});

describe("variantChanges", () => {
  const hard = { grade: "4340", hardnessLow: 54, hardnessHigh: 56, hardnessText: "54..56 HRC" };
  const tough = { grade: "4340", hardnessLow: 38, hardnessHigh: 42, hardnessText: "38..42 HRC" };
  const before = design(spline({ rootRadius: 0.1 }), { steel: hard });
  const after = design(spline({ rootRadius: 0.8, rootDiameter: 37.6, faceWidth: 21 }), {
    steel: tough,
    load: { ...before.load, torque: 1, sharing: { mode: "share", fraction: 0.75 } },
  });

  test("names what two variants differ in, the root with its diameter, the torque left out", () => {
    const found = variantChanges(before, after);
    expect(found.changes.map((one) => one.id)).toEqual([
      "root radius",
      "face width",
      "teeth sharing",
      "hardness",
    ]);
    expect(found.changes.map((one) => found.needsSolve(one.id))).toEqual([true, true, true, false]);
  });

  test("no change made is the first variant, all made the second", () => {
    const found = variantChanges(before, after);
    expect(found.mix(new Set())).toBe(before);
    expect(bare(found.mix(all(found)))).toEqual(bare(after));
    expect(found.mix(new Set(["hardness"]))).toMatchObject({ steel: tough, profile: before.profile });
  });

  test("like variants differ in nothing, and another steel is one change with its hardness", () => {
    expect(variantChanges(before, { ...before, variant: "again" }).changes).toEqual([]);
    const other = { ...before, steel: { ...hard, grade: "4140" } };
    expect(variantChanges(before, other).changes).toEqual([
      { id: "steel and hardness", title: "steel and hardness" },
    ]);
  });

  test("how the root is made and what is asked of it are changes that need no solving; what it must stand is none", () => {
    const strength: StrengthChoice = {
      requiredTorque: 1e6,
      margin: 1,
      shocks: 1e4,
      torqueRatio: 0,
      finish: "machined",
      peened: false,
      flawDepth: 0.05,
      tolerance: 2,
      distributionFactor: 1,
    };
    const a = { ...before, strength };
    const b = {
      ...before,
      strength: {
        ...strength,
        requiredTorque: 9,
        margin: 3,
        tolerance: 4,
        peened: true,
        flawDepth: 0,
        torqueRatio: -1,
      },
    };
    const found = variantChanges(a, b);
    expect(found.changes.map(({ id }) => id)).toEqual(["peening", "flaw", "duty"]);
    expect(found.changes.some(({ id }) => found.needsSolve(id))).toBe(false);
    expect(found.mix(new Set(["flaw"])).strength).toEqual({ ...strength, flawDepth: 0 });
    expect(found.mix(all(found)).strength).toEqual({
      ...b.strength,
      requiredTorque: 1e6,
      margin: 1,
      tolerance: 2,
    });
    expect(variantChanges(a, { ...a, strength: { ...strength, margin: 2 } }).changes).toEqual([]);
  });

  test("every pair of the demo's variants is taken apart and put together again", () => {
    for (const file of ["orchard-hub.yaml", "orchard-ramp.yaml"]) {
      const { designs } = readPart(demo(file), file);
      for (const a of designs)
        for (const b of designs) {
          const found = variantChanges(a, b);
          expect(bare(found.mix(all(found)))).toEqual(bare(b));
          expect(bare(found.mix(new Set()))).toEqual(bare(a));
        }
    }
  });

  // what a split leaves out as having no part must have none: both ways the torque goes, and in over-running
  test("what bears on drive makes the second variant as far as drive goes, whatever the two differ in", () => {
    const choice = (...all: (string | null)[]) => fc.constantFrom(...all);
    const keys = {
      profile: fc.record({
        "ramp angle": choice(null, "8 deg", "31 deg"),
        "drive flank angle": choice(null, "12 deg", "0 deg"),
        "root radius": choice(null, "0.8 mm", "full"),
        "drive root radius": choice(null, "0.6 mm"),
        "base thickness": choice(null, "6 mm"),
        "face width": choice(null, "7 mm"),
        "tip chamfer": choice(null, "0.3 mm"),
        contact: choice(null, "{ from: 1 mm, to: 4 mm }"),
        "loaded flank": choice(null, "over-run"),
        ring: choice(null, "kept flat"),
      }),
      load: fc.record({ friction: choice(null, "0.1"), "teeth sharing": choice(null, "75 %") }),
      strength: fc.record({
        "torque ratio": choice(null, "-0.5", "-1"),
        finish: choice(null, "as forged"),
        peened: choice(null, "yes"),
        "flaw depth": choice(null, "0.05 mm"),
      }),
      // said of one of them, of both or of none
      "over-run": fc.constantFrom(
        {},
        { "spring force": "80 N", friction: "0.05..0.2" },
        { "spring force": "80 N", friction: "0.02..0.05" },
        { "spring force": "90 N", friction: "0.1..0.3" },
      ),
    };
    const variant = fc.record(keys);
    const lines = (name: string, given: Record<string, Record<string, string | null | undefined>>) =>
      `  - name: ${name}\n${Object.entries(given)
        .map(([section, of]) => {
          const told = Object.entries(of).filter(([, value]) => value);
          return told.length === 0
            ? ""
            : `    ${section}: { ${told.map(([key, value]) => `${key}: ${value}`).join(", ")} }\n`;
        })
        .join("")}`;
    const BASE = `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 55 mm, face width: 12 mm, height: 4.5 mm, ramp angle: 20 deg, root radius: 0.35 mm, base thickness: 10 mm }
load: { torque: 300 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: 40 HRC }
strength: { shocks: 1000 }
variants:
`;
    // friction of the other flank counts where the torque turned round loads that, as its own load case has it
    const of = ({ profile, load, steel, material }: Design) => {
      const { torque: _torque, shockFactor: _shock, otherFriction: _other, ...rest } = load;
      return { profile, load: rest, steel, material };
    };
    /** All that a root's strength in drive hangs on. */
    const driven = (design: Design) => {
      const { finish, peened, flawDepth, shocks, torqueRatio } = design.strength!;
      const back = reverseCase(design);
      return {
        ...of(design),
        asked: [finish, peened, flawDepth, shocks, torqueRatio],
        back: back && of(back),
      };
    };
    let compared = 0;
    fc.assert(
      fc.property(variant, variant, (first, second) => {
        const text = BASE + lines("a", first) + lines("b", second);
        let designs: readonly Design[];
        try {
          ({ designs } = readPart(text, "ring.yaml"));
        } catch (error) {
          if (error instanceof DesignError) return;
          throw error;
        }
        const [a, b] = designs as [Design, Design];
        compared++;
        const found = variantChanges(a, b);
        const bearing = found.changes.filter(({ id }) => found.bearsOnDrive(id)).map(({ id }) => id);
        expect(driven(found.mix(new Set(bearing)))).toEqual(driven(b));
        if (a.overRun && b.overRun)
          expect(overRunCases(found.mix(all(found))).map(of)).toEqual(overRunCases(b).map(of));
      }),
      { numRuns: 400 },
    );
    expect(compared).toBeGreaterThan(100);
  });

  describe("of a face tooth", () => {
    const text = demo("orchard-ramp.yaml").replace(/^ {2}contact: .*$/m, "");
    const { designs } = readPart(text, "orchard-ramp.yaml");
    const face = (name: string) => designs.find((one) => one.variant === name)!;
    const [v0, v9] = [face("V0"), face("V9")];

    test("what follows from ramp and fillet is no change of its own", () => {
      const titles = variantChanges(v0, v9).changes.map(({ title }) => title);
      expect(titles).toEqual(["root radius", "ramp angle", "hardness", "pins"]);
    });

    test("half way up, a tooth with another ramp is as thick as before, half the pitch", () => {
      const profile = variantChanges(v0, v9).mix(new Set(["ramp angle"])).profile as FaceToothProfile;
      const { tipLand, height, driveAngle, overrunAngle, meanDiameter, teeth } = profile;
      const middle = tipLand + (height / 2) * (Math.tan(driveAngle) + Math.tan(overrunAngle));
      expect(middle).toBeCloseTo((Math.PI * meanDiameter) / teeth / 2, 12);
      expect(overrunAngle).toBe((v9.profile as FaceToothProfile).overrunAngle);
    });

    // its drive flanks are square and rub under no torque; those that the torque turned round pushes do
    test("the friction of over-running bears on drive where the torque reverses", () => {
      const [a, b] = readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 55 mm, face width: 12 mm, height: 4.5 mm, root radius: 0.35 mm, base thickness: 10 mm }
load: { torque: 700 N m }
steel: { grade: 4340, hardness: 50 HRC }
strength: { torque ratio: -1, shocks: 100000 }
over-run: { spring force: 80 N, friction: 0.02..0.05 }
variants:
  - name: A
  - { name: B, over-run: { friction: 0.10..0.40 } }
`,
        "ring.yaml",
      ).designs as [Design, Design];
      const rubbed = variantChanges(a, b);
      // and on no stress of the torque that drives
      expect([rubbed.bearsOnDrive("friction"), rubbed.needsSolve("friction")]).toEqual([true, false]);
      expect(reverseCase(rubbed.mix(new Set(["friction"])))!.load).toEqual(reverseCase(b)!.load);
      const oneWay = ({ strength, ...design }: Design): Design => ({
        ...design,
        strength: { ...strength!, torqueRatio: 0 },
      });
      expect(variantChanges(oneWay(a), oneWay(b)).bearsOnDrive("friction")).toBe(false);
    });

    test("flank friction and contact that nobody gives follow the flank that is loaded", () => {
      const [drive, over, sticky, wide] = readPart(
        `part: Ring
profile: { kind: face tooth, teeth: 11, mean diameter: 55 mm, face width: 9 mm, height: 4.5 mm, ramp angle: 35 deg, tip land: 9 mm, root radius: 0.5 mm, base thickness: 9 mm }
load: { torque: 400 N m, teeth sharing: 50 % }
over-run: { spring force: 160 N, friction: 0.05..0.10 }
variants:
  - name: drive
  - { name: over, profile: { loaded flank: over-run } }
  - { name: sticky, profile: { loaded flank: over-run }, over-run: { friction: 0.05..0.40 } }
  - { name: wide, profile: { loaded flank: over-run, root radius: 2 mm } }
`,
        "ring.yaml",
      ).designs as [Design, Design, Design, Design];
      expect([drive, over, sticky].map(({ load }) => load.friction)).toEqual([0, 0.1, 0.4]);
      const turned = variantChanges(drive, over);
      expect(turned.changes.map(({ title }) => title)).toEqual(["which flank is loaded"]);
      expect(turned.mix(new Set(["loaded flank"])).load.friction).toBe(0.1);
      const rubbed = variantChanges(over, sticky);
      expect(rubbed.changes.map(({ title }) => title)).toEqual(["friction of ramps and spline"]);
      expect(rubbed.mix(new Set(["friction"])).load.friction).toBe(0.4);
      // there the friction of over-running is the load's own
      expect([rubbed.bearsOnDrive("friction"), rubbed.needsSolve("friction")]).toEqual([true, true]);
      const both = variantChanges(drive, wide);
      expect(both.changes.map(({ id }) => id)).toEqual(["root radius", "loaded flank"]);
      expect(both.mix(new Set(["loaded flank"])).profile).toEqual(over.profile);
      expect(both.mix(new Set(["root radius", "loaded flank"]))).toEqual({
        ...wide,
        part: drive.part,
        variant: drive.variant,
        defaults: drive.defaults,
      });
    });

    test("contact ends where the fillet of the mix does", () => {
      const { contact } = variantChanges(v0, v9).mix(new Set(["root radius"])).profile;
      // an arc of radius r between the root line and a flank leaning back by 2° leaves it at r (1 + sin 2°)
      expect(contact[0]).toBeCloseTo(1 + Math.sin((2 * Math.PI) / 180), 12);
    });

    test("a land given by the file, or another thickness, stays a change", () => {
      const profile = { ...(v9.profile as FaceToothProfile), tipLand: 6 };
      const defaults = v9.defaults.filter(({ key }) => key !== "profile.tip land");
      const titles = variantChanges(v0, { ...v9, profile, defaults }).changes.map(({ title }) => title);
      expect(titles).toContain("tooth shape and contact");
    });
  });
});
