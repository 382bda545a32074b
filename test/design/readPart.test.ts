import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  DesignError,
  LARGEST_PART_FILE,
  type Part,
  readDraft,
  readPart,
  sizeFault,
} from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { FILE, faultLines, faultsOf, partText } from "./helpers.ts";

const DEGREE = Math.PI / 180;

const readText = (text: string): Part => readPart(text, FILE);
const only = (text: string) => readText(text).designs[0]!;
const spline = (text: string) => {
  const { profile } = only(text);
  if (profile.kind === "face tooth") throw new Error("a spline was expected");
  return profile;
};
const face = (text: string) => {
  const { profile } = only(text);
  if (profile.kind !== "face tooth") throw new Error("a face tooth was expected");
  return profile;
};
const defaultOf = (text: string, key: string) => only(text).defaults.find((taken) => taken.key === key);

describe("a complete part file", () => {
  test("becomes mm, N·mm and radians", () => {
    const { load, profile, part, variant } = only(
      partText({ add: "  shock factor: 1.8\n  teeth sharing: 25 %\n" }),
    );
    expect({ part, variant }).toEqual({ part: "Sliding ring", variant: "as drawn" });
    expect(load).toEqual({
      torque: 690_000,
      shockFactor: 1.8,
      sharing: { mode: "share", fraction: 0.25 },
      friction: 0,
      reaction: "uniform shear",
    });
    expect(profile).toMatchObject({
      kind: "internal spline",
      teeth: 17,
      rootRadius: 0.4,
      faceWidth: 16,
      module: 2,
    });
  });

  test("says the same in inches: 1 in is 25.4 mm and 1 lbf is 4.4482216152605 N, by definition", () => {
    const inch = only(
      partText({ replace: ["module: 2 mm", "diametral pitch: 12.7"] })
        .replace("0.4 mm", "0.4/25.4 in".replace("0.4/25.4", String(0.4 / 25.4)))
        .replace("16 mm", `${16 / 25.4} in`)
        .replace("690 N m", `${690 / (4.4482216152605 * 0.3048)} lbf ft`),
    );
    const metric = only(partText());
    expect(inch.load.torque).toBeCloseTo(metric.load.torque, 6);
    if (inch.profile.kind === "face tooth" || metric.profile.kind === "face tooth")
      throw new Error("splines");
    expect(inch.profile.module).toBeCloseTo(2, 12);
    expect(inch.profile.rootRadius).toBeCloseTo(0.4, 12);
    expect(inch.profile.faceWidth).toBeCloseTo(16, 12);
    expect(inch.units).toBe("inch");
    expect(metric.units).toBe("metric");
  });

  test("prints both units where it mixes them, or as it asks", () => {
    expect(readText(partText({ replace: ["0.4 mm", "0.016 in"] })).units).toBe("both");
    expect(readText(partText({ add: "report: { units: both }\n" })).units).toBe("both");
  });

  test("takes bare numbers where it declares their unit", () => {
    const text = partText({
      replace: ["module: 2 mm", "module: 2"],
      add: "units: { length: mm, torque: lbf ft }\n",
    })
      .replace("690 N m", "100")
      .replace("0.4 mm", "0.4");
    expect(only(text).load.torque).toBeCloseTo(100 * 1355.8179483314, 6);
    expect(spline(text).module).toBe(2);
    expect(readText(text).units).toBe("both");
  });

  test("no bore is given as nothing, not as 0", () => {
    const shaft = partText({ replace: ["internal", "external"], add: "" });
    const given = (bore: string) =>
      faultsOf(shaft.replace("  module:", `  bore diameter: ${bore}\n  module:`))[0]!.remedy;
    expect(given("0 mm")).toContain("for a solid shaft leave it out");
    expect(given("-1 mm")).toContain("use more than 0");
  });

  test("a broken number of few teeth carrying is told, with what the whole ones alone would see", () => {
    const notices = (teeth: number, share: string) =>
      only(partText({ replace: ["teeth: 17", `teeth: ${teeth}`], add: `  teeth sharing: ${share}\n` }))
        .notices;
    expect(notices(7, "50 %")).toEqual([
      "50 % of 7 teeth is 3.5 teeth; where 3 teeth alone take the shock, a tooth carries 1.17 times what it does here (teeth sharing: 42.9 %)",
    ]);
    for (const [teeth, share] of [
      [8, "50 %"],
      [7, "one tooth"],
      [7, "42.9 %"],
      [17, "50 %"],
    ] as const)
      expect(notices(teeth, share)).toBeUndefined();
  });

  test("the worst choice of teeth is left to the solver, and has no place beside teeth that are named", () => {
    expect(only(partText({ add: "  teeth sharing: 25 %\n  which teeth: worst\n" })).load.sharing).toEqual({
      mode: "teeth",
      weights: [],
      worstOf: 0.25,
    });
    expect(only(partText({ add: "  teeth sharing: 25 %\n  which teeth: evenly\n" })).load.sharing.mode).toBe(
      "share",
    );
    const [fault] = faultsOf(partText({ add: "  loaded teeth: [1, 2]\n  which teeth: worst\n" }));
    expect(fault!.key).toBe("load.which teeth");
    expect(fault!.problem).toBe("loaded teeth names the teeth already");
  });

  test("sizes the whole-ring load by tooth, counted from 1", () => {
    const even = only(partText({ add: "  loaded teeth: [1, 2, 9]\n" })).load.sharing;
    expect(even).toMatchObject({ mode: "teeth" });
    if (even.mode !== "teeth") return;
    expect(even.weights).toHaveLength(17);
    expect([0, 1, 8].map((k) => even.weights[k])).toEqual([1 / 3, 1 / 3, 1 / 3]);
    const uneven = only(partText({ add: "  tooth loads: { 1: 50 %, 2: 30 %, 9: 20 % }\n" })).load.sharing;
    if (uneven.mode !== "teeth") throw new Error("teeth were expected");
    expect(uneven.weights[8]).toBeCloseTo(0.2, 12);
    const thirds = only(partText({ add: "  tooth loads: { 1: 33.3 %, 2: 33.3 %, 9: 33.3 % }\n" })).load
      .sharing;
    if (thirds.mode !== "teeth") throw new Error("teeth were expected");
    expect(thirds.weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12);
  });

  test("one tooth alone is the ring with that one loaded, however it is written, unless it stands evenly", () => {
    const sharing = (add: string) => only(partText({ add })).load.sharing;
    const alone = { mode: "teeth", weights: Array.from({ length: 17 }, (_, k) => (k === 0 ? 1 : 0)) };
    for (const written of [
      "  teeth sharing: one tooth\n",
      "  teeth sharing: 5.9 %\n",
      "  teeth sharing: one tooth\n  which teeth: worst\n",
      "  loaded teeth: [1]\n",
    ])
      expect(sharing(written)).toEqual(alone);
    expect(sharing("  teeth sharing: one tooth\n  which teeth: evenly\n")).toEqual({
      mode: "share",
      fraction: 1 / 17,
    });
    expect(sharing("  teeth sharing: 11.8 %\n").mode).toBe("share");
  });

  test("converts a hardness window of any scale to HRC", () => {
    const steel = (hardness: string) =>
      only(partText({ add: `steel: { grade: 4340, hardness: ${hardness} }\n` })).steel!;
    expect(steel("54..56 HRC")).toEqual({
      grade: "4340",
      hardnessLow: 54,
      hardnessHigh: 56,
      hardnessText: "54..56 HRC",
    });
    for (const text of ["38 to 42 HRC", "HRC 38-42", "372..412 HV", "353 – 390 HB", "353..390 HBW"])
      expect(steel(text)).toMatchObject({ hardnessLow: 38, hardnessHigh: 42 }); // ASTM E140 table 1 rows
    expect(steel("40 HRC")).toMatchObject({ hardnessLow: 40, hardnessHigh: 40 });
  });
});

