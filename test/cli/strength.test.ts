import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { DOMParser } from "@xmldom/xmldom";
import { beforeAll, describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { type Design, readPart } from "../../src/design/index.ts";
import {
  designCapacity,
  designWindow,
  fairSplit,
  type RootField,
  variantChanges,
  withRootRadius,
} from "../../src/strength/index.ts";
import { HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
const DEMO = "demo/orchard-hub.yaml";
const demo = readPart(readFileSync(DEMO, "utf8"), DEMO).designs;
const variant = (name: string): Design => demo.find((design) => design.variant === name)!;

const roots = new Map<string, RootField>();
function rootOf(design: Design): RootField {
  const key = JSON.stringify([design.profile, design.load]);
  const root = roots.get(key) ?? answerDesign(design).result.rootField!;
  roots.set(key, root);
  return root;
}

function capacityOf(design: Design) {
  const found = designCapacity(rootOf(design), design);
  if (!found || "faults" in found) throw new Error("no capacity");
  return found.capacity;
}

/** Three significant figures, as every report has them. */
const three = (x: number): string => String(Number(x.toPrecision(3)));
const LBF_FT = 4.4482216152605 * 304.8;

function wellFormed(svg: string): void {
  const faults: string[] = [];
  const parsed = new DOMParser({ onError: (_level, text) => faults.push(text) }).parseFromString(
    svg,
    "image/svg+xml",
  );
  expect(faults).toEqual([]);
  expect(parsed.documentElement?.localName).toBe("svg");
}

describe("steel and conditions that cannot be right are refused before anything is solved", () => {
  const steel = (text: string) => HUB.replace("  grade: 4340\n  hardness: 38..42 HRC\n", text);
  const asked = (text: string) => HUB.replace("answer:", `strength: { ${text} }\nanswer:`);
  const CASE = "  grade: 8620 case\n  hardness: 58..61 HRC\n  core hardness: 30..38 HRC\n";
  const rows: [claim: string, text: string, place: string, ...expected: RegExp[]][] = [
    ["an unknown steel", HUB.replace("4340", "4304"), ":18:10 steel.grade", /did you mean 4340/],
    [
      "a hardness outside the data",
      HUB.replace("38..42 HRC", "60..62 HRC"),
      ":19:13 steel.hardness",
      /outside the data for 4340.*; use a window within 20\.\.59 HRC/,
    ],
    [
      "a case deeper than half the tooth",
      steel(`${CASE}  case depth: 1.5..3 mm\n`),
      ":21:15 steel.case depth",
      /reaches the middle of a tooth .* thick at its root.*; use less than/,
    ],
    ["a negative flaw", asked("flaw depth: -0.1 mm"), ":20:25 strength.flaw depth", /out of range; use 0 to/],
    [
      "a flaw as deep as half the tooth",
      asked("flaw depth: 3 mm"),
      ":20:25 strength.flaw depth",
      /half the tooth or more/,
    ],
    [
      "peening on soft steel",
      asked("peened: yes").replace("38..42", "24..28"),
      ":20:21 strength.peened",
      /peening gains nothing sure on steel of 24 HRC.*30 HRC or harder/,
    ],
    [
      "a flaw in a case of unknown depth",
      steel(CASE).replace("answer:", "strength: { flaw depth: 0.1 mm }\nanswer:"),
      ":21:25 strength.flaw depth",
      /case of unknown depth.*; give the case depth/,
    ],
    [
      "a flaw deeper than its case",
      steel(`${CASE}  case depth: 0.4..0.6 mm\n`).replace(
        "answer:",
        "strength: { flaw depth: 0.5 mm }\nanswer:",
      ),
      ":22:25 strength.flaw depth",
      /deeper than the case of 0\.4\.\.0\.6 mm/,
    ],
    [
      "a case of through-hardened steel",
      HUB.replace("answer:", "  case depth: 0.4 mm\nanswer:"),
      ":20:15 steel.case depth",
      /through-hardened steel has no case/,
    ],
  ];

  for (const [k, [claim, text, place, ...expected]] of rows.entries()) {
    test(claim, async () => {
      const file = work.file(`bad${k}.yaml`, text);
      for (const words of [
        ["run", file, "--out", join(work.path, `bad-out${k}`)],
        ["window", file, "--out", join(work.path, `bad-out${k}`)],
      ]) {
        const { code, out, err } = await notchwright(words);
        expect({ code, out }).toEqual({ code: 2, out: "" });
        // one clear message
        expect(err.split("\n").filter((line) => line.startsWith("notchwright:"))).toHaveLength(1);
        expect(err).toContain(`bad${k}.yaml${place}`);
        for (const pattern of expected) expect(err).toMatch(pattern);
        expect(existsSync(join(work.path, `bad-out${k}`))).toBe(false);
      }
    });
  }

  test("a question to a variant without a steel, to one that is not there, or of one alone", async () => {
    const bare = work.file("bare.yaml", HUB.replace(/steel:\n(?: .*\n)+/, ""));
    const good = work.file("good.yaml", HUB);
    for (const [words, pattern] of [
      [["window", bare, "--only", "V1"], /steel: variant "V1" of .* names none; give a grade/],
      [["window", good, "--only", "V9"], /--only: no variant is called "V9"; did you mean/],
      [["split", good, "V1", "v2"], /no variant is called "v2"; did you mean "V2"/],
      [["split", good, "V1", "V1"], /"V1" is given twice; name two variants/],
      [["need", good, "V1", "--margin", "0.5"], /--margin: "0\.5" is no margin from 1 to 20; write/],
      [["need", good, "V1", "--gain", "5 mm"], /--gain: .*; write a torque/],
    ] as const) {
      const { code, out, err } = await notchwright(words);
      expect({ code, out }, words.join(" ")).toEqual({ code: 2, out: "" });
      expect(err).toMatch(pattern);
    }
  });
});

describe("a run", () => {
  const target = join(work.path, "run");
  let printed = "";

  beforeAll(async () => {
    const file = work.file(
      "run.yaml",
      `report: { units: both }\n${HUB.replace("- name: V1\n", "- name: V1\n    steel: { hardness: 54..56 HRC }\n")}`,
    );
    const ended = await notchwright(["run", file, "--out", target, "--no-maps"]);
    expect(ended.code).toBe(0);
    printed = ended.out;
  });

  test.each([
    ["metric", "N·m", "lbf·ft"],
    ["inch", "lbf·ft", "N·m"],
  ])("keeps to %s units where the part file asks for them, in every table", async (units, own, other) => {
    const file = work.file(`${units}.yaml`, `report: { units: ${units} }\n${HUB}`);
    const run = await notchwright(["run", file, "--out", join(work.path, units), "--no-maps"]);
    const split = await notchwright(["split", file, "V1", "V2"]);
    const need = await notchwright(["need", file, "V1"]);
    const window = await notchwright(["window", file, "--only", "V1"]);
    for (const { code, out } of [run, split, need, window]) {
      expect(code).toBe(0);
      expect(out).toContain(own);
      expect(out).not.toContain(other);
    }
  });

  test("prints what breaks first with margin and what comes next, aligned, in both units", () => {
    const { variants } = JSON.parse(readFileSync(join(target, "results.json"), "utf8"));
    const block = printed.slice(printed.indexOf("What breaks first"), printed.indexOf("Balance of torque"));
    expect(block.replace(/\s+/g, " ")).toContain("1240 N·m (916 lbf·ft) required");
    const lines = block.split("\n");
    const head = lines.find((line) => line.startsWith("  variant"))!;
    for (const { variant: name, capacity } of variants) {
      const line = lines.find((text) => text.startsWith(`  ${name} `))!;
      const governing = capacity.modes.find((mode: { id: string }) => mode.id === capacity.governing);
      const at = (column: string) => line.slice(head.indexOf(column)).split("  ")[0];
      expect(at("breaks first")).toBe(governing.id);
      expect(at("at N·m")).toBe(
        `${three(governing.torque.low / 1000)}–${three(governing.torque.high / 1000)}`,
      );
      expect(at("(lbf·ft)")).toBe(
        `${three(governing.torque.low / LBF_FT)}–${three(governing.torque.high / LBF_FT)}`,
      );
      expect(at("breaks next")).toBe(capacity.next);
      expect(capacity.margin.low).toBeCloseTo(governing.torque.low / 1_242_000, 12);
    }
  });

  test("judges each hardness by its own steel, though the stresses are solved once", async () => {
    const soft = work.file("soft.yaml", `report: { units: both }\n${HUB}`);
    const again = await notchwright(["run", soft, "--out", target, "--no-maps"]);
    expect(again.err.match(/kept from before/g)).toHaveLength(3);
    const { variants } = JSON.parse(readFileSync(join(target, "results.json"), "utf8"));
    const fresh = join(work.path, "fresh");
    await notchwright(["run", soft, "--out", fresh, "--no-maps"]);
    const own = JSON.parse(readFileSync(join(fresh, "results.json"), "utf8")).variants;
    for (const [k, one] of variants.entries()) expect(one.capacity).toEqual(own[k].capacity);
    expect(variants[0].capacity.hardness).toEqual([38, 42]);
  });
});

describe("window", () => {
  const target = join(work.path, "window");
  let printed = "";

  beforeAll(async () => {
    const ended = await notchwright(["window", DEMO, "--only", "V0", "V10", "--out", target]);
    expect(ended).toMatchObject({ code: 0, err: "" });
    printed = ended.out;
  });

  test.each(["V0", "V10"])("says of %s the hardness to order that the core finds", (name) => {
    const found = designWindow(rootOf(variant(name)), variant(name), rootOf);
    if (!found || "faults" in found) throw new Error("no window");
    const { satisfying, aim, low, high, hardness, best, none } = found.window;
    const block = printed.slice(printed.indexOf(`Hardness window of "${name}"`)).split("\n\n")[0]!;
    const text = block.replace(/\n */g, " ");
    expect(text).toContain("against 2480 N·m (1830 lbf·ft) required (with margin 2)");
    for (const [from, to] of satisfying) expect(text).toContain(`${from.toFixed(1)}–${to.toFixed(1)} HRC`);
    // the worn hub finds none, the wider face finds one
    expect(aim === null).toBe(name === "V0");
    if (aim) expect(text).toContain(`Order ${aim[0].toFixed(1)}–${aim[1].toFixed(1)} HRC`);
    else expect(text).toMatch(/None( to order)?: /);
    if (none) expect(text).toContain(`: ${none.why}. Change first: ${none.change}.`);
    const at = hardness.indexOf(best.hardness);
    expect(text).toContain(
      `Most at ${best.hardness} HRC: ${best.mode} at ${three(low[at]! / 1000)}–${three(high[at]! / 1000)} N·m`,
    );
    const own = variant(name).steel!;
    const inside = satisfying.some(([a, b]) => own.hardnessLow >= a && own.hardnessHigh <= b);
    expect(text).toContain(`${own.hardnessText} of "${name}" ${inside ? "satisfies" : "does not satisfy"}`);
  });

  test("draws each as a small, well-formed sheet that is the same every time", async () => {
    const again = join(work.path, "window again");
    await notchwright(["window", DEMO, "--only", "V0", "V10", "--out", again]);
    for (const name of ["hardness/v0.svg", "hardness/v10.svg"]) {
      const svg = readFileSync(join(target, name), "utf8");
      wellFormed(svg);
      expect(svg.length).toBeLessThan(200_000);
      expect(readFileSync(join(again, name), "utf8")).toBe(svg);
    }
  });

  test("says none, why and what to change first where no hardness will do", async () => {
    const file = work.file("much.yaml", HUB.replace("torque: 690 N m", "torque: 6900 N m"));
    const { code, out } = await notchwright(["window", file, "--only", "V1"]);
    expect(code).toBe(0);
    expect(out.replace(/\n */g, " ")).toMatch(
      /Satisfies: none\. None: at best, .* of the required torque\. Change first: /,
    );
  });
});

describe("a shaft whose cracks in twist are not counted", () => {
  // Ø26 solid, 28 HRC: Dudley 1957 allows 30 ksi, 207 MPa at 10⁴ cycles: 207 π 26³ / 16 = 714 N·m; at 10⁵ either way 0.4 of it, 286 N·m
  const text = `part: Stub
profile: { kind: external spline, flank: straight, teeth: 6, tip diameter: 30 mm, root diameter: 26 mm, bore diameter: 1 mm, tooth width: 6 mm, root radius: 0.6 mm, face width: 40 mm }
load: { torque: 400 N m }
steel: { grade: 4140, hardness: 28..32 HRC }
strength: { shocks: 100000, torque ratio: -1 }
variants:
  - { name: reversed }
  - { name: light, load: { torque: 200 N m } }
`;
  const file = work.file("stub.yaml", text);

  test("gets no yes above the published allowable, and need and window say why", async () => {
    const target = join(work.path, "stub");
    const run = await notchwright(["run", file, "--out", target, "--no-maps"]);
    expect(run.out).toMatch(/\n {2}reversed .* not known /);
    expect(run.out).toMatch(/\n {2}light .* yes /);
    expect(run.out.replace(/\n +/g, " ")).toContain("is 71 % of the required torque");
    const need = await notchwright(["need", file, "reversed", "--json", "-"]);
    const { needs } = JSON.parse(need.out);
    expect(needs[0].smallestRootRadius).toMatchObject({ radius: null, margin: null });
    expect(needs[0].smallestRootRadius.words).toContain("cracks in the shaft from twist are not counted");
    expect(needs[0].largestTorque.torque).toBeLessThanOrEqual(286_200);
    expect(needs[0].largestTorque.torque).toBeGreaterThan(284_000);
    const window = await notchwright(["window", file, "--only", "reversed", "--json", "-"]);
    const { windows } = JSON.parse(window.out);
    // 45 ksi from 42 HRC on: 310 · 0.4 · π 26³ / 16 = 428 N·m; an order keeps its ± 2 HRC above that
    expect(windows[0].aim[0]).toBeCloseTo(44, 1);
  });

  test("is held against the table by hand too", async () => {
    const over = await notchwright(["hand", file, "--only", "reversed"]);
    expect(over.out.replace(/\n +/g, " ")).toMatch(
      /The shaft's torsion may be as much: its 116 MPa is over that/,
    );
    const within = await notchwright(["hand", file, "--only", "light"]);
    expect(within.out.replace(/\n +/g, " ")).toMatch(/its 58\.\d MPa is within that/);
  });

  // 4340 at 49.5 HRC breaks from a sharp root before it yields, and yields first at a fillet of 0.4 mm
  const once = `part: Twist
profile: { kind: external spline, teeth: 20, module: 2 mm, bore diameter: 20 mm, root form: fillet, root radius: 0.4 mm, face width: 40 mm }
load: { torque: 6000 N m, teeth sharing: 100 % }
steel: { grade: 4340, hardness: 49.5 HRC }
strength: { shocks: 1 }
variants:
  - { name: r04 }
  - { name: sharp, profile: { root radius: 0 } }
  - { name: soft to hard, profile: { root radius: 0.1 mm }, steel: { hardness: 45..50 HRC } }
  - { name: carried back, over-run: { ramp angle: 8 deg, mean radius: 27 mm, spring force: 160 N, friction: 0.2..0.3, torque: 9000 N m } }
`;

  test("need finds the radius of a base that thins under it, though the largest that fits falls short again", async () => {
    const dog = work.file(
      "dog.yaml",
      `part: Dog
profile: { kind: face tooth, teeth: 3, ring: kept flat, outside diameter: 64 mm, inside diameter: 38 mm, height: 6.4 mm, drive flank angle: 0 deg, root radius: 0.8 mm, base thickness: 7.6 mm }
load: { torque: 340 N m, shock factor: 2, teeth sharing: 100 % }
steel: { grade: 4340, hardness: 38..42 HRC }
strength: { shocks: 100000 }
`,
    );
    const ask = async (margin: number) => {
      const { out } = await notchwright(["need", dog, "as drawn", "--margin", String(margin), "--json", "-"]);
      return JSON.parse(out).needs[0].smallestRootRadius;
    };
    const none = await ask(20);
    expect(none.radius).toBe(null);
    const best = Number(/, R([\d.]+) mm, gives margin/.exec(none.words)![1]);
    const most = Number(/gives margin ([\d.]+)/.exec(none.words)![1]);
    const largest = Number(/largest that fits, R([\d.]+) mm/.exec(none.words)![1]);
    expect(best).toBeLessThan(0.95 * largest);
    const found = await ask(Math.floor(100 * most) / 100 - 0.01);
    expect(found.radius, found.words).toBeLessThanOrEqual(best);
    expect(found.margin).toBeGreaterThan(most - 0.02);
  });

  test("need names no radius that run does not vouch for, nor does a soft end hide what the hard one does", async () => {
    const brittle = work.file("brittle.yaml", once);
    const target = join(work.path, "brittle");
    const run = await notchwright(["run", brittle, "--out", target, "--no-maps"]);
    expect(run.out).toMatch(/\n {2}r04 .* yes /);
    expect(run.out).toMatch(/\n {2}sharp .* not known /);
    expect(run.out).toMatch(/\n {2}soft to hard .* not known /);
    const need = await notchwright(["need", brittle, "r04", "--json", "-"]);
    const { radius, words } = JSON.parse(need.out).needs[0].smallestRootRadius;
    expect(radius, words).toBeGreaterThan(0.1);
    expect(radius).toBeLessThanOrEqual(0.4);
    const file = work.file("at it.yaml", once.replace("root radius: 0.4 mm", `root radius: ${radius} mm`));
    const again = await notchwright([
      "run",
      file,
      "--only",
      "r04",
      "--out",
      join(work.path, "at it"),
      "--no-maps",
    ]);
    expect(again.out).toMatch(/\n {2}r04 .* yes /);
  });

  test("over-running is held against its own torque", async () => {
    const target = join(work.path, "back");
    const shocks = once.replace("shocks: 1 ", "shocks: 100000 ").replace("6000 N m", "600 N m");
    await notchwright([
      "run",
      work.file("back.yaml", shocks),
      "--only",
      "carried back",
      "--out",
      target,
      "--no-maps",
    ]);
    const [{ capacity, overRun }] = JSON.parse(readFileSync(join(target, "results.json"), "utf8")).variants;
    expect(capacity.uncounted).toEqual([]);
    expect(overRun.root).toMatchObject({ vouched: false, uncounted: ["twist"] });
  });
});

describe("split", () => {
  const target = join(work.path, "split");

  test("at its best, too, a part stands no more than each way of breaking lets it: a fillet does no harm", async () => {
    // crushed flanks bound the high end here, fatigue of the root the low one
    const file = work.file(
      "keys.yaml",
      `part: Six-key shaft
profile: { kind: external spline, flank: straight, teeth: 6, tip diameter: 30 mm, root diameter: 26 mm, tooth width: 6 mm, root radius: 0.1 mm, face width: 25 mm }
load: { torque: 350 N m, shock factor: 1.5 }
steel: { grade: 4140, hardness: 28..32 HRC }
strength: { margin: 1.5, shocks: 10000 }
variants:
  - { name: sharpish }
  - { name: better, profile: { root radius: 0.6 mm, face width: 30 mm } }
`,
    );
    const { out } = await notchwright(["split", file, "sharpish", "better", "--json", "-"]);
    const { drive } = JSON.parse(out);
    const { designs } = readPart(readFileSync(file, "utf8"), file);
    const { capacity } = answerDesign(designs[0]!).result;
    const governing = capacity!.modes.filter((mode) => mode.governs && mode.torque);
    expect(drive.before.low).toBe(Math.min(...governing.map(({ torque }) => torque!.low)));
    expect(drive.before.high).toBe(Math.min(...governing.map(({ torque }) => torque!.high)));
    expect(drive.before.high).toBe(governing.find(({ id }) => id === "flank crushing")!.torque!.high);
    const radius = drive.changes.find(({ id }: { id: string }) => id === "root radius");
    for (const end of [radius.fair, radius.alone, radius.last])
      expect(Math.min(end.low, end.high)).toBeGreaterThan(-1e-3 * drive.before.low);
  });

  test("tells the worths that the core finds, and draws them", async () => {
    const { code, out, err } = await notchwright(["split", DEMO, "V0", "V10", "--out", target]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const { changes, mix, bearsOnDrive } = variantChanges(variant("V0"), variant("V10"));
    const ofDrive = changes.filter(({ id }) => bearsOnDrive(id));
    const split = fairSplit(ofDrive, (made) => capacityOf(mix(made)).stands);
    const signed = (x: number) => `${x < 0 ? "−" : "+"}${three(Math.abs(x) / 1000)}`;
    for (const {
      title,
      ends: { fair },
    } of split.changes)
      expect(out).toMatch(new RegExp(`\\n  ${title} +\\${signed(fair[0])} to \\${signed(fair[1])} `));
    expect(out).toContain(`${split.evaluations} variants judged`);
    const svg = readFileSync(join(target, "changes/v0-to-v10.svg"), "utf8");
    wellFormed(svg);
    expect(svg.length).toBeLessThan(200_000);
    for (const { title } of split.changes) expect(svg).toContain(title);
  });

  test("says that variants that differ in name only differ in nothing", async () => {
    const file = work.file("alike.yaml", HUB.replace("    profile: { root radius: 0.6 mm }\n", ""));
    const { code, out } = await notchwright(["split", file, "V1", "V2"]);
    expect({ code, out }).toEqual({
      code: 0,
      out: '"V1" and "V2" differ in nothing that bears on the torque they stand.\n',
    });
  });
});

describe("need", () => {
  test("answers all four questions, each proved by a solve of its own", async () => {
    const { code, out, err } = await notchwright(["need", DEMO, "V0", "--margin", "1.6", "--gain", "20 N m"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const text = out.replace(/\n */g, " ");
    const radius = Number(/smallest root radius +R([\d.]+) mm/.exec(text)![1]);
    const at = (mm: number) => capacityOf(withRootRadius(variant("V0"), mm)).margin.low;
    expect(at(radius)).toBeGreaterThanOrEqual(1.6);
    expect(at(radius - 0.02)).toBeLessThan(1.6);
    const torque = 1000 * Number(/largest torque +([\d.]+) N·m/.exec(text)![1]);
    const stands = capacityOf(variant("V0")).governing.torque!.low / torque;
    expect(stands).toBeGreaterThanOrEqual(1.6 * (1 - 1e-6));
    expect(stands).toBeLessThan(1.6 * 1.01);
    expect(text).toMatch(/hardness +order [\d.]+–[\d.]+ HRC/);
    // up to the largest radius that fits; what its last tenth buys is solved here too
    const paying =
      /radius that still pays +up to .*?, R([\d.]+) mm .*?from R([\d.]+) mm .*?buys ([\d.]+) N·m/.exec(text)!;
    const [to, from, buys] = paying.slice(1).map(Number) as [number, number, number];
    const low = (mm: number) => capacityOf(withRootRadius(variant("V0"), mm)).governing.torque!.low / 1000;
    expect(Math.abs(((low(to) - low(from)) * 0.1) / (to - from) / buys - 1)).toBeLessThan(0.01);
    expect(buys).toBeGreaterThanOrEqual(20);
  });
});

describe("what stops a part before its root does", () => {
  const dogs = (angle: number, rest = "") => `part: Dogs
profile: { kind: face tooth, teeth: 10, mean diameter: 50 mm, face width: 8 mm, height: 4 mm, drive flank angle: ${angle} deg, ramp angle: 40 deg, root radius: 0.4 mm }
load: { torque: 100 N m, shock factor: 2, teeth sharing: 50 % }
steel: { grade: 4140, hardness: 40..44 HRC }
strength: { margin: 1.5 }
over-run: { spring force: 200 N, friction: 0.08..0.20, torque: 150 N m }
${rest}`;

  // 200 N on a mean radius of 25 mm and 6° less atan 0.08: 200.8 N·m by the inclined plane
  test("need tells a full root that stays by the radius that it stays at", async () => {
    const full = (radii: string) =>
      work.file(
        "full.yaml",
        `part: F
profile: { kind: face tooth, teeth: 11, mean diameter: 55 mm, ring: kept flat, face width: 9 mm, height: 4.5 mm, ramp angle: 8 deg, ${radii}, tip land: 12.5 mm, base thickness: 9 mm }
load: { torque: 800 N m, shock factor: 1.5, teeth sharing: 50 %, friction: 0.2 }
steel: { grade: 4340, hardness: 40 HRC }
strength: { margin: 1.1, shocks: 10000, torque ratio: -1 }
`,
      );
    const { out } = await notchwright(["need", full("root radius: full"), "as drawn", "--json", "-"]);
    const { warnings, smallestRootRadius } = JSON.parse(out).needs[0];
    const stays = /the over-run root stays as it is, R(\S+) mm/.exec(warnings.join("\n"))![1];
    const radii = `drive root radius: ${smallestRootRadius.radius} mm, over-run root radius: ${stays} mm`;
    const folder = join(work.path, "full");
    await notchwright(["run", full(radii), "--out", folder, "--no-maps"]);
    const [{ capacity }] = JSON.parse(readFileSync(join(folder, "results.json"), "utf8")).variants;
    expect(capacity.margin.low / smallestRootRadius.margin).toBeCloseTo(1, 2);
  });

  test("window satisfies with no hardness where drive flanks part the teeth", async () => {
    const file = work.file("dogs.yaml", dogs(20));
    const { out } = await notchwright(["window", file, "--json", "-"]);
    expect(JSON.parse(out).windows[0]).toMatchObject({
      satisfying: [],
      aim: null,
      none: { why: "the teeth part in drive" },
      driveHold: { holds: "parts" },
    });
    const text = await notchwright(["window", file]);
    expect(text.out).toContain("Root and flank alone: satisfied by");
  });

  test("need names no torque at which drive flanks part the teeth, with the margin asked for", async () => {
    const { out } = await notchwright(["need", work.file("dogs.yaml", dogs(6)), "as drawn"]);
    const torque = Number(/largest torque +(\d+) N·m/.exec(out)![1]);
    expect(torque).toBeLessThanOrEqual(200.8 / 1.5);
    expect(torque).toBeGreaterThan(0.99 * (200.8 / 1.5));
    expect(out.replace(/\n */g, " ")).toContain("the drive flanks part the teeth at 201 N·m");
    expect(out.replace(/\n */g, " ")).toContain("Radii are those of the drive root: the over-run root stays");
  });

  test("need finds no radius and no hardness for teeth that part, and says what root and flank alone would take", async () => {
    const json = join(work.path, "parting.json");
    const { out } = await notchwright(["need", work.file("dogs.yaml", dogs(20)), "as drawn", "--json", json]);
    const text = out.replace(/\n */g, " ");
    for (const question of ["smallest root radius", "hardness"])
      expect(text).toMatch(
        new RegExp(
          `${question} +none\\. The teeth part in drive at 18\\.1 N·m at μ 0\\.08, before the 300 N·m wanted, whatever root and steel\\. For root and flank alone: `,
        ),
      );
    const [need] = JSON.parse(readFileSync(json, "utf8")).needs;
    expect(need.smallestRootRadius.radius).toBeNull();
    expect(need.hardness).toMatchObject({ order: null, satisfying: [] });
    expect(need.driveHold.holds).toBe("parts");
    expect(need.driveHold.partsAt[0] / 18_100 - 1).toBeCloseTo(0, 2);
  });

  test("a run files the torque at which teeth part, and window says it before what to order", async () => {
    const file = work.file("dogs.yaml", dogs(20));
    const folder = join(work.path, "parting");
    await notchwright(["run", file, "--out", folder]);
    const { driveHold, capacity } = JSON.parse(readFileSync(join(folder, "results.json"), "utf8"))
      .variants[0];
    expect(driveHold.holds).toBe("parts");
    expect(capacity.enough).toBe("no, it parts");
    const [heads, row] = readFileSync(join(folder, "summary.csv"), "utf8").split("\r\n") as [string, string];
    expect(heads).toContain('"teeth part in drive at, low friction (N·mm)"');
    expect(row).toContain('"no, it parts"');
    expect(readFileSync(join(folder, "maps/as-drawn.svg"), "utf8")).toContain("teeth part at 18.1 N·m");
    const { out } = await notchwright(["window", file]);
    expect(out.replace(/\n */g, " ")).toMatch(
      /The teeth part in drive at 18\.1 N·m.*For root and flank alone: Order/,
    );
  });

  test("split tells which change keeps them together, springs that bear on nothing else among them", async () => {
    const variants =
      "variants:\n  - { name: weak, over-run: { spring force: 100 N } }\n  - { name: strong, over-run: { spring force: 9 kN } }\n";
    const { out } = await notchwright([
      "split",
      work.file("springs.yaml", dogs(20, variants)),
      "weak",
      "strong",
    ]);
    expect(out.replace(/\n */g, " ")).toContain(
      "Do the teeth stay together in drive? weak: they part; strong: they do. Springs did it.",
    );
  });

  test("split says of the variant that parts that it does", async () => {
    const variants =
      "variants:\n  - name: upright\n  - { name: leaning, profile: { drive flank angle: 20 deg } }\n";
    const file = work.file("leaning.yaml", dogs(0, variants));
    const { out } = await notchwright(["split", file, "upright", "leaning"]);
    expect(out.replace(/\n */g, " ")).toMatch(/"leaning": The drive flanks lean 20°.*part at 18\.1 N·m/);
    expect(out).not.toContain('"upright": The drive flanks');
  });
});

describe("a disk that takes no charts", () => {
  const full = work.file(
    "no charts.mjs",
    `import fs from "node:fs";
     import { syncBuiltinESMExports } from "node:module";
     const write = fs.writeFileSync;
     fs.writeFileSync = (file, data, ...rest) => {
       if (!String(file).endsWith("text.part")) return write(file, data, ...rest);
       throw Object.assign(new Error("ENOSPC: no space left on device, write"), { code: "ENOSPC" });
     };
     syncBuiltinESMExports();`,
  );

  test.each([
    ["window", [DEMO, "--only", "V1"]],
    ["split", [DEMO, "V0", "V1"]],
    ["release", [DEMO]],
  ])("is no wrong input: %s says so once, and what it found stands printed", async (command, words) => {
    const target = join(work.path, `no charts ${command}`);
    const { code, out, err } = await notchwright([command, ...words, "--out", target], {
      env: { NODE_OPTIONS: `--import "${full}"` },
    });
    expect(code).toBe(1);
    expect(err.match(/the disk is full/g)).toHaveLength(1);
    expect(err).toContain(`${target} cannot be written to (the disk is full)`);
    expect(out).toContain("N·m");
    expect(out).not.toContain("Written to");
  });
});

describe("steels of the user's own", () => {
  const OURS = `steels:
  - name: our 4340
    also: [bar stock 7]
    condition: through hardened
    hrc: [36, 48]
    yieldRatio: { low: 0.88, high: 0.94, source: mill certificates }
    toughness:
      - { hrc: [36, 48], low: [95, 60], high: [115, 80], scatter: 0.1, source: data sheet }
`;
  const named = (name: string, grade = "bar stock 7") =>
    `steels: ${name}\n${HUB.replace("grade: 4340", `grade: ${grade}`)}`;

  test("are read from a file beside the part file and judged by their own data", async () => {
    work.file("ours.yaml", OURS);
    const file = work.file("own.yaml", named("ours.yaml"));
    const target = join(work.path, "own");
    const { code, out } = await notchwright(["run", file, "--out", target, "--no-maps"]);
    expect(code).toBe(0);
    expect(out).toContain("What breaks first");
    const { variants } = JSON.parse(readFileSync(join(target, "results.json"), "utf8"));
    const builtIn = join(work.path, "built in");
    await notchwright(["run", work.file("built-in.yaml", HUB), "--out", builtIn, "--no-maps"]);
    const plain = JSON.parse(readFileSync(join(builtIn, "results.json"), "utf8")).variants;
    const torqueOf = (capacity: { modes: { id: string; source: string; torque: { low: number } }[] }) =>
      capacity.modes.find(({ id }) => id === "root fracture")!;
    expect(variants[0].steel.grade).toBe("our 4340");
    expect(variants[0].design.steel.own).toBeUndefined();
    expect(torqueOf(variants[0].capacity).source).toContain("K_Ic: data sheet");
    // tougher at the low end than the built-in band, so it takes more to break it
    expect(torqueOf(variants[0].capacity).torque.low).toBeGreaterThan(torqueOf(plain[0].capacity).torque.low);
    const window = await notchwright(["window", file, "--only", "V1"]);
    expect(window.out).toContain("our 4340, 36 to 48 HRC");
  });

  test.each([
    ["toughness", OURS.slice(0, OURS.indexOf("    toughness:")), "fracture or fatigue of the root"],
    ["fatigue rows", `${OURS}    fatigueLimit: []\n`, "fatigue of the root"],
  ])("without %s are no yes: not in the table, nor as a need, nor as a gain", async (_rows, bare, what) => {
    work.file("bare.yaml", bare);
    const text = named("bare.yaml").replace(
      "variants:",
      "variants:\n  - { name: known, steel: { grade: 4340 } }",
    );
    const file = work.file("bare part.yaml", text);
    const target = join(work.path, what);
    const run = await notchwright(["run", file, "--out", target, "--no-maps"]);
    expect(run.out).toMatch(/\n {2}V1 .* not known /);
    expect(run.out).not.toMatch(/\n {2}V1 .* yes /);
    const { variants } = JSON.parse(readFileSync(join(target, "results.json"), "utf8"));
    const vouched = (name: string) =>
      variants.find(({ variant }: { variant: string }) => variant === name).capacity.vouched;
    expect([vouched("V1"), vouched("known")]).toEqual([false, true]);
    const need = await notchwright(["need", file, "V1"]);
    for (const asked of ["smallest root radius", "largest torque", "radius that still pays"])
      expect(need.out.replace(/\n {20,}/g, " ")).toMatch(
        new RegExp(`${asked} +none: ${what} is not counted`),
      );
    const split = await notchwright(["split", file, "known", "V1"]);
    expect(split.out.replace(/\n/g, " ")).toContain(`not split, ${what} is not counted in "V1"`);
  });

  test.each([
    [
      "a file that is not there",
      "our.yaml",
      "our 4340",
      /steels: "our\.yaml": no such file; "ours\.yaml" is in that folder/,
    ],
    [
      "a file elsewhere",
      "../ours.yaml",
      "our 4340",
      /steels: "\.\.\/ours\.yaml" is no \.yaml or \.json file beside/,
    ],
    ["a file of another kind", "ours.txt", "our 4340", /steels: "ours\.txt" is no/],
    [
      "a grade that is in neither",
      "ours.yaml",
      "our 4304",
      /steel\.grade: no strength data for "our 4304" \(did you mean our 4340\?\)/,
    ],
    [
      "a row that makes no sense",
      "odd.yaml",
      "4340",
      /odd\.yaml:8:\d+ steels\.1\.toughness\.1[^:]*: low must not exceed high/,
    ],
  ])("%s is refused", async (claim, name, grade, pattern) => {
    work.file("ours.yaml", OURS);
    work.file("odd.yaml", OURS.replace("low: [95, 60]", "low: [195, 60]"));
    const file = work.file(`own ${claim}.yaml`, named(name, grade));
    const { code, out, err } = await notchwright(["check", file]);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(pattern);
    if (name !== "odd.yaml") expect(err).toContain(`own ${claim}.yaml:`);
  });

  test.each([
    [
      "a ratio over 1",
      OURS.replace("0.94", "1.94"),
      /steels\.yaml:6:\d+ steels\.1\.yieldRatio\.high: must be at most 1; /,
    ],
    [
      "one name twice",
      `${OURS}  - { name: our 4340, condition: through hardened, hrc: [36, 48], yieldRatio: { low: 0.6, high: 0.7, source: x } }\n`,
      /steels\.yaml:9:\d+ steels\.2\.name: another steel of this file is named "our 4340" too; /,
    ],
    [
      "a name that is a number",
      OURS.replace("our 4340", "4340"),
      /steels\.yaml:2:\d+ steels\.1\.name: is no text; write it as a text, in quotes where it is a number/,
    ],
    [
      "a misspelt key",
      OURS.replace("toughness:", "toughnes:"),
      /steels\.yaml:7:5 steels\.1\.toughnes: unknown key; did you mean "toughness"\?/,
    ],
    [
      "a condition that is none",
      OURS.replace("through hardened", "hard"),
      /steels\.yaml:4:\d+ steels\.1\.condition: must be one of through hardened, case, core; /,
    ],
    [
      "one number for a range",
      OURS.replace("hrc: [36, 48]\n", "hrc: 36\n"),
      /steels\.yaml:5:\d+ steels\.1\.hrc: is no pair of numbers such as \[36, 48\]; /,
    ],
    [
      "no source",
      OURS.replace(", source: mill certificates", ""),
      /steels\.yaml:6:\d+ steels\.1\.yieldRatio\.source: missing; /,
    ],
    [
      "no keys",
      OURS.slice(OURS.indexOf("\n") + 1),
      /steels\.yaml:1:\d+ steels: the file holds no keys; begin with a line "steels:"/,
    ],
  ])(
    "a file of steels with %s gets one message, in its own lines, and no other on what follows from it",
    async (_claim, text, pattern) => {
      work.file("steels.yaml", text);
      const { code, err } = await notchwright(["check", work.file("own steels.yaml", named("steels.yaml"))]);
      expect(code).toBe(2);
      expect(err).toMatch(pattern);
      expect(err.match(/^notchwright: /gm)).toHaveLength(1);
    },
  );
});

describe("names that mean mischief", () => {
  test("reach neither chart nor terminal as anything but text", async () => {
    const file = work.file(
      "mischief.yaml",
      HUB.replace("part: Test hub", 'part: "A & B \\"</text><script>alert(1)</script>"').replace(
        "name: V2",
        "name: \"V2 & 'x' ]]\"",
      ),
    );
    const target = join(work.path, "mischief");
    const { code } = await notchwright(["split", file, "V1", "V2 & 'x' ]]", "--out", target]);
    expect(code).toBe(0);
    await notchwright(["window", file, "--only", "V1", "--out", target]);
    for (const name of ["changes/v1-to-v2-x.svg", "hardness/v1.svg"]) {
      const svg = readFileSync(join(target, name), "utf8");
      wellFormed(svg);
      expect(svg).not.toContain("<script");
      expect(svg).toContain("A &amp; B");
    }
  });
});
