import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { FILE, faultLines, faultsOf, partText } from "./helpers.ts";

const OVER_RUN = "over-run: { ramp angle: 31 deg, mean radius: 27.5 mm, spring force: 160 N }\n";
const PINS = "pins: { count: 3, diameter: 3 mm, radius: 21 mm, shear strength: 700 MPa }\n";
const only = (add: string) => readPart(partText({ add }), FILE).designs[0]!;

const FACE = `part: Ramp teeth
profile:
  kind: face tooth
  teeth: 11
  outside diameter: 64 mm
  inside diameter: 46 mm
  height: 4.5 mm
  ramp angle: 31 deg
  root radius: 0.5 mm
load: { torque: 690 N m, shock factor: 1.8 }
over-run: { spring force: 160 N }
`;
const face = (add = "") => readPart(FACE + add, FILE).designs[0]!;

describe("the over-run section", () => {
  // along the axis N sin β = F cos β: what stands between the teeth and parting, and no more than there is
  test.each([
    ["drive flank angle: 11 deg", "0.2..0.3", Math.tan((11 * Math.PI) / 180), "0 and 0.1944"],
    ["drive flank angle: 11 deg", "0.05..0.15", 0.15, "0 and 0.15"],
    ["back-cut: 2 deg", "0.05..0.15", 0, "0"],
    ["drive flank angle: 11 deg, loaded flank: over-run", "0.05..0.15", 0.15, "0.05 and 0.15"],
  ])("of %s, friction %s, lets the loaded flank rub with %d", (flank, band, friction, told) => {
    const text = FACE.replace("ramp angle: 31 deg", `ramp angle: 31 deg\n  ${flank.replace(", ", "\n  ")}`);
    const [design] = readPart(text.replace("160 N", `160 N, friction: ${band}`), FILE).designs;
    expect(design!.load.friction).toBe(friction);
    expect(design!.defaults.find(({ key }) => key === "load.friction")!.value).toBe(told);
  });

  test("of a spline takes its own pitch radius and pressure angle, the shock torque and the oiled band, and echoes them", () => {
    const design = only(OVER_RUN);
    expect(design.overRun).toEqual({
      rampAngle: (31 * Math.PI) / 180,
      meanRadius: 27.5,
      springForce: 160,
      friction: [0.05, 0.2],
      spline: { radius: 17, pressureAngle: Math.PI / 6 },
      torque: 690_000,
    });
    const echoed = design.defaults.filter(({ key }) => key.startsWith("over-run."));
    expect(echoed.map(({ key }) => key).sort()).toEqual([
      "over-run.friction",
      "over-run.spline pressure angle",
      "over-run.spline radius",
      "over-run.torque",
    ]);
    expect(echoed.find(({ key }) => key === "over-run.friction")!.source).toContain(
      "common practice, no source",
    );
  });

  // the least ramp that lets go is φ + atan(μ R/(r cos α)): r twice too large, and a ring that holds itself looks free
  test.each([
    [
      "spline radius: 34 mm",
      /34\.0 mm is a diameter of this part's own spline, whose pitch radius is 17\.0 mm; a radius is asked, half the diameter; give 17\.0 mm/,
    ],
    ["spline radius: 37 mm", /37\.0 mm is a diameter of this part's own spline/],
    ["mean radius: 55 mm", /55\.0 mm lies far outside the rim, whose radius is 28\.0 mm; a radius is asked/],
    ["mean radius: 13.5 mm", /13\.5 mm lies in the bore, whose radius is 16\.1 mm/],
    [
      "mean radius: 57 mm",
      /57\.0 mm lies far outside the rim.*on a flange that wide write mean diameter: 114 mm/,
    ],
    ["mean radius: 27.5 in", /699 mm \(27\.5 in\) lies far outside the rim.*; look at its unit/],
  ])("of a spline refuses %s", (line, fault) => {
    const key = line.split(":")[0]!;
    const others = "ramp angle: 31 deg, mean radius: 27.5 mm, spring force: 160 N"
      .split(", ")
      .filter((one) => !one.startsWith(key));
    const add = `over-run: { ${[...others, line].join(", ")} }\n`;
    const text = partText({ replace: ["face width", "rim diameter: 56 mm\n  face width"], add });
    expect(faultLines(text)).toEqual([expect.stringMatching(fault)]);
  });

  test("of a spline tells of a sliding spline or ramps elsewhere that may be right", () => {
    const notices = (add: string) =>
      readPart(partText({ replace: ["face width", "rim diameter: 56 mm\n  face width"], add }), FILE)
        .designs[0]!.notices;
    expect(notices(OVER_RUN)).toBeUndefined();
    expect(notices(OVER_RUN.replace("160 N", "160 N, spline radius: 20 mm"))).toEqual([
      "the ring is told to slide on another spline than this part's own, at a radius of 20.0 mm in place of 17.0 mm: if a diameter was written, " +
        "the ring is told to let go more easily than it does",
    ]);
    expect(notices(OVER_RUN.replace("27.5 mm", "30 mm"))).toEqual([
      "the ramps stand outside the rim, at a radius of 30.0 mm beyond 28.0 mm: on a flange that may be; " +
        "mean radius is half the diameter",
    ]);
  });

  test("of a spline takes the mean diameter of ramps on a wide flange, which is no radius by mistake", () => {
    const wide = (told: string) =>
      partText({
        replace: ["face width", "rim diameter: 56 mm\n  face width"],
        add: OVER_RUN.replace("mean radius: 27.5 mm", told),
      });
    const [design] = readPart(wide("mean diameter: 90 mm"), FILE).designs;
    expect(design!.overRun!.meanRadius).toBe(45);
    expect(design!.notices).toEqual([expect.stringMatching(/stand outside the rim/)]);
    expect(faultLines(wide("mean diameter: 27.5 in, mean radius: 30 mm"))).toEqual([
      expect.stringMatching(/says the same as/),
      expect.stringMatching(/over-run\.mean diameter: a radius of 349 mm .*lies far outside the rim/),
    ]);
    expect(faultLines(wide("mean diameter: 20 mm"))).toEqual([
      expect.stringMatching(
        /a radius of 10\.0 mm lies in the bore.*give the diameter of the middle of the ramps/,
      ),
    ]);
  });

  test("of a spline lets pins stand on the flange that carries its ramps, and asks about them", () => {
    const flange = (ramps: string, pins: string) =>
      partText({
        replace: ["face width", "rim diameter: 56 mm\n  face width"],
        add: `${OVER_RUN.replace("mean radius: 27.5 mm", ramps)}pins: { count: 3, diameter: 4 mm, radius: ${pins}, shear strength: 600 MPa }\n`,
      });
    const [design] = readPart(flange("mean diameter: 90 mm", "36 mm"), FILE).designs;
    expect(design!.pins!.radius).toBe(36);
    expect(design!.notices).toEqual([
      expect.stringMatching(/ramps stand outside the rim/),
      expect.stringMatching(/pins stand outside the rim, which ends at a radius of 28\.0 mm: on a flange/),
    ]);
    expect(readPart(flange("mean diameter: 90 mm", "23 mm"), FILE).designs[0]!.notices).toHaveLength(1);
    // no flange, no metal there
    expect(faultLines(flange("mean diameter: 50 mm", "36 mm"))).toEqual([
      expect.stringMatching(/pins\.radius: .*reach outside the part/),
    ]);
  });

  test("takes the diameter of the sliding spline, which is no radius by mistake", () => {
    const slides = (told: string) =>
      partText({
        add: OVER_RUN.replace("spring force", `${told}, spline pressure angle: 20 deg, spring force`),
      });
    const [design] = readPart(slides("spline diameter: 68 mm"), FILE).designs;
    expect(design!.overRun!.spline!.radius).toBe(34);
    // written as a diameter, and so no diameter by mistake
    expect(design!.notices).toContain(
      "the ring is told to slide on another spline than this part's own, at a radius of 34.0 mm in place of 17.0 mm",
    );
    expect(faultLines(slides("spline diam: 68 mm"))).toEqual(
      [expect.stringMatching(/did you mean "spline diameter"/), expect.anything()].slice(0, 1),
    );
    expect(faultLines(slides("spline radius: 34 mm"))).toEqual([
      expect.stringMatching(/a diameter of this part's own spline.*write spline diameter: 68\.0 mm/),
    ]);
    expect(faultLines(slides("spline radius: 34 mm, spline diameter: 68 mm"))).toEqual([
      expect.stringMatching(/says the same as/),
    ]);
  });

  // a shaft: its ramps stand in the ring about it, and so do its pins
  test("of an external spline asks about ramps and pins far from its teeth", () => {
    const shaft = (radius: string, pins = "22 mm") =>
      partText({
        replace: ["internal spline", "external spline"],
        add: `${OVER_RUN.replace("27.5 mm", radius)}pins: { count: 3, diameter: 4 mm, radius: ${pins}, shear strength: 600 MPa }\n`,
      });
    const notices = (text: string) => readPart(text, FILE).designs[0]!.notices;
    expect(notices(shaft("27 mm"))).toBeUndefined();
    expect(notices(shaft("30 mm"))).toEqual([expect.stringMatching(/ramps stand far outside the teeth/)]);
    expect(notices(shaft("12 mm"))).toEqual([
      expect.stringMatching(/ramps stand inside the tips of the teeth/),
    ]);
    expect(faultLines(shaft("55 mm"))).toEqual([
      expect.stringMatching(/mean radius: 55\.0 mm lies far outside/),
    ]);
    expect(notices(shaft("27 mm", "44 mm"))).toEqual([
      expect.stringMatching(/pins stand far outside the teeth, which end at a radius of 18\.0 mm/),
    ]);
    expect(faultLines(shaft("27 mm", "22 in"))).toEqual([
      expect.stringMatching(/pins\.radius: 559 mm \(22\.0 in\) lies far outside the teeth.*look at its unit/),
    ]);
  });

  test("asks about friction and ramps that let go more easily than steel does", () => {
    const notices = (add: string) =>
      readPart(partText({ replace: ["face width", "rim diameter: 56 mm\n  face width"], add }), FILE)
        .designs[0]!.notices;
    expect(notices(OVER_RUN.replace("160 N", "160 N, friction: 0.008..0.020"))).toEqual([
      expect.stringMatching(
        /friction of 0\.008 to 0\.02 is less than oiled hardened steel has \(0\.05 to 0\.20/,
      ),
    ]);
    expect(notices(OVER_RUN.replace("160 N", "160 N, friction: 0.05"))).toBeUndefined();
    expect(notices(OVER_RUN.replace("31 deg", "75 deg"))).toEqual([
      expect.stringMatching(/lean 75\.0°.*an angle measured from the face is 15\.0° here/),
    ]);
  });

  test("of a face tooth refuses a sliding spline in its teeth, and tells of one outside them", () => {
    const sliding = (radius: string) =>
      FACE.replace("160 N", `160 N, spline radius: ${radius}, spline pressure angle: 30 deg`);
    expect(faultLines(sliding("28 mm"))).toEqual([
      expect.stringMatching(
        /28\.0 mm lies in the teeth, which are 23 to 32 mm from the axis; a radius is asked/,
      ),
    ]);
    // teeth cut down to the bore spline: its pitch circle lies a little outside their inside diameter
    for (const radius of ["17 mm", "24 mm"])
      expect(readPart(sliding(radius), FILE).designs[0]!.notices).toBeUndefined();
    // and in a drum, its pitch circle a little inside their outside diameter; or a diameter, where the shaft is thin
    expect(readPart(sliding("30 mm"), FILE).designs[0]!.notices).toEqual([
      expect.stringMatching(
        /slide on a spline near the outside of its teeth, at a radius of 30\.0 mm beside 32\.0 mm/,
      ),
    ]);
    expect(readPart(sliding("26 mm"), FILE).designs[0]!.notices).toEqual([
      expect.stringMatching(/in its teeth, at a radius of 26\.0 mm where they begin at 23\.0 mm/),
    ]);
  });

  test("of a face tooth takes the tooth's own ramp and mean radius, and no sliding spline", () => {
    expect(face().overRun).toMatchObject({
      rampAngle: (31 * Math.PI) / 180,
      meanRadius: 27.5,
      spline: null,
      torque: 690_000 * 1.8,
    });
    const { designs } = readPart(
      `${FACE}variants:\n  - name: A\n    profile: { ramp angle: 8 deg }\n    over-run: { spline radius: 17 mm, spline pressure angle: 30 deg }\n`,
      FILE,
    );
    expect(designs[0]!.overRun).toMatchObject({
      rampAngle: (8 * Math.PI) / 180,
      spline: { radius: 17, pressureAngle: Math.PI / 6 },
    });
  });

  test("reads pounds and ranges, and a sweep may run over any of it", () => {
    const { designs, units } = readPart(
      `${partText({ add: OVER_RUN.replace("160 N", "36 lbf") })}sweep:\n  "over-run.friction": [0.1, 0.08 to 0.20]\n  "over-run.ramp angle": [15 deg, 38 deg]\n`,
      FILE,
    );
    expect(units).toBe("both");
    // 1 lbf = 4.4482216152605 N, exact
    expect(designs[0]!.overRun!.springForce).toBeCloseTo(36 * 4.4482216152605, 9);
    expect(designs.map(({ overRun }) => overRun!.friction)).toEqual([
      [0.1, 0.1],
      [0.1, 0.1],
      [0.08, 0.2],
      [0.08, 0.2],
    ]);
    expect(designs[3]!.variant).toBe("friction 0.08 to 0.20, ramp angle 38 deg");
  });

  test("a bare force is taken where the file declares its unit, and asked for where not", () => {
    const bare = partText({ add: OVER_RUN.replace("160 N", "160") });
    expect(faultLines(bare)).toEqual([
      expect.stringMatching(/over-run\.spring force: 160 has no unit; .*declare "force" under "units"/),
    ]);
    expect(readPart(`units: { force: lbf }\n${bare}`, FILE).designs[0]!.overRun!.springForce).toBeCloseTo(
      160 * 4.4482216152605,
      9,
    );
  });

  test.each([
    ["a negative spring", "spring force: -160 N", /spring force: -160 N is out of range; use more than 0/],
    ["no spring at all", "spring force: 0 N", /spring force: 0 N is out of range/],
    ["a mass for a force", "spring force: 16 kg", /spring force: "16 kg" is a mass, a force was expected/],
    ["friction without friction", "friction: 0..0", /friction: leaves no friction at all.*; give a band/],
    [
      "a band that runs downward",
      "friction: 0.20..0.08",
      /runs downward; write the smaller end first: 0\.08\.\.0\.20/,
    ],
    ["negative friction", "friction: -0.1..0.2", /friction: -0\.1 is out of range; use 0 to 1/],
    ["friction in per cent", "friction: 8 %", /"8 %" is no plain number and no range of it/],
    ["friction with a unit", "friction: 0.1..0.2 N", /has a unit, or something else behind its numbers/],
    ["a ramp that lies flat", "ramp angle: 80 deg", /ramp angle: 80 deg is out of range; use 0 to 75 deg/],
    ["a mean radius of nothing", "mean radius: 0 mm", /mean radius: 0 mm is out of range/],
    ["a torque of nothing", "torque: 0 N m", /over-run\.torque: 0 N m is out of range/],
  ])("refuses %s", (_claim, line, fault) => {
    const key = line.split(":")[0]!;
    const kept = "ramp angle: 31 deg, mean radius: 27.5 mm, spring force: 160 N"
      .split(", ")
      .filter((one) => !one.startsWith(`${key}:`));
    expect(faultLines(partText({ add: `over-run: { ${[...kept, line].join(", ")} }\n` }))).toEqual([
      expect.stringMatching(fault),
    ]);
  });

  test("names all that a spline must say of ramps it does not have", () => {
    expect(faultsOf(partText({ add: "over-run: { friction: 0.1..0.2 }\n" })).map(({ key }) => key)).toEqual([
      "over-run.spring force",
      "over-run.ramp angle",
      "over-run.mean radius",
    ]);
  });

  test.each([
    [
      "a ramp that is not the tooth's own",
      "ramp angle: 8 deg",
      /over-run\.ramp angle: 8\.00° is not the tooth's own over-run flank, 31\.0°; leave it out/,
    ],
    [
      "a mean radius off the teeth",
      "mean radius: 40 mm",
      /over-run\.mean radius: 40\.0 mm lies off the teeth, whose mean radius is 27\.5 mm; leave it out/,
    ],
    [
      "half a sliding spline",
      "spline radius: 17 mm",
      /over-run\.spline pressure angle: missing: the sliding spline's other figure is given/,
    ],
  ])("of a face tooth refuses %s", (_claim, line, fault) => {
    expect(faultLines(FACE.replace("spring force: 160 N", `spring force: 160 N, ${line}`))).toEqual([
      expect.stringMatching(fault),
    ]);
  });

  test("takes a face tooth's ramp said twice alike, and a back-cut as a ramp that never lifts", () => {
    expect(
      readPart(FACE.replace("spring force", "ramp angle: 31 deg, spring force"), FILE).designs[0]!.overRun!
        .rampAngle,
    ).toBeCloseTo((31 * Math.PI) / 180, 12);
    const back = readPart(FACE.replace("ramp angle: 31 deg", "over-run flank angle: -2 deg"), FILE);
    expect(back.designs[0]!.overRun!.rampAngle).toBeCloseTo((-2 * Math.PI) / 180, 12);
  });
});

describe("the pins section", () => {
  test("is read, with single shear where nobody says", () => {
    const design = only(OVER_RUN + PINS);
    expect(design.pins).toEqual({ count: 3, diameter: 3, radius: 21, planes: 1, shearStrength: [700, 700] });
    expect(design.defaults.find(({ key }) => key === "pins.shear planes")!.value).toBe("1");
  });

  test("takes 0.6 to 0.75 of the tensile strength for shear, with sources, and a variant may say the other", () => {
    // the ratios of fixtures/reference/ramp-and-pins.json, section pins
    const { designs } = readPart(
      `${partText({ add: OVER_RUN + PINS.replace("shear strength: 700 MPa", "tensile strength: 1000..1200 MPa") })}variants:\n  - name: A\n  - name: B\n    pins: { shear strength: 100..110 ksi }\n`,
      FILE,
    );
    expect(designs[0]!.pins!.shearStrength[0]).toBeCloseTo(600, 9);
    expect(designs[0]!.pins!.shearStrength[1]).toBeCloseTo(900, 9);
    const echoed = designs[0]!.defaults.find(({ key }) => key === "pins.shear strength")!;
    expect(echoed.source).toMatch(/0\.67 after Shigley.*from memory.*common practice/);
    // 1 ksi = 6.894757 MPa
    expect(designs[1]!.pins!.shearStrength[0]).toBeCloseTo(689.4757, 3);
  });

  test.each([
    [
      "pins that overlap",
      "count: 40",
      /pins\.diameter: 40 pins of 3\.60 mm overlap on a circle of radius 21\.0 mm; use less than 3\.295 mm, or fewer pins/,
      "3.6 mm",
    ],
    [
      "pins beyond the rim",
      "radius: 30 mm",
      /pins\.radius: pins of 3\.00 mm at 30\.0 mm reach outside the part; use 20 mm or more, 21\.72 mm or less/,
      "",
    ],
    [
      "pins in the teeth",
      "radius: 18 mm",
      /pins\.radius: pins of 3\.00 mm at 18\.0 mm reach into its teeth/,
      "",
    ],
    ["no pins", "count: 0", /pins\.count: 0 is out of range; use 1 to 200/, ""],
    ["half a pin", "count: 2.5", /pins\.count: 2\.5 is no whole number/, ""],
    ["triple shear", "shear planes: 3", /pins\.shear planes: 3 is out of range; use 1 to 2/, ""],
    [
      "a strength that runs downward",
      "shear strength: 800..700 MPa",
      /runs downward; write the smaller end first: 700\.\.800 MPa/,
      "",
    ],
    ["a strength without unit", "shear strength: 700..800", /"700\.\.800" has no unit/, ""],
    [
      "both strengths",
      "tensile strength: 1000 MPa",
      /pins\.tensile strength: says the same as "shear strength"/,
      "",
    ],
  ])("refuses %s", (_claim, line, fault, diameter) => {
    const key = line.split(":")[0]!;
    const base = `count: 3, diameter: ${diameter || "3 mm"}, radius: 21 mm, shear strength: 700 MPa`;
    const kept = base.split(", ").filter((one) => !one.startsWith(`${key}:`));
    // ramps beside the teeth, on no flange
    const ramps = OVER_RUN.replace("27.5 mm", "20 mm");
    expect(faultLines(partText({ add: `${ramps}pins: { ${[...kept, line].join(", ")} }\n` }))).toEqual([
      expect.stringMatching(fault),
    ]);
  });

  test("in inches too the radius that is told does, at either end", () => {
    const text = (radius: string) => `part: Pin
profile: { kind: internal spline, teeth: 14, module: 0.1575 in, pressure angle: 20 deg, tip diameter: 2.071 in, root diameter: 2.488 in, tooth thickness: 0.2476 in, rim diameter: 5.5276 in, root radius: 0, face width: 0.352 in }
load: { torque: 100 lbf ft }
over-run: { ramp angle: 40 deg, mean radius: 1.5 in, spring force: 30 lbf }
pins: { count: 4, diameter: 0.297 in, radius: ${radius}, shear strength: 67 ksi }
`;
    const [told] = faultLines(text("1.39 in"));
    const [, least, most] = /use ([\d.]+ in) or more, ([\d.]+ in) or less/.exec(told!)!;
    for (const radius of [least!, most!]) expect(faultLines(text(radius))).toEqual([]);
  });

  test("without an over-run section is refused; a face tooth's pin outside its teeth is told", () => {
    expect(faultLines(partText({ add: PINS }))).toEqual([
      expect.stringMatching(
        /pins: pins shear in over-running, and nothing is said of that; add a section "over-run:"/,
      ),
    ]);
    expect(face(PINS.replace("21 mm", "33 mm")).notices).toEqual([
      "the pins stand outside the teeth, which end at a radius of 32.0 mm: in a ring that reaches beyond them; " +
        "pins.radius is a radius, half the diameter of their circle",
    ]);
    expect(face(PINS.replace("21 mm", "22 mm")).pins!.radius).toBe(22);
    expect(face(PINS.replace("21 mm", "22 mm")).notices).toBeUndefined();
  });

  test("names every figure that is missing", () => {
    expect(
      faultsOf(partText({ add: `${OVER_RUN}pins: { shear planes: 2 }\n` })).map(({ key }) => key),
    ).toEqual(["pins.count", "pins.diameter", "pins.radius", "pins.shear strength"]);
  });
});

describe("a strength section without a steel", () => {
  test("is noted in every variant that has it and no steel, and only there", () => {
    const { designs } = readPart(
      partText({
        add: "strength: { shocks: 100 }\nvariants:\n  - name: A\n  - name: B\n    steel: { grade: 4340, hardness: 38..42 HRC }\n",
      }),
      FILE,
    );
    expect(designs[0]!.notices).toEqual([expect.stringContaining("strength section is not used")]);
    expect(designs[1]!.notices).toBeUndefined();
    expect(designs[1]!.strength!.shocks).toBe(100);
  });
});