describe("defaults", () => {
  test("come from ISO 4156 where the module is given, and are named", () => {
    // ISO 4156-1:2005: DEI = m (z + 1.5), DEE = m (z + 1) for the mating tip, s = π m / 2
    const profile = spline(partText());
    expect(profile.rootDiameter).toBeCloseTo(37, 12);
    expect(profile.contact[1]).toBeCloseTo(36, 12);
    expect(profile.toothThickness).toBeCloseTo(Math.PI, 12);
    expect(profile.contactGiven).toBe(false);
    expect(defaultOf(partText(), "profile.root diameter")).toMatchObject({
      value: "37 mm",
      source: expect.stringContaining("ISO 4156"),
    });
    expect(spline(partText({ replace: ["  root radius: 0.4 mm\n", ""] })).rootRadius).toBeCloseTo(0.4, 12); // 0.2 m
  });

  test("come from ANSI B92.1 where diametral pitch is given, which has no root radius", () => {
    // ANSI B92.1-1970 table 2, column A: Dri = (N + 1.35) / P
    const text = partText({ replace: ["module: 2 mm", "diametral pitch: 12 /in"] });
    expect(spline(text).rootDiameter).toBeCloseTo((25.4 * 18.35) / 12, 9);
    expect(defaultOf(text, "profile.root diameter")!.source).toMatch(/ANSI B92\.1/);
    expect(faultLines(text.replace("  root radius: 0.4 mm\n", ""))).toEqual([
      '2:1 profile.root radius: missing: ANSI B92.1 gives no root radius; add it under "profile", such as root radius: 0.4 mm',
    ]);
  });

  test("stand beside the design with their source, the loud ones too", () => {
    const keys = only(partText()).defaults.map(({ key }) => key);
    for (const key of [
      "load.shock factor",
      "load.teeth sharing",
      "profile.rim diameter",
      "elastic.modulus",
      "answer.accuracy",
    ])
      expect(keys).toContain(key);
    expect(defaultOf(partText(), "elastic.modulus")).toEqual({
      key: "elastic.modulus",
      value: "205 GPa",
      source: "common handbook value for steel, from memory",
    });
    for (const { source } of only(partText()).defaults) expect(source).not.toBe("");
  });

  test("a value written is no default", () => {
    const keys = only(partText({ add: "  shock factor: 1\n" })).defaults.map(({ key }) => key);
    expect(keys).not.toContain("load.shock factor");
    expect(keys).not.toContain("profile.root radius");
  });

  test("of a face tooth give it half the pitch at half its height, common practice, no source", () => {
    const text = `part: ring
profile:
  kind: face tooth
  teeth: 11
  outside diameter: 64 mm
  inside diameter: 46 mm
  height: 4.5 mm
  back-cut: 2 deg
  ramp angle: 31 deg
  root radius: 0.5 mm
load: { torque: 690 N m }
`;
    const tooth = face(text);
    expect(tooth.meanDiameter).toBe(55);
    expect(tooth.faceWidth).toBe(9);
    expect(tooth.driveAngle).toBeCloseTo(-2 * DEGREE, 12);
    expect(tooth.overrunAngle).toBeCloseTo(31 * DEGREE, 12);
    const half =
      tooth.tipLand + (tooth.height / 2) * (Math.tan(tooth.driveAngle) + Math.tan(tooth.overrunAngle));
    expect(half).toBeCloseTo((Math.PI * 55) / 22, 12);
    expect(tooth.baseThickness).toBe(9);
    // an arc touching the root line and a flank leaning by a leaves it at r (1 − sin a)
    expect(tooth.contact[0]).toBeCloseTo(0.5 * (1 + Math.sin(2 * DEGREE)), 12);
    expect(tooth.contact[1]).toBe(4.5);
  });

  const wide = (rest: string) => `part: dogs
profile: { kind: face tooth, teeth: 8, inside diameter: 40 mm, outside diameter: 80 mm, height: 4 mm, root radius: 0.5 mm, ${rest} }
load: { torque: 690 N m }
`;
  test("of face teeth wide for their diameter carry what the unrolled model leaves out", () => {
    expect(readText(wide("face width: 20 mm")).designs[0]!.notices).toEqual([
      expect.stringMatching(/pitch is 33 % less at the inside and 33 % more at the outside/),
    ]);
    expect(readText(wide("face width: 14 mm")).designs[0]!.notices).toBeUndefined();
  });

  test("of face teeth that do not fit their pitch: the remedy does fit", () => {
    // flanks of 75° either side of a land of 10 mm: the height is what is too much
    const text = wide(
      "drive flank angle: 75 deg, over-run flank angle: 75 deg, tip land: 10 mm, face width: 14 mm",
    );
    const [, height] = /use a height below ([\d.]+) mm/.exec(faultLines(text).join("\n"))!;
    const pitch = (Math.PI * 60) / 8;
    const taper = (h: number) => 10 + 2 * h * Math.tan((75 * Math.PI) / 180);
    expect(taper(Number(height))).toBeCloseTo(pitch, 1);
  });

  test("of a straight-sided spline are not guessed where two rows of ISO 14 fit: both are named", () => {
    const text = `part: shaft
profile: { kind: external spline, flank: straight, teeth: 10, root diameter: 112 mm, root radius: 0.3 mm, face width: 20 mm }
load: { torque: 100 N m }
`;
    expect(faultLines(text).join("\n")).toMatch(
      /tip diameter: missing: ISO 14:1982 has 10 × 112 × 120 and 10 × 112 × 125, and either would do/,
    );
  });

  test("of a straight-sided spline come from ISO 14 where one row fits, as 8 × 36 × 40 does", () => {
    const text = `part: shaft
profile: { kind: external spline, flank: straight, teeth: 8, tip diameter: 40 mm, root radius: 0.3 mm, face width: 20 mm }
load: { torque: 100 N m }
`;
    const shaft = spline(text);
    expect(shaft.rootDiameter).toBe(36);
    // key width 7 mm straight across at the pitch circle
    expect(shaft.pitchDiameter * Math.sin(shaft.toothThickness / shaft.pitchDiameter)).toBeCloseTo(7, 12);
  });
});

