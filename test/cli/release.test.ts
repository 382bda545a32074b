import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { DOMParser } from "@xmldom/xmldom";
import { beforeAll, describe, expect, test } from "vitest";
import { HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
const DEMO = "demo/orchard-hub.yaml";

/** HUB with ramps, springs and pins; V2 has a steeper ramp, V3 bigger pins, and all share one root. */
const RING = `${HUB.slice(0, HUB.indexOf("answer:"))}over-run:
  ramp angle: 8 deg
  mean radius: 27.5 mm
  spring force: 160 N
  friction: 0.08..0.20
pins: { count: 3, diameter: 3 mm, radius: 22 mm, shear strength: 650..750 MPa }
answer: { accuracy: 5 % }
variants:
  - name: V1
  - name: V2
    over-run: { ramp angle: 38 deg }
  - name: V3
    pins: { count: 4, diameter: 5 mm }
`;
const bareRing = RING.replace(/steel:\n(?: .*\n)+/, "");

function wellFormed(svg: string): void {
  new DOMParser({
    onError: (level, message) => {
      throw new Error(`${level}: ${message}`);
    },
  }).parseFromString(svg, "text/xml");
}

/** Cells of the line that begins so, parted by two spaces or more. */
const cells = (text: string, name: string, after = ""): string[] =>
  text
    .slice(text.indexOf(after))
    .split("\n")
    .find((line) => line.startsWith(`  ${name} `))!
    .trim()
    .split(/ {2,}/);

describe("release", () => {
  const target = join(work.path, "release");
  let printed = "";

  beforeAll(async () => {
    const ended = await notchwright(["release", DEMO, "--out", target]);
    expect(ended).toMatchObject({ code: 0, err: "" });
    printed = ended.out;
  });

  // the demo's table, worked by hand: 15° 127 N·m, 23° 24, 31° 13 at μ 0.08, none at 0.20; pins 327, 581, 1210 N·m
  test.each([
    ["V0", "8°", null, "self-holding", 327],
    ["V5", "15°", 127, "depends on μ", 327],
    ["V6", "23°", 24, "depends on μ", 327],
    ["V9", "31°", 13, "depends on μ", 581],
    ["V8", "8°", null, "self-holding", 1210],
  ] as const)("tells of %s what statics tells", (name, angle, click, verdict, pins) => {
    const [, ramp, low, , high, word, , , shear] = cells(printed, name);
    expect([ramp, high, word]).toEqual([angle, "never", verdict]);
    if (click === null) expect(low).toBe("never");
    else expect(Math.round(Number(low!.split(" ")[0]))).toBe(click);
    expect(shear!.split(" ")[0]).toBe(String(pins));
  });

  test("names the least ramp, what the spline's drag adds, what gives first, and the limits of it all", () => {
    const text = printed.replace(/\n */g, " ");
    // β = φ + atan(μ R/(r cos α)) worked by hand: 31.79° and 13.07°, the ramp alone 11.31°; told upward
    expect(text).toContain("the least ramp that any torque lifts: 31.8° at μ 0.20, 13.1° at μ 0.08");
    expect(text).toContain("the ramp alone would need 11.4°");
    expect(cells(printed, "V8", "What gives first").slice(1, 5)).toEqual([
      "0.08..0.20",
      "pins shear",
      "1210",
      "892",
    ]);
    expect(text).toContain("friction is known to ± 50 %");
    expect(text).toContain("a licensed engineer decide");
  });

  test("draws one small, well-formed sheet for all that differ in ramp and pins only, the same every time", async () => {
    expect(readdirSync(join(target, "release"))).toEqual(["v0.svg"]);
    const svg = readFileSync(join(target, "release/v0.svg"), "utf8");
    wellFormed(svg);
    expect(svg.length).toBeLessThan(100_000);
    for (const words of ["never lets go", "depends on friction", "pins shear at 1210", "31°: V7, V9"])
      expect(svg).toContain(words);
    const again = join(work.path, "release again");
    await notchwright(["release", DEMO, "--out", again]);
    expect(readFileSync(join(again, "release/v0.svg"), "utf8")).toBe(svg);
  });

  test("works without a steel, and hands out JSON", async () => {
    const file = work.file("bare.yaml", bareRing);
    const { code, out } = await notchwright(["release", file, "--only", "V1", "V2", "--json", "-"]);
    expect(code).toBe(0);
    const { format, units, variants } = JSON.parse(out);
    expect({ format, torque: units.torque }).toEqual({ format: "notchwright release", torque: "N·mm" });
    const [held, free] = variants;
    expect(held.overRun).toMatchObject({ verdict: "self-holding", clickOver: { low: null, high: null } });
    expect(free.overRun.verdict).toBe("lets go");
    // nothing known breaks: no number stands for it
    expect(free.overRun.value).toEqual({ low: null, high: null });
    // 9 and 34 N·m in the worked table
    expect(Math.round(free.overRun.clickOver.low / 1000)).toBe(9);
    expect(Math.round(free.overRun.clickOver.high / 1000)).toBe(34);
  });

  test("is refused where no variant says anything of over-running", async () => {
    const file = work.file("silent.yaml", HUB);
    const target = join(work.path, "silent");
    const { code, out, err } = await notchwright(["release", file, "--out", target]);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(/over-run: no variant has this section; add one/);
    expect(existsSync(target)).toBe(false);
  });
});

describe("a run", () => {
  const target = join(work.path, "run");
  let ended = { code: null as number | null, out: "", err: "" };
  // biome-ignore lint/suspicious/noExplicitAny: read back as any reader would
  let variants: any[] = [];

  beforeAll(async () => {
    ended = await notchwright(["run", work.file("ring.yaml", RING), "--out", target, "--no-maps"]);
    variants = JSON.parse(readFileSync(join(target, "results.json"), "utf8")).variants;
  });

  test("solves variants that differ in ramp and pins only once", () => {
    expect(ended.code).toBe(0);
    expect(readdirSync(join(target, ".notchwright/solved"))).toHaveLength(1);
    expect(ended.err.match(/, the same as V1/g)).toHaveLength(2);
    for (const one of variants) expect(one.capacity).toEqual(variants[0].capacity);
  });

  test("sets the root beside the pins, and keeps over-running out of what breaks first", () => {
    const block = ended.out.slice(
      ended.out.indexOf("Does it let go?"),
      ended.out.indexOf("Balance of torque"),
    );
    const [held, free, big] = variants.map(({ overRun }) => overRun);
    const governing = variants[0].capacity.modes.find(
      ({ id }: { id: string }) => id === variants[0].capacity.governing,
    );
    for (const one of [held, free, big])
      expect(one.root).toEqual({ mode: governing.id, torque: governing.torque, vouched: true });
    expect(held.value.low).toBeCloseTo(3 * ((Math.PI * 9) / 4) * 650 * 22, 3);
    expect(held.value.high).toBeCloseTo(3 * ((Math.PI * 9) / 4) * 750 * 22, 3);
    expect(free.value).toEqual(governing.torque);
    const csv = readFileSync(join(target, "summary.csv"), "utf8").split("\r\n");
    // in the table, in results.json and in summary.csv one word, which is not that of friction alone
    for (const [k, { overRun }] of variants.entries()) {
      expect(cells(block, `V${k + 1}`)).toContain(overRun.letsGo);
      expect(csv[k + 1]!.split(",")).toContain(overRun.letsGo);
    }
    expect(cells(block, "V1", "What gives first").slice(2, 5)).toEqual([
      "pins shear",
      "303–350",
      `root, ${governing.id}`,
    ]);
    expect(cells(block, "V2", "What gives first").slice(2, 4)).toEqual(["ring lets go", "8.62"]);
    expect(ended.out).not.toContain("The root is not counted");
  });

  test("judges ramp and pins anew when only they change, without solving again", async () => {
    const file = work.file("ring2.yaml", RING.replace("diameter: 3 mm", "diameter: 4 mm"));
    const again = await notchwright(["run", file, "--out", target, "--no-maps"]);
    expect(again.err.match(/kept from before/g)).toHaveLength(3);
    const [first] = JSON.parse(readFileSync(join(target, "results.json"), "utf8")).variants;
    expect(first.overRun.pins.low).toBeCloseTo(3 * ((Math.PI * 16) / 4) * 650 * 22, 3);
  });

  test("without a steel says that the root is not counted, and what a strength section is used for", async () => {
    const file = work.file("bare run.yaml", `${bareRing}strength: { shocks: 100 }\n`);
    const { code, out } = await notchwright(["run", file, "--out", join(work.path, "bare run"), "--no-maps"]);
    expect(code).toBe(0);
    expect(out).toContain("The root is not counted where no steel is named.");
    expect(out.replace(/\n +/g, " ")).toContain(
      "- all: its strength section is used for pins, springs and what holds the teeth together only: without a steel",
    );
  });

  test("margin and required torque hold for pins and drive flanks with a steel and without", async () => {
    // pins: 3 π 4²/4 · 700 MPa · 22 mm = 581 N·m, 1.94 times the 300 N·m; springs of 600 N at 12° less atan 0.08: 600 · 27.5 / tan 7.43° = 127 N·m
    const ring = (steel: string) => `part: Ring
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, drive flank angle: 12 deg, ramp angle: 5 deg, root radius: 0.4 mm, tip land: 3 mm }
load: { torque: 300 N m, teeth sharing: 50 % }
${steel}strength: { margin: 3, required torque: 400 N m }
over-run: { spring force: 600 N, friction: 0.08..0.12 }
pins: { count: 3, diameter: 4 mm, radius: 22 mm, shear strength: 700 MPa }
`;
    const [without, within] = await Promise.all(
      ["", "steel: { grade: 4340, hardness: 40 HRC }\n"].map((steel, k) =>
        notchwright(["release", work.file(`held ${k}.yaml`, ring(steel))]),
      ),
    );
    for (const { out } of [without!, within!]) {
      const words = out.replace(/\n +/g, " ");
      expect(words).toMatch(/pins shear +581 .* 1\.94 +no/);
      expect(words).toContain("they part at 127 N·m at μ 0.08");
      expect(words).toContain("must hold 400 N·m, 1200 N·m with its margin");
    }
  });

  test("of a face tooth solves the over-run flank too, whose root is another than the drive flank's", async () => {
    const face = work.file(
      "face.yaml",
      readFileSync("demo/orchard-ramp.yaml", "utf8").replace("report:", "answer: { accuracy: 5 % }\nreport:"),
    );
    const folder = join(work.path, "face");
    const { code } = await notchwright(["run", face, "--only", "V7", "--out", folder, "--no-maps"]);
    expect(code).toBe(0);
    const [one] = JSON.parse(readFileSync(join(folder, "results.json"), "utf8")).variants;
    const driven = one.capacity.modes.find(({ id }: { id: string }) => id === one.capacity.governing);
    expect(one.overRun.root.torque.low).not.toBeCloseTo(driven.torque.low, -3);
    // the same flank asked for by itself, under the highest friction of over-running
    const turned = work.file(
      "turned.yaml",
      readFileSync(face, "utf8")
        .replace("loaded flank: drive", "loaded flank: over-run")
        .replace(/^load:$/m, "load:\n  friction: 0.20"),
    );
    const other = join(work.path, "turned");
    await notchwright(["run", turned, "--only", "V7", "--out", other, "--no-maps"]);
    const [alone] = JSON.parse(readFileSync(join(other, "results.json"), "utf8")).variants;
    expect(alone.overRun.root).toEqual(one.overRun.root);
    expect(alone.capacity.governing).toBe(one.overRun.root.mode);
  });
});

describe("ramps and pins that cannot be right are refused before anything is written", () => {
  const rows: [claim: string, from: string, to: string, ...expected: RegExp[]][] = [
    [
      "a negative spring",
      "spring force: 160 N",
      "spring force: -160 N",
      /:\d+:\d+ over-run\.spring force: .*; use more than 0/,
    ],
    ["friction of nothing", "0.08..0.20", "0..0", /over-run\.friction: leaves no friction at all/],
    [
      "a band that runs downward",
      "0.08..0.20",
      "0.20..0.08",
      /over-run\.friction: .*runs downward; write 0?/,
    ],
    [
      "a spline without a ramp",
      "  ramp angle: 8 deg\n",
      "",
      /over-run\.ramp angle: missing: a spline has no ramp of its own/,
    ],
    [
      "pins that overlap",
      "count: 3, diameter: 3 mm",
      "count: 60, diameter: 3 mm",
      /pins\.diameter: 60 pins .* overlap .*; use less than 2\.302 mm/,
    ],
    [
      "pins outside the part",
      "radius: 22 mm",
      "radius: 30 mm",
      /pins\.radius: .*reach outside the part.*; use .* 26\.5 mm/,
    ],
    [
      "pins without over-run",
      RING.slice(RING.indexOf("over-run:"), RING.indexOf("pins:")),
      "",
      /pins: .*nothing is said of that.*; add a section "over-run:"/,
    ],
    [
      "a misspelt section",
      "over-run:\n",
      "overrun:\n",
      /overrun: unknown key "overrun"; did you mean "over-run"\?/,
    ],
    ["pins without a strength", ", shear strength: 650..750 MPa", "", /pins\.shear strength: missing/],
  ];
  test.for(rows)("%s", async ([claim, from, to, ...expected]) => {
    expect(RING).toContain(from);
    // V2's own ramp would hide the base's that is missing
    const text = RING.replace(from, to).replace(
      "  - name: V2\n    over-run: { ramp angle: 38 deg }\n",
      claim === "a negative spring" ? "  - name: V2\n    over-run: { ramp angle: 38 deg }\n" : "",
    );
    const file = work.file(`bad ${claim}.yaml`, text);
    const target = join(work.path, `bad ${claim}`);
    for (const command of ["run", "release"]) {
      const { code, out, err } = await notchwright([command, file, "--out", target]);
      expect({ code, out }).toEqual({ code: 2, out: "" });
      for (const pattern of expected) expect(err).toMatch(pattern);
      expect(err).not.toContain("fault in notchwright");
      expect(existsSync(target)).toBe(false);
    }
  });

  test("a ramp that contradicts the face tooth's own", async () => {
    const file = work.file(
      "contradiction.yaml",
      readFileSync("demo/orchard-ramp.yaml", "utf8").replace(
        "over-run: #",
        "over-run:\n  ramp angle: 12 deg #",
      ),
    );
    const { code, err } = await notchwright(["check", file]);
    expect(code).toBe(2);
    expect(err).toMatch(
      /over-run\.ramp angle: 12\.0° is not the tooth's own over-run flank, 8\.00°.*; leave it out/,
    );
  });
});

describe("check and list", () => {
  const file = work.file("listed.yaml", RING);

  test("list tells ramps and pins as they differ, check tells all of it before anything is solved", async () => {
    const listed = await notchwright(["list", file]);
    expect(listed.out).toMatch(/V2 +ramp angle 38\.0°\n/);
    expect(listed.out).toMatch(/V3 +pins 4 × Ø 5\.00 mm on R 22\.0 mm\n/);
    const checked = await notchwright(["check", file]);
    expect(checked.code).toBe(0);
    expect(checked.out).toContain("Does it let go?");
    expect(checked.out).toContain("over-run.spline radius");
    expect(checked.out).toContain("the part's own pitch radius");
  });
});

test("JSON says what is odd in the part file, as the text does", async () => {
  const odd = work.file("odd.yaml", RING.replace("mean radius: 27.5 mm", "mean radius: 30 mm"));
  const told = /the ramps stand outside the rim/;
  for (const [args, noticesOf] of [
    [["release", odd, "--json", "-"], ({ variants }: Told) => variants![0]!.notices],
    [["split", odd, "V1", "V3", "--json", "-"], ({ notices }: Told) => notices!],
  ] as const) {
    const { code, out } = await notchwright([...args]);
    expect(code).toBe(0);
    expect(noticesOf(JSON.parse(out))).toEqual([expect.stringMatching(new RegExp(told, "i"))]);
  }
});

interface Told {
  readonly variants?: readonly { readonly notices: readonly string[] }[];
  readonly notices?: readonly string[];
}

describe("split", () => {
  const target = join(work.path, "split");
  const file = work.file("split.yaml", RING);

  test("tells pins in over-running only, draws both load cases apart, and hands out JSON", async () => {
    const json = join(work.path, "split.json");
    const { code, out, err } = await notchwright([
      "split",
      file,
      "V1",
      "V3",
      "--out",
      target,
      "--json",
      json,
    ]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toContain("not split, they differ in nothing that bears on it");
    expect(out).toContain("No part in it: pins.");
    const { drive, overRun, format, notices } = JSON.parse(readFileSync(json, "utf8"));
    expect(format).toBe("notchwright split");
    expect(drive).toMatchObject({ changes: null, apart: ["pins"] });
    expect(notices).toEqual([]);
    // 4 × 25 / (3 × 9) of the pins' torque, as long as the root stands more
    expect(overRun.before.low).toBeCloseTo(3 * ((Math.PI * 9) / 4) * 650 * 22, 3);
    expect(overRun.after.low).toBeCloseTo(Math.min(4 * ((Math.PI * 25) / 4) * 650 * 22, Infinity), 3);
    expect(overRun.changes[0].fair).toEqual(overRun.total);
    const svg = readFileSync(join(target, "changes/v1-to-v3-over-run.svg"), "utf8");
    wellFormed(svg);
    expect(svg).toContain("What each change bought in over-running");
    expect(existsSync(join(target, "changes/v1-to-v3.svg"))).toBe(false);
  });

  // pins set against no root at one end and against a root at the other had told a loss as a gain
  test("is not split where the root of one is known and of the other not, and tells each as run does", async () => {
    const one = work.file(
      "one-steel.yaml",
      `${bareRing}  - name: V4
    steel: { grade: 4340, hardness: 38..42 HRC }
    strength: { flaw depth: 0.3 mm }
    pins: { count: 12, diameter: 5 mm, shear planes: 2 }
`,
    );
    const told = async (from: string, to: string) =>
      JSON.parse((await notchwright(["split", one, from, to, "--json", "-"])).out).overRun;
    const [there, back] = [await told("V1", "V4"), await told("V4", "V1")];
    for (const overRun of [there, back]) {
      expect(overRun.changes).toBe(null);
      expect(overRun.why).toBe(
        '"V1" names no steel: nothing is known of its root, and that of the other may give first',
      );
    }
    const out = join(work.path, "one-steel");
    await notchwright(["run", one, "--out", out, "--no-maps"]);
    const run = JSON.parse(readFileSync(join(out, "results.json"), "utf8"));
    const [v1, v4] = ["V1", "V4"].map(
      (name) =>
        run.variants.find((one: { design: { variant: string } }) => one.design.variant === name).overRun
          .letsGo,
    );
    expect(there.letsGo).toMatchObject({ before: v1, after: v4 });
    expect(back.letsGo).toMatchObject({ before: v4, after: v1 });
  });

  test("nor where over-running cannot load what lies between two that it can", async () => {
    const file = work.file(
      "mix.yaml",
      `part: Only a mix is uncut
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, ramp angle: 8 deg,
  drive root radius: 0.3 mm, over-run root radius: 2 mm, contact: { from: 2.6 mm, to: 4 mm }, ring: kept flat }
load: { torque: 300 N m }
steel: { grade: 4340, hardness: 38..42 HRC }
over-run: { spring force: 900 N, friction: 0.16..0.2, torque: 7000 N m }
pins: { count: 6, diameter: 12 mm, radius: 18 mm, tensile strength: 1300 MPa }
answer: { accuracy: 5 % }
variants:
  - name: A
  - name: B
    profile: { contact: { from: 0.3 mm, to: 0.7 mm }, drive root radius: 0.2 mm, over-run root radius: 0.2 mm }
    pins: { diameter: 13 mm }
`,
    );
    const { overRun } = JSON.parse((await notchwright(["split", file, "A", "B", "--json", "-"])).out);
    expect(overRun.changes).toBe(null);
    expect(overRun.why).toMatch(
      /^with tooth shape and contact changed and root radius.* left, profile.over-run root radius: 2 mm does not fit/,
    );
  });

  // the contact given lies wholly within the over-run fillet: nothing of that flank can be loaded, the drive flank can
  test("splits drive, and over-running without its root, where the over-run flank cannot be loaded", async () => {
    const file = work.file(
      "within-fillet.yaml",
      `part: Face teeth, contact near the root
profile: { kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, back-cut: 2 deg, ramp angle: 8 deg,
  drive root radius: 0.2 mm, over-run root radius: 1 mm, ring: kept flat, contact: { from: 0.3 mm, to: 0.7 mm } }
load: { torque: 690 N m }
steel: { grade: 4340, hardness: 38..42 HRC }
over-run: { spring force: 160 N, friction: 0.15, spline radius: 17 mm, spline pressure angle: 30 deg }
pins: { count: 3, diameter: 3 mm, radius: 22 mm, shear strength: 650 MPa }
variants:
  - name: V1
    profile: { face width: 4.5 mm }
  - name: V2
    profile: { face width: 9 mm }
    pins: { diameter: 4 mm }
`,
    );
    const { code, out } = await notchwright(["split", file, "V1", "V2", "--json", "-"]);
    expect(code).toBe(0);
    const { drive, overRun } = JSON.parse(out);
    // all that stands grows with the face width
    expect(drive.after.low / drive.before.low).toBeCloseTo(2, 6);
    // n τ R π d²/4
    expect(overRun.before.low).toBeCloseTo(3 * 650 * 22 * ((Math.PI * 9) / 4), 3);
    expect(overRun.after.low).toBeCloseTo(3 * 650 * 22 * ((Math.PI * 16) / 4), 3);
    expect(overRun.apart).toEqual(["face width"]);
    expect(overRun.notes.join()).toMatch(
      /^The over-run flank of "V1" cannot be loaded \(profile.over-run root radius: 1 mm does not fit.*: nothing is known of the roots/,
    );
  });

  test("asks whether the ring lets go under the second variant's torque, and when they differ in that alone", async () => {
    const torques = work.file(
      "torques.yaml",
      RING.replace(
        "variants:",
        "variants:\n  - name: T0\n    over-run: { ramp angle: 38 deg, torque: 2000 N m }\n  - name: T1\n    over-run: { ramp angle: 38 deg, torque: 5 N m, spring force: 150 N }\n  - name: T2\n    over-run: { ramp angle: 38 deg, torque: 5 N m }",
      ),
    );
    const out = async (...names: string[]) => (await notchwright(["split", torques, ...names])).out;
    expect(await out("T0", "T1")).toContain(
      "Does the ring let go under 5.00 N·m? T0 and T1 alike: not at its torque.",
    );
    expect(await out("T1", "T0")).toMatch(/Does the ring let go under 2000 N·m\? T1 and T0 alike: lets go/);
    expect(await out("T0", "T2")).toMatch(/Does the ring let go\? T0: lets go; T2: not at its torque\./);
  });

  test("shares out the demo's changes in both load cases, and each adds up", async () => {
    const { code, out } = await notchwright(["split", DEMO, "V0", "V10", "--json", "-"]);
    expect(code).toBe(0);
    const { drive, overRun } = JSON.parse(out);
    expect(drive.apart).toEqual(["ramp angle", "pins"]);
    expect(overRun.changes.map(({ id }: { id: string }) => id).sort()).toEqual([
      "face width",
      "hardness",
      "pins",
      "ramp angle",
      "root radius",
    ]);
    for (const one of [drive, overRun]) {
      // the effect of weak pins may be more than that of strong ones: ends change places, middles add up
      const middle = ({ low, high }: { low: number; high: number }) => (low + high) / 2;
      const sum = one.changes.reduce(
        (s: number, { fair }: { fair: { low: number; high: number } }) => s + middle(fair),
        0,
      );
      expect(sum).toBeCloseTo(middle(one.total), 2);
    }
  });

  test("without a steel works from the pins alone, or says why not", async () => {
    const bare = work.file("split bare.yaml", bareRing);
    const pins = await notchwright(["split", bare, "V1", "V3"]);
    expect(pins.code).toBe(0);
    expect(pins.out).toContain("not split, no steel is named");
    expect(pins.out).toMatch(/pins +\+\d+/);
    const ramp = await notchwright(["split", bare, "V1", "V2"]);
    expect(ramp.code).toBe(0);
    expect(ramp.out.replace(/\n */g, " ")).toContain(
      "not split, with ramp angle changed nothing known breaks: the ring lets go",
    );
    const none = work.file("split none.yaml", HUB.replace(/steel:\n(?: .*\n)+/, ""));
    const refused = await notchwright(["split", none, "V1", "V2"]);
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/steel: variant "V1" of .* names none; give a grade/);
  });
});

describe("JSON of window and need", () => {
  const file = work.file("asked.yaml", HUB);

  test("says what the words say", async () => {
    const json = join(work.path, "window.json");
    const { code, out } = await notchwright(["window", file, "--only", "V1", "--json", json]);
    expect(code).toBe(0);
    const { format, windows } = JSON.parse(readFileSync(json, "utf8"));
    expect(format).toBe("notchwright hardness windows");
    expect(windows).toHaveLength(1);
    expect(windows[0].variants).toEqual([{ variant: "V1", hardness: [38, 42] }]);
    const [from, to] = windows[0].aim;
    expect(out).toContain(`Order ${from.toFixed(1)}–${to.toFixed(1)} HRC`);
    const need = await notchwright(["need", file, "V1", "--json", "-"]);
    const { needs } = JSON.parse(need.out);
    expect(needs[0]).toMatchObject({ variant: "V1", required: 1_242_000, margin: 1 });
    expect(needs[0].hardness.order).toEqual(windows[0].aim);
    expect(needs[0].largestTorque.margin).toBeGreaterThanOrEqual(1);
    expect(needs[0].smallestRootRadius.words).toMatch(/margin/);
  });

  test("holds no key that docs/results.md does not name", async () => {
    const section = readFileSync("docs/results.md", "utf8").split("## JSON of the other commands")[1]!;
    const ring = work.file("keys.yaml", RING);
    const asked = [
      ["window", ring, "--only", "V1"],
      ["need", ring, "V1"],
      ["split", ring, "V1", "V3"],
      ["release", ring],
    ];
    for (const words of asked) {
      const { out } = await notchwright([...words, "--json", "-"]);
      const { format, version, program, units, files, ...body } = JSON.parse(out);
      expect(section).toContain(`\`${format}\``);
      expect({ version, files, program, length: units.length }).toMatchObject({ version: 1, files: [ring] });
      // the first of every list stands for all
      const first = Object.values(body).find(Array.isArray)?.[0] ?? {};
      for (const record of [body, first, body.overRun ?? {}])
        for (const key of Object.keys(record)) expect(section, key).toMatch(new RegExp(`[\`.]${key}\\b`));
    }
  });

  test.each(["window", "need", "split", "release"])(
    "%s replaces no file of another kind",
    async (command) => {
      const theirs = work.file("theirs.json", '{"format":"somebody else\'s"}');
      const ring = work.file("ring json.yaml", RING);
      const names = { window: [], release: [], need: ["V1"], split: ["V1", "V2"] }[command]!;
      const { code, err } = await notchwright([command, ring, ...names, "--json", theirs]);
      expect(code).toBe(2);
      expect(err).toMatch(/--json: ".*theirs\.json" is there already and holds something else; choose/);
      expect(readFileSync(theirs, "utf8")).toContain("somebody else");
    },
  );
});

describe("names that mean mischief", () => {
  test("reach chart, page and terminal as text alone", async () => {
    const file = work.file(
      "mischief.yaml",
      RING.replace("part: Test hub", 'part: "A & B \\"</text><script>alert(1)</script>"').replace(
        "name: V2",
        "name: \"V2 & 'x' ]]\"",
      ),
    );
    const target = join(work.path, "mischief");
    expect((await notchwright(["run", file, "--out", target])).code).toBe(0);
    expect((await notchwright(["release", file, "--out", target])).code).toBe(0);
    expect((await notchwright(["split", file, "V1", "V2 & 'x' ]]", "--out", target])).code).toBe(0);
    for (const name of [
      "release/v1.svg",
      "changes/v1-to-v2-x-over-run.svg",
      "maps/v1.svg",
      "maps/v2-x.svg",
    ]) {
      const svg = readFileSync(join(target, name), "utf8");
      wellFormed(svg);
      expect(svg).not.toContain("<script>alert");
      expect(svg).toContain("A &amp; B");
    }
    const page = readFileSync(join(target, "index.html"), "utf8");
    expect(page).not.toContain("<script");
    expect(page).toContain("Does it let go?");
    expect(page).toContain("V2 &amp; &#39;x&#39;");
  });
});