describe("variants", () => {
  const variants = (list: string) => readText(partText({ add: `variants:\n${list}` }));

  test("change only what they name", () => {
    const { designs } = variants("  - name: V0\n  - name: V1\n    profile: { root radius: 0.8 mm }\n");
    const [before, after] = designs as [Part["designs"][0], Part["designs"][0]];
    expect(after).toEqual({ ...before, variant: "V1", profile: { ...before.profile, rootRadius: 0.8 } });
  });

  test("take anew the defaults that follow from a changed key", () => {
    const { designs } = variants("  - name: more teeth\n    profile: { teeth: 20 }\n");
    expect(designs[0]!.profile).toMatchObject({ pitchDiameter: 40, rootDiameter: 43 }); // m (z + 1.5)
  });

  test("replace the other ways in which the base says the same", () => {
    const { designs } = variants(
      "  - name: inch\n    profile: { diametral pitch: 12 }\n  - name: ring\n    load: { loaded teeth: [1] }\n",
    );
    expect(designs[0]!.profile).toMatchObject({ module: 25.4 / 12 });
    expect(designs[1]!.load.sharing.mode).toBe("teeth");
  });

  test("may bring keys the base has not", () => {
    const { designs } = variants(
      "  - name: V1\n    steel: { grade: 4340, hardness: 40 HRC }\n    profile: { tip chamfer: 0.2 mm }\n",
    );
    expect(designs[0]!.steel?.grade).toBe("4340");
    expect(designs[0]!.profile.tipChamfer).toBe(0.2);
  });

  test("may turn the spline into its mate, whose diameters are its own", () => {
    const { designs } = readText(
      partText({
        replace: ["  module: 2 mm", "  module: 2 mm\n  rim diameter: 56 mm\n  tip diameter: 32.4 mm"],
        add: "variants:\n  - name: stub\n    profile: { kind: external spline }\n",
      }),
    );
    // ISO 4156-1:2005: DEE = m (z + 1), DIE = m (z − 1.5)
    expect(designs[0]!.profile).toMatchObject({
      kind: "external spline",
      tipDiameter: 36,
      rootDiameter: 31,
      backDiameter: 15.5,
    });
  });

  test("keep their own note, else the file's", () => {
    const part = readText(
      `note: broke in May\n${partText({ add: "variants: [{ name: A, note: mine }, { name: B }]\n" })}`,
    );
    expect(part.designs.map(({ note }) => note)).toEqual(["mine", "broke in May"]);
  });

  test("are compared with the first, or with the one named", () => {
    const add = "variants: [{ name: A }, { name: B }]\n";
    expect(readText(partText({ add })).compareWith).toBe(0);
    expect(readText(partText({ add: `${add}report: { compare with: b }\n` })).compareWith).toBe(1);
  });

  test("are counted without those that have faults, and compared with none where that one has", () => {
    const add = "variants: [{ name: A, profile: { teeth: 2 } }, { name: B }, { name: C }]\n";
    const draft = (text: string) => readDraft(partText({ add: text }), FILE).part!;
    const named = draft(`${add}report: { compare with: c }\n`);
    expect(named.designs[named.compareWith]!.variant).toBe("C");
    expect(draft(add).compareWith).toBe(-1);
  });
});

describe("bare ranges", () => {
  const text = (units: string, depth: string) =>
    `part: t
${units}profile: { kind: internal spline, teeth: 17, module: 2 mm, rim diameter: 56 mm, face width: 16 mm, root radius: 0.4 mm }
load: { torque: 690 N m }
steel: { grade: 8620 case, hardness: 58..62 HRC, core hardness: 30..36 HRC, case depth: ${depth} }
`;
  const depths = (units: string, depth: string) =>
    readPart(text(units, depth), "t.yaml").designs[0]!.steel!.core!.caseDepth;

  test("of a case's depth take the unit that the file declares, as single numbers do", () => {
    expect(depths("units: { length: mm }\n", "0.4..0.60")).toEqual([0.4, 0.6]);
    expect(depths("units: { length: in }\n", "0.02..0.03")).toEqual([0.508, 0.762]);
    expect(depths("units: { length: mm }\n", "0.5")).toEqual([0.5, 0.5]);
    expect(depths("", "0.4..0.6 mm")).toEqual([0.4, 0.6]);
    expect(faultLines(text("", "0.4..0.60"))).toEqual([expect.stringContaining('"0.4..0.60" has no unit')]);
  });
});

describe("a tip chamfer that is too large", () => {
  const ring = (chamfer: string) =>
    `part: t
profile: { kind: internal spline, teeth: 17, module: 2 mm, rim diameter: 56 mm, face width: 16 mm, root radius: 0.4 mm, tip chamfer: ${chamfer} }
load: { torque: 690 N m }
`;
  test.each(["5 mm", "1.9 mm", "1.1 mm"])("is refused with one that does: %s", (chamfer) => {
    const { designs } = readPart(ring(chamfer), "t.yaml");
    const refused = (design: (typeof designs)[number]) => {
      try {
        buildProfile(design.profile);
        return null;
      } catch (error) {
        return error instanceof DesignError ? error.faults[0]! : null;
      }
    };
    const fault = refused(designs[0]!)!;
    expect(fault.key).toBe("profile.tip chamfer");
    const [, told] = /use ([\d.]+ mm) or less/.exec(fault.remedy)!;
    expect(refused(readPart(ring(told!), "t.yaml").designs[0]!)).toBeNull();
  });
});

describe("a sweep of equal values", () => {
  test.each([
    [
      "[0.1 mm, 0.2 mm, 0.10 mm]",
      "sweep.profile.root radius: 0.10 mm is the same as 0.1 mm; list each value once",
    ],
    ["[100 um, 0.1 mm]", "sweep.profile.root radius: 0.1 mm is the same as 100 um; list each value once"],
  ])("is refused: %s", (list, said) => {
    expect(faultLines(partText({ add: `sweep:\n  "profile.root radius": ${list}\n` }))).toEqual([
      expect.stringContaining(said),
    ]);
  });
});

describe("a sweep", () => {
  const text = partText({
    add: 'variants:\n  - name: V1\nsweep:\n  "profile.root radius": [0.2 mm, 0, full]\n  "load.torque": [500 N m, 690 N m]\n',
  });

  test("is a grid over the base after the variants, the last key running fastest", () => {
    expect(readText(text).designs.map(({ variant }) => variant)).toEqual([
      "V1",
      "root radius 0.2 mm, torque 500 N m",
      "root radius 0.2 mm, torque 690 N m",
      "root radius 0, torque 500 N m",
      "root radius 0, torque 690 N m",
      "root radius full, torque 500 N m",
      "root radius full, torque 690 N m",
    ]);
    const { designs } = readText(text);
    expect(designs[3]!.load.torque).toBe(500_000);
    expect(designs[3]!.profile).toMatchObject({ rootRadius: 0 });
    expect(designs[6]!.profile).toMatchObject({ rootRadius: "full" });
  });

  test("places each value where it stands in its list", () => {
    expect(readText(text).place(3, "profile.root radius")).toEqual({ file: FILE, line: 13, column: 35 });
  });

  test("of more than 10 000 designs is refused by its count, before it is expanded", () => {
    const list = (n: number, unit: string) =>
      Array.from({ length: n }, (_, k) => `${k + 1} ${unit}`).join(", ");
    const lines = faultLines(
      partText({
        add: `sweep:\n  "load.torque": [${list(200, "N m")}]\n  "profile.face width": [${list(100, "mm")}]\n`,
      }),
    );
    expect(lines).toEqual([
      "11:3 sweep: expands into 20,000 designs (200 × 100); keep a file within 10,000 designs: sweep fewer keys, or fewer values of each",
    ]);
  });
});

describe("place", () => {
  const part = readText(
    partText({ add: "variants:\n  - name: V0\n  - name: V1\n    profile:\n      root radius: 0.8 mm\n" }),
  );
  test("is the variant's own line where the variant writes the key, else the base's", () => {
    expect(part.place(1, "profile.root radius")).toEqual({ file: FILE, line: 14, column: 20 });
    expect(part.place(0, "profile.root radius")).toEqual({ file: FILE, line: 6, column: 16 });
  });
  test("of a key nobody wrote is its section", () => {
    expect(part.place(0, "profile.tip diameter")).toEqual({ file: FILE, line: 2, column: 1 });
    expect(part.place(1, "profile.tip diameter")).toEqual({ file: FILE, line: 13, column: 5 });
  });
  test("of a design that is not there is undefined", () => {
    expect(part.place(2, "profile.teeth")).toBeUndefined();
  });
});

describe("bad input", () => {
  test.each<readonly [string, string, readonly string[]]>([
    [
      "prose",
      "hello world",
      [
        '1:1 the file does not read as a part file: it holds no keys; begin with a line such as "part: Orchard cart hub"',
      ],
    ],
    [
      "a list",
      "- a\n- b\n",
      [
        '1:1 the file does not read as a part file: it holds no keys; begin with a line such as "part: Orchard cart hub"',
      ],
    ],
    ["an empty file", "", ['1:1 the file is empty; write a part file, or start from "notchwright start"']],
    [
      "only comments",
      "# soon\n",
      ['1:1 the file is empty; write a part file, or start from "notchwright start"'],
    ],
    [
      "an open bracket",
      "part: [a\nprofile: 1\n",
      ["2:1 a bracket or brace before this line is not closed; close it, or indent what belongs inside it"],
    ],
    [
      "an open quote",
      'part: "abc\n',
      [
        "1:7 a quote is opened here and not closed; close it with another of its kind, at the end of the text",
      ],
    ],
    ["a tab", "part: a\nprofile:\n\tkind: face tooth\n", ["3:1 a tab is used to indent; indent with spaces"]],
    [
      "ragged indentation",
      "part: a\nprofile:\n  kind: x\n teeth: 3\n",
      ["4:1 the indentation does not line up; start keys of one section in one column"],
    ],
    [
      "two colons",
      "part: a: b\n",
      [
        '1:7 a second colon, or a key where its value was expected; write one "key: value" a line, and put a text that holds ": " in quotes',
      ],
    ],
    [
      "two documents",
      "part: a\n---\npart: b\n",
      ['2:1 the file holds several documents; keep one, without lines of "---" between'],
    ],
    [
      "a key twice",
      partText({ add: "part: again\n" }),
      ['10:1 the key "part" is given twice; keep one of the two'],
    ],
    [
      "a tag",
      "part: !!js/function foo\n",
      ["1:7 tags (!name) mean nothing in a part file; leave the tag out"],
    ],
    [
      "an alias without anchor",
      "part: *nope\n",
      ["1:7 the alias *nope does not lead to an anchor (&nope) before it; write the values out"],
    ],
    [
      "a list as key",
      partText({ add: "? [a, b]\n: 1\n" }),
      ["10:3 a key is no plain word; write keys as plain words, as in docs/part-file.md"],
    ],
    [
      "a key that reaches into objects",
      partText({ add: "__proto__: 1\n" }),
      ['10:1 unknown key "__proto__"; write keys as plain words, as in docs/part-file.md'],
    ],
    [
      "bytes that are no text",
      "\u0000\u0001\u0002PNG\uFFFD",
      [
        '1:1 the file does not read as a part file: it holds no keys; begin with a line such as "part: Orchard cart hub"',
      ],
    ],
  ])("%s", (_, text, expected) => {
    expect(faultLines(text)).toEqual(expected);
  });

  test("an alias inside its own anchor is refused", () => {
    const expected = ["1:1 an alias (*name) stands inside its own anchor (&name); write the values out"];
    expect(faultLines(partText({ add: 'sweep:\n  "profile.contact": &x [*x]\n' }))).toEqual(expected);
    expect(faultLines("part: a\nprofile: &p\n  contact: *p\n")).toEqual(expected);
  });

  test("more variants than a file may hold are counted, not expanded", () => {
    const list = Array.from({ length: 10_001 }, (_, k) => `  - name: V${k}\n`).join("");
    expect(faultLines(partText({ add: `variants:\n${list}` }))).toEqual([
      "11:3 variants: lists 10,001 variants; keep a file within 10,000 designs",
    ]);
  });

  test("words every object knows are unknown keys like any other", () => {
    const keys = faultsOf(partText({ add: "  toString: 1\nconstructor: 3\n" })).map(({ key }) => key);
    expect(keys).toEqual(["load.toString", "constructor"]);
  });

  test("a face tooth that comes to a point says which height would do", () => {
    const text = `part: a
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 20 mm, ramp angle: 45 deg, root radius: 1 mm }
load: { torque: 1 N m }
`;
    // flanks at 0 and 45 deg meet within a pitch of π 55 / 11 = 15.7 mm at that height
    expect(faultLines(text)).toEqual([
      "2:1 profile.tip land: nothing is left of it: the flanks meet before the tip; use a height below 15.7 mm, or flanks nearer the axis",
    ]);
    expect(faultsOf(text.replace("height: 20 mm", "height: 15.6 mm"))).toEqual([]);
  });

  test("byte order mark, Windows line ends and JSON are read like any YAML", () => {
    const plain = readText(partText()).designs;
    expect(readText(`\uFEFF${partText()}`).designs).toEqual(plain);
    expect(readText(partText().replace(/\n/g, "\r\n")).designs).toEqual(plain);
  });

  test("an alias bomb is refused, not expanded", () => {
    const level = (name: string, of: string) => `${name}: &${name} [${Array(10).fill(of).join(", ")}]\n`;
    const text = `${level("a", "x")}${level("b", "*a")}${level("c", "*b")}${level("d", "*c")}${level("e", "*d")}part: x\n`;
    expect(faultLines(text)).toEqual([
      "1:1 aliases (*name) multiply into more than 100 copies; write the values out",
    ]);
  });

  test.each([
    ["open", `part: ${"[".repeat(20_000)}`],
    ["closed", `part: ${"[".repeat(20_000)}${"]".repeat(20_000)}`],
  ])("nesting without end, %s, is one fault", (_, text) => {
    expect(faultsOf(text).map(({ problem }) => problem)).toEqual([
      "the file is nested too deep to be a part file",
    ]);
  });

  test("a file over the limit is refused by its size alone", () => {
    expect(sizeFault(LARGEST_PART_FILE, FILE)).toBeNull();
    expect(faultLines("x".repeat(LARGEST_PART_FILE + 1))).toEqual([
      "1:1 the file holds 1,000,001 bytes, more than a part file can; give a part file of at most 1,000,000 bytes",
    ]);
    expect(sizeFault(50e6, FILE)?.problem).toContain("50,000,000 bytes");
  });

  const width = (text: string) => faultLines(partText({ replace: ["16 mm", text] }));
  test.each([
    [
      "16 N",
      '7:15 profile.face width: "16 N" is a force, a length was expected; write a length such as 16 mm (mm, cm, m, um, in, thou, ft)',
    ],
    [
      "16",
      '7:15 profile.face width: 16 has no unit; write it with its unit, such as 16 mm; or declare "length" under "units"',
    ],
    ["-16 mm", "7:15 profile.face width: -16 mm is out of range; use more than 0 and up to 2000 mm"],
    ["0", "7:15 profile.face width: 0 is out of range; use more than 0 and up to 2000 mm"],
    ["1e9 mm", "7:15 profile.face width: 1e9 mm is out of range; use more than 0 and up to 2000 mm"],
    [
      "1e-6 mm",
      "7:15 profile.face width: 1e-6 mm is shorter than anything that is cut; write 0.00001 mm or more",
    ],
    [".nan", "7:15 profile.face width: is no finite number; write a quantity such as 16 mm"],
    [".inf", "7:15 profile.face width: is no finite number; write a quantity such as 16 mm"],
    ["1e999 mm", '7:15 profile.face width: "1e999 mm" is no finite number; write a quantity such as 16 mm'],
    [
      "wide",
      '7:15 profile.face width: "wide" does not begin with a number; write a length such as 16 mm (mm, cm, m, um, in, thou, ft)',
    ],
    [
      "16 furlongs",
      '7:15 profile.face width: "furlongs" is no unit known here; write a length such as 16 mm (mm, cm, m, um, in, thou, ft)',
    ],
    ["1,5 mm", '7:15 profile.face width: "1,5 mm" has a comma; write decimals with a point: "1.5 mm"'],
    [
      "15..16 mm",
      '7:15 profile.face width: "15..16 mm" is a range; write a length such as 16 mm (mm, cm, m, um, in, thou, ft): one value here; list several under "sweep"',
    ],
    ["[16 mm]", "7:15 profile.face width: is a list; write a quantity such as 16 mm"],
    ["true", "7:15 profile.face width: true is no value for this key; write a length such as 16 mm"],
    ["", "7:15 profile.face width: is empty; write a length such as 16 mm"],
  ])("face width: %s", (written, expected) => {
    expect(width(written)).toEqual([expected]);
  });

  test.each(["0", "1", "2", "-17", "100000", "401"])("%s teeth are out of range", (teeth) => {
    expect(faultLines(partText({ replace: ["teeth: 17", `teeth: ${teeth}`] }))).toEqual([
      `4:10 profile.teeth: ${teeth} is out of range; use 3 to 400`,
    ]);
  });

  test("a torque given as a pound that is a mass says which pound is a force", () => {
    const [line] = faultLines(partText({ replace: ["690 N m", "500 ft-lb"] }));
    expect(line).toContain('write "500 ft-lbf": the pound of force is "lbf"');
    for (const [torque, write] of [
      ["400 ft lb", "400 ft lbf"],
      ["400 lb-ft", "400 lbf-ft"],
      ["400 ft.lbs", "400 ft lbf"],
      ["4800 in-lbs", "4800 in-lbf"],
    ] as const)
      expect(faultLines(partText({ replace: ["690 N m", torque] }))[0]).toContain(`write "${write}"`);
    // and a length in pounds is none either way
    expect(faultLines(partText({ replace: ["16 mm", "16 lb"] }))[0]).toContain("write a length such as");
  });

  test.each([
    ["rot radius", "root radius"],
    ["root_radius", "root radius"],
    ["rootRadius", "root radius"],
    ["Root radius", "root radius"],
  ])("the unknown key %s suggests %s and is not called missing as well", (written, meant) => {
    expect(faultLines(partText({ replace: ["root radius", written] }))).toEqual([
      `6:3 profile.${written}: unknown key "${written}"; did you mean "${meant}"?`,
    ]);
  });

  test("a misspelt required key is told once", () => {
    expect(faultLines(partText({ replace: ["face width", "face widht"] }))).toEqual([
      '7:3 profile.face widht: unknown key "face widht"; did you mean "face width"?',
    ]);
    expect(faultLines(partText({ replace: ["load:", "loads:"] }))).toEqual([
      '8:1 loads: unknown key "loads"; did you mean "load"?',
    ]);
  });

  test("a key under the wrong section is told where it belongs; a strange one, what there is", () => {
    expect(faultLines(partText({ add: "  teeth: 17\nxyzzy: 1\n" }))).toEqual([
      '10:3 load.teeth: unknown key "teeth"; it belongs under "profile", or did you mean "teeth sharing" or "which teeth" or "loaded teeth"?',
      '11:1 xyzzy: unknown key "xyzzy"; use one of: part, note, steels, units, profile, load, steel, strength, over-run, pins, elastic, answer, report, variants, sweep',
    ]);
    const [radius] = faultLines(partText({ replace: ["  teeth: 17", "  teeth: 17\n  radius: 0.4 mm"] }));
    expect(radius).toContain('it belongs under "pins", or did you mean "root radius"');
    // the units too have a key of that name
    expect(faultLines(partText({ add: "torque: 5 N m\n" }))).toEqual([
      '10:1 torque: unknown key "torque"; it belongs under "load"',
    ]);
  });

  test.each([
    ["bore: 10 mm", 'did you mean "bore diameter"?'],
    ["dp: 12 /in", 'did you mean "diametral pitch"?'],
    // a ring with internal teeth: its outside is the rim, its inside the tips
    ["od: 30 mm", 'did you mean "rim diameter"?'],
    ["id: 30 mm", 'did you mean "tip diameter"?'],
    ["minor diameter: 30 mm", 'did you mean "tip diameter"?'],
    ["width: 30 mm", 'did you mean "tooth width" or "face width" or "radial width"?'],
  ])("a shop's short word %s finds the key it stands for", (line, remedy) => {
    const [first] = faultLines(partText({ replace: ["  teeth: 17", `  teeth: 17\n  ${line}`] }));
    expect(first).toContain(remedy);
  });

  test("missing keys are told at their section", () => {
    expect(faultLines(partText({ replace: ["  torque: 690 N m", "  shock factor: 2"] }))).toEqual([
      '8:1 load.torque: missing; add it under "load", such as torque: 690 N m',
    ]);
    expect(faultLines("part: x\n")).toEqual([
      '1:1 profile: missing; add a section "profile:"',
      '1:1 load: missing; add a section "load:"',
    ]);
  });

  test("several faults of different kinds come at once, top to bottom", () => {
    const text = partText({
      replace: [
        "  face width: 16 mm\nload:\n  torque: 690 N m",
        "  face width: 16 N\n  rot form: flat\nload:\n  shock facter: 2\n  friction: 7",
      ],
      add: "variants:\n  - name: a/b\n    profile: { teeth: 1 }\n",
    });
    expect(faultsOf(text).map(({ key, place }) => [place?.line, place?.column, key])).toEqual([
      [7, 15, "profile.face width"],
      [8, 3, "profile.rot form"],
      [9, 1, "load.torque"],
      [10, 3, "load.shock facter"],
      [11, 13, "load.friction"],
      [13, 11, "name"],
      [14, 23, "profile.teeth"],
    ]);
  });

  test("a fault of the base shows once however many variants share it", () => {
    const variants = Array.from({ length: 30 }, (_, k) => `  - name: V${k}\n`).join("");
    expect(
      faultLines(
        partText({ replace: ["  torque: 690 N m", "  shock factor: 2"], add: `variants:\n${variants}` }),
      ),
    ).toHaveLength(1);
  });

  test("a hundred faults are cut at fifty, the rest counted", () => {
    const keys = Array.from({ length: 120 }, (_, k) => `xyzzy ${k}: 1\n`).join("");
    const variants = Array.from({ length: 90 }, () => "  - name: a/b\n").join("");
    const faults = faultsOf(partText({ add: `variants:\n${variants}${keys}` }));
    expect(faults).toHaveLength(51);
    expect(faults[50]!.problem).toMatch(/^and \d+ more$/);
  });

  test.each([
    ["a/b", 'the name "a/b" holds a path separator'],
    ["a\\b", 'the name "a\\\\b" holds a path separator'],
    ["..", 'the name ".." is only dots'],
    ["<script>", 'the name "<script>" holds < or >'],
    ['"a\\nb"', "the name runs over several lines"],
    ['"a\\u0007b"', "the name holds characters that do not print"],
    ['"a\\u202eb"', "the name holds characters that do not print"],
    ["x".repeat(300), "is 300 characters long"],
    ['"   "', "is blank"],
    ["12", "12 reads as a number, a text was expected"],
  ])("a variant called %s gets one message", (name, problem) => {
    const faults = faultsOf(partText({ add: `variants:\n  - name: ${name}\n` }));
    expect(faults.map((fault) => [fault.key, fault.problem, fault.place])).toEqual([
      ["name", problem, { file: FILE, line: 11, column: 11 }],
    ]);
  });

  test("the part's own name is one line of text", () => {
    const problem = (name: string) =>
      faultsOf(partText({ replace: ["Sliding ring", name] })).map((fault) => fault.problem);
    expect(problem('"a\\nb"')).toEqual(["holds a line break or characters that do not print"]);
    expect(problem("417")).toEqual(["417 reads as a number, a text was expected"]);
    expect(problem('"0417 <R & D>"')).toEqual([]);
  });

  test("two variants of one name, letter case and spaces aside, are refused at the second", () => {
    expect(faultLines(partText({ add: "variants:\n  - name: V1 fillet\n  - name: v1  FILLET\n" }))).toEqual([
      '12:11 name: "v1  FILLET" is the same name as "V1 fillet"; give each variant a name of its own',
    ]);
  });

  test("geometry that contradicts itself says which number would do", () => {
    expect(
      faultLines(
        partText({
          replace: ["  module: 2 mm", "  module: 2 mm\n  rim diameter: 30 mm\n  tip diameter: 38 mm"],
        }),
      ),
    ).toEqual([
      "6:17 profile.rim diameter: 30.0 mm leaves no metal behind the root diameter, 37.0 mm; make it larger than the root diameter",
      "7:17 profile.tip diameter: 38.0 mm is not less than the root diameter, 37.0 mm; teeth of an internal spline point inward: make the tip diameter the smaller one",
    ]);
    const rim = (diameter: string) =>
      faultLines(partText({ replace: ["  module: 2 mm", `  module: 2 mm\n  rim diameter: ${diameter}`] }));
    expect(rim("30 mm")).toEqual([
      "6:17 profile.rim diameter: 30.0 mm leaves no metal behind the root diameter, 37.0 mm; use a rim of 37.473 mm or more",
    ]);
    expect(rim("37.473 mm")).toEqual([]);
  });

  test("a diameter that crosses a default one is told where it was written", () => {
    expect(
      faultLines(partText({ replace: ["  module: 2 mm", "  module: 2 mm\n  root diameter: 30 mm"] })),
    ).toEqual([
      "6:18 profile.root diameter: 30.0 mm is not more than the tip diameter, 32.3 mm; teeth of an internal spline point inward: make the root diameter the larger one",
    ]);
  });

  test("a tip chamfer of a millionth of a micrometre", () => {
    expect(
      faultLines(partText({ replace: ["  module: 2 mm", "  module: 2 mm\n  tip chamfer: 1e-9 mm"] })),
    ).toEqual([
      "6:16 profile.tip chamfer: 1e-9 mm is shorter than anything that is cut; write 0 for none, or 0.00001 mm or more",
    ]);
  });

  test("an unknown key that is a number is not taken for a comma outside a section", () => {
    expect(faultLines(partText({ add: "1: 2\n" }))[0]).toContain('unknown key "1"; use one of: part');
  });

  test("sizes that disagree, and two ways of saying one thing", () => {
    const text = partText({
      replace: [
        "module: 2 mm",
        "module: 2 mm\n  pitch diameter: 35 mm\n  tooth width: 3 mm\n  tooth thickness: 3 mm",
      ],
    });
    expect(faultsOf(text).map(({ key }) => key)).toEqual(["profile.pitch diameter", "profile.tooth width"]);
    expect(
      faultsOf(partText({ replace: ["module: 2 mm", "module: 2 mm\n  pitch diameter: 34 mm"] })),
    ).toEqual([]);
  });

  test("keys of another kind of profile", () => {
    expect(faultLines(partText({ replace: ["module: 2 mm", "module: 2 mm\n  ramp angle: 8 deg"] }))).toEqual([
      "6:15 profile.ramp angle: is for face tooth, not for internal spline; leave it out",
    ]);
  });

  test("a quote that is not closed, a tab and a missing dash are blamed where they are", () => {
    expect(faultLines('part: "Hub\nload: { torque: 3 N m }\n')).toEqual([
      "1:7 a quote is opened here and not closed; close it with another of its kind, at the end of the text",
    ]);
    expect(faultLines("part: Hub\nprofile:\n\tteeth: 3\n  module: 2 mm\n")).toEqual([
      "3:1 a tab is used to indent; indent with spaces",
    ]);
    expect(
      faultLines(partText({ add: "variants:\n  - name: as cut\n    name: filleted\n" })).at(-1),
    ).toContain('the key "name" is given twice; begin the next entry with a dash, "- name: …"');
    expect(faultLines(partText({ replace: ["module: 2 mm", "module: 3/16"] }))[0]).toContain(
      '"3/16" has no unit',
    );
  });

  test("a ring that dishes though its back is held, or is none", () => {
    const face = (load: string) => `part: Ring
profile: { kind: face tooth, teeth: 12, mean diameter: 60 mm, face width: 9 mm, height: 3 mm, root radius: 0.4 mm, ring: free to dish }
load: { torque: 100 N m${load} }
`;
    expect(faultLines(face(""))).toEqual([]);
    // what nobody says is kept flat may dish, but for a back that is held
    const dishes = (ring: string, load = "") => {
      const { profile } = readPart(face(load).replace(", ring: free to dish", ring), FILE).designs[0]!;
      return profile.kind === "face tooth" && profile.keptFlat !== true;
    };
    expect(dishes("")).toBe(true);
    expect(dishes(", ring: kept flat")).toBe(false);
    expect(dishes("", ", reaction: held")).toBe(false);
    expect(faultLines(face(", reaction: held"))).toEqual([
      '2:122 profile.ring: the back is held (load.reaction), and a ring whose back is held does not dish; leave it out, or use "reaction: uniform shear"',
    ]);
    expect(faultLines(partText({ replace: ["module: 2 mm", "module: 2 mm\n  ring: free to dish"] }))).toEqual(
      ["6:9 profile.ring: is for face tooth, not for internal spline; leave it out"],
    );
  });

  test("loads that do not add up", () => {
    expect(faultLines(partText({ add: "  tooth loads: { 1: 50 %, 2: 30 % }\n" }))).toEqual([
      "10:16 load.tooth loads: the shares add up to 80 %; make them add up to 100 %",
    ]);
    expect(faultLines(partText({ add: "  loaded teeth: [1, 99]\n" }))).toEqual([
      "10:17 load.loaded teeth: there is no tooth 99 of 17; name teeth from 1 to 17",
    ]);
    expect(faultsOf(partText({ add: "  teeth sharing: 0.5\n" }))[0]!.problem).toBe(
      "0.5 could be a fraction or a percentage",
    );
    expect(faultsOf(partText({ add: "  teeth sharing: 2 %\n" }))[0]!.problem).toBe(
      "2 % of 17 teeth is less than one tooth",
    );
  });

  test.each([
    ["grade: 4304, hardness: 40 HRC", "steel.grade", /did you mean 4340/],
    ["grade: 4340, hardness: 62..64 HRC", "steel.hardness", /outside the data for 4340/],
    ["grade: 4150, hardness: 40 HRC", "steel.grade", /^no strength data for "4150"$/],
    ["grade: D2, hardness: 58 HRC", "steel.grade", /^no strength data for "D2"$/],
    ["grade: 17-4PH, hardness: 40 HRC", "steel.grade", /^no strength data for "17-4PH"$/],
    ["grade: 4340, hardness: 56..54 HRC", "steel.hardness", /runs downward/],
    ["grade: 4340, hardness: 54", "steel.hardness", /no hardness scale/],
    ["grade: 4340, hardness: 900 HRC", "steel.hardness", /outside the hardness tables/],
    ["grade: 4340", "steel.hardness", /missing/],
    ["grade: 8620 case, hardness: 58..61 HRC", "steel.core hardness", /missing/],
  ])("steel: { %s }", (steel, key, problem) => {
    const faults = faultsOf(partText({ add: `steel: { ${steel} }\n` }));
    expect(faults.map((fault) => fault.key)).toEqual([key]);
    expect(faults[0]!.problem).toMatch(problem);
    expect(faults[0]!.place?.line).toBe(10);
  });

  test("no cut, doubled or scrambled part file ends in anything but faults with places", () => {
    const whole = readFileSync(new URL("../../demo/orchard-hub.yaml", import.meta.url), "utf8");
    const piece = fc.tuple(fc.nat(whole.length), fc.nat(whole.length));
    const odd = fc.constantFrom(
      ":",
      "-",
      "\t",
      "{",
      "}",
      "[",
      "&a ",
      "*a",
      "!x",
      "'",
      '"',
      "|",
      ">",
      "#",
      "\u0000",
      "é",
      " ",
      "\n",
      "? ",
      "0",
      ".inf",
      "null",
    );
    fc.assert(
      fc.property(piece, piece, odd, ([a, b], [c, d], character) => {
        const text =
          whole.slice(Math.min(a, b), Math.max(a, b)) +
          character +
          whole.slice(Math.min(c, d), Math.max(c, d));
        for (const fault of faultsOf(text)) {
          expect(fault.remedy).not.toBe("");
          expect(fault.problem).not.toMatch(/undefined|NaN|\[object|at .*\.ts/);
          if (!/^and \d+ more$/.test(fault.problem)) expect(fault.place).toBeDefined();
        }
      }),
      { seed: 417, numRuns: 150 },
    );
  });
});
