import { existsSync, mkdirSync, readdirSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { type Ended, HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
let count = 0;

/** Runs a part file that cannot be right; whatever it holds, these promises stand. */
async function refused(text: string, given = ""): Promise<string> {
  const name = given || `bad${count++}.yaml`;
  const file = work.file(name, text);
  const target = join(work.path, `out-${name}`);
  const ended = await notchwright(["run", file, "--out", target]);
  expectRefusal(ended);
  expect(existsSync(target)).toBe(false);
  return ended.err.replaceAll(file, name);
}

function expectRefusal({ code, out, err }: Ended): void {
  expect(err).not.toMatch(/^\s+at /m);
  expect(err).not.toContain("fault in notchwright");
  expect({ code, out }).toEqual({ code: 2, out: "" });
  // every fault is a line of its own that says what to do after a semicolon
  for (const line of err.split("\n").filter((text) => text.startsWith("notchwright:"))) {
    expect(line).toMatch(/; \S/);
  }
}

/** HUB with one line of it changed. */
function hub(from: string, to: string): string {
  expect(HUB).toContain(from);
  return HUB.replace(from, to);
}

const PLACE = (name: string, line: number, column: number) => `${name}:${line}:${column} `;

describe("a part file that cannot be right is refused with place, key and remedy, and nothing is written", () => {
  const rows: [claim: string, text: string, ...expected: (string | RegExp)[]][] = [
    ["no YAML", "part: [unclosed\nprofile: }", /:\d+:\d+ /],
    ["an empty file", "", "bad.yaml:1:1", "empty", "notchwright start"],
    ["only a comment", "# nothing\n", "bad.yaml:1:1", "empty"],
    ["a list, not keys", "- 1\n- 2\n", "bad.yaml:1:1"],
    [
      "an unknown key",
      hub("root radius: 0.4", "root radus: 0.4"),
      "bad.yaml:11:3",
      'did you mean "root radius"',
    ],
    ["an unknown section", hub("load:", "laod:"), "bad.yaml:13:1", 'did you mean "load"'],
    ["a missing key", hub("  face width: 16 mm\n", ""), "bad.yaml:2:1", "profile.face width", "missing"],
    ["a missing section", HUB.replace(/load:\n(?: .*\n)+/, ""), "load: missing"],
    [
      "a force for a length",
      hub("face width: 16 mm", "face width: 16 N"),
      "bad.yaml:12:15",
      "face width",
      /length/,
    ],
    [
      "a length without unit",
      hub("face width: 16 mm", "face width: 16"),
      "bad.yaml:12:15",
      "face width",
      /mm/,
    ],
    [
      "a negative radius",
      hub("root radius: 0.4 mm", "root radius: -0.4 mm"),
      "bad.yaml:11:16",
      "root radius",
    ],
    ["a width of zero", hub("face width: 16 mm", "face width: 0 mm"), "bad.yaml:12:15", "face width"],
    ["not a number", hub("torque: 690 N m", "torque: .nan"), "bad.yaml:14:11", "torque"],
    ["an infinite torque", hub("torque: 690 N m", "torque: .inf"), "bad.yaml:14:11", "torque"],
    ["a huge exponent", hub("torque: 690 N m", "torque: 1e999 N m"), "bad.yaml:14:11", "torque"],
    [
      "a fillet too large",
      hub("root radius: 0.4 mm", "root radius: 3 mm"),
      "bad.yaml:11:16",
      "root radius",
      /use \d\.\d+ mm or less/,
    ],
    [
      "a root beyond the rim",
      hub("rim diameter: 56 mm", "rim diameter: 36 mm"),
      /bad\.yaml:\d+:\d+/,
      /rim|root diameter/,
    ],
    [
      "teeth that cross",
      hub("tip diameter: 32.4 mm", "tip diameter: 32.4 mm\n  tooth thickness: 6 mm"),
      /bad\.yaml:\d+:\d+/,
      "neighbouring teeth meet",
    ],
    [
      "a contact band off the flank",
      hub("face width: 16 mm", "face width: 16 mm\n  contact: { from: 20 mm, to: 60 mm }"),
      "bad.yaml:13:",
      "contact",
    ],
    ["a hardness beyond the data", hub("38..42 HRC", "80..90 HRC"), "bad.yaml:19:13", "hardness"],
    ["an unknown steel", hub("grade: 4340", "grade: 4343"), "bad.yaml:18:10", "grade", /4340/],
    ["no teeth", hub("teeth: 17", "teeth: 0"), "bad.yaml:4:10", "teeth"],
    ["one tooth", hub("teeth: 17", "teeth: 1"), "bad.yaml:4:10", "teeth"],
    ["a hundred thousand teeth", hub("teeth: 17", "teeth: 100000"), "bad.yaml:4:10", "teeth"],
    ["half a tooth", hub("teeth: 17", "teeth: 17.5"), "bad.yaml:4:10", "teeth"],
    ["two variants of one name", hub("name: V2", "name: V1"), "bad.yaml:23:11", "V1", "name of its own"],
    ["a name with a slash", hub("name: V2", "name: ../V2"), "bad.yaml:23:11", "name"],
    ["a name with markup", hub("name: V2", 'name: "<script>"'), "bad.yaml:23:11", "name", "<script>"],
    ["a name of dots", hub("name: V2", 'name: ".."'), "bad.yaml:23:11", "name"],
    ["a name over two lines", hub("name: V2", 'name: "V2\\nV3"'), "bad.yaml:23:11", "name"],
    ["a name of 300 letters", hub("name: V2", `name: ${"x".repeat(300)}`), "bad.yaml:23:11", "300"],
    ["a name of spaces", hub("name: V2", 'name: "   "'), "bad.yaml:23:11", "name"],
    ["a name with an escape sequence", hub("name: V2", 'name: "\\e[31mred"'), "bad.yaml:23:11", "name"],
    [
      "a sweep beyond the limit",
      `${HUB}sweep:\n${["root radius", "face width", "rim diameter"].map((key) => `  profile.${key}: [${Array.from({ length: 40 }, (_, k) => `${(key === "root radius" ? 0.1 : 50) + k / 100} mm`).join(", ")}]\n`).join("")}`,
      "64,000",
      /bad\.yaml:\d+:\d+ sweep/,
    ],
    ["aliases that explode", bomb(), /bad\.yaml:\d+:\d+/],
    ["nesting without end", `part: ${"[".repeat(20000)}`, /bad\.yaml:\d+:\d+/],
    ["two documents", `${HUB}---\n${HUB}`, /bad\.yaml:\d+:\d+/],
    ["a key given twice", hub("module: 2 mm", "module: 2 mm\n  module: 3 mm"), "bad.yaml:6:3"],
  ];
  test.for(rows)("%s", async ([, text, ...expected]) => {
    const err = (await refused(text)).replace(/bad\d+\.yaml/g, "bad.yaml");
    for (const part of expected) {
      if (typeof part === "string") expect(err).toContain(part);
      else expect(err).toMatch(part);
    }
  });

  /** A thousand million strings from a few lines. */
  function bomb(): string {
    let text = 'a0: &a0 ["x", "x"]\n';
    for (let k = 1; k < 30; k++)
      text += `a${k}: &a${k} [${Array(9)
        .fill(`*a${k - 1}`)
        .join(", ")}]\n`;
    return text;
  }

  test("two files whose results could not be told apart", async () => {
    const files = ["a.yaml", "b.yaml"].map((name) => work.file(name, HUB));
    const ended = await notchwright(["run", ...files, "--out", join(work.path, "twins")]);
    expectRefusal(ended);
    const { err } = ended;
    expect(err).toContain('variant "V1" of part "Test hub" has the names of one in');
    expect(err).toContain("give this file's part another name");
  });

  test("all faults of all files at once", async () => {
    const one = work.file(
      "one.yaml",
      hub("grade: 4340", "grade: 4343").replace("face width: 16 mm", "face width: 16 N"),
    );
    const two = work.file("two.yaml", hub("root radius: 0.4 mm", "root radius: 3 mm"));
    const target = join(work.path, "out-all");
    const ended = await notchwright([
      "run",
      one,
      two,
      join(work.path, "three.yaml"),
      "--out",
      target,
      "--workers",
      "0",
    ]);
    expectRefusal(ended);
    expect(ended.err).toContain(PLACE(one, 18, 10));
    expect(ended.err).toContain(PLACE(one, 12, 15));
    expect(ended.err).toContain(PLACE(two, 11, 16));
    expect(ended.err).toContain("three.yaml: no such file");
    expect(ended.err).toContain("--workers");
    expect(ended.err).toMatch(/^5 faults; nothing was solved or written\.$/m);
    expect(existsSync(target)).toBe(false);
  });

  test("50 MB, without reading it", async () => {
    const file = work.file("large.yaml", "");
    truncateSync(file, 50_000_000);
    const ended = await notchwright(["run", file, "--out", join(work.path, "out-large")]);
    expectRefusal(ended);
    expect(ended.err).toContain("large.yaml:1:1 the file holds 50,000,000 bytes");
  });

  test("a folder, a file that is not there, bytes that are no text", async () => {
    writeFileSync(join(work.path, "latin.yaml"), Uint8Array.of(0x70, 0xd8));
    const ended = await notchwright([
      "run",
      work.path,
      join(work.path, "absent.yaml"),
      join(work.path, "latin.yaml"),
      "--out",
      join(work.path, "out-none"),
    ]);
    expectRefusal(ended);
    expect(ended.err).toContain(`${work.path}: is a folder`);
    expect(ended.err).toContain("absent.yaml: no such file");
    expect(ended.err).toContain("latin.yaml:1:1 the file is not UTF-8 text");
  });
});

describe("an output folder that is not ours to write into is refused before anything is solved", () => {
  const file = work.file("hub.yaml", HUB);
  const refusedFolder = async (target: string, ...options: string[]) => {
    const ended = await notchwright(["run", file, "--out", target, ...options]);
    expectRefusal(ended);
    return ended.err;
  };

  test("someone else's files in it", async () => {
    const target = join(work.path, "theirs");
    mkdirSync(target);
    writeFileSync(join(target, "thesis.docx"), "ten years of work");
    const err = await refusedFolder(target);
    expect(err).toContain('"thesis.docx"');
    expect(err).toContain("--into-existing");
    expect(readdirSync(target)).toEqual(["thesis.docx"]);
  });

  test("someone else's file of the very name, even when asked into an existing folder", async () => {
    const target = join(work.path, "theirs-too");
    mkdirSync(target);
    writeFileSync(join(target, "summary.csv"), "my own summary");
    expect(await refusedFolder(target, "--into-existing")).toContain('"summary.csv" is in the way');
    expect(readdirSync(target)).toEqual(["summary.csv"]);
  });

  test("a file, a path through a file, a place where no folder can be made", async () => {
    expect(await refusedFolder(file)).toContain("is a file");
    expect(await refusedFolder(join(file, "out"))).toContain("--out");
    expect(await refusedFolder("/proc/no/such/place")).toContain("--out");
    expect(await refusedFolder("")).toContain("names no folder");
  });
});

describe("a command line that cannot be right is refused with the nearest word", () => {
  const rows: [string[], string | RegExp][] = [
    [["rnu"], "did you mean run"],
    [["hub.yaml"], "did you mean notchwright run hub.yaml"],
    [["run"], /missing required argument/],
    [["run", "hub.yaml"], /--out/],
    [["run", "hub.yaml", "--ot", "x"], "did you mean --out"],
    [["list", "--help-me"], /unknown option/],
    [["start", "internal-splin"], "did you mean internal-spline"],
    [["start", "hub.yaml"], "--file hub.yaml"],
  ];
  test.for(rows)("%s", async ([words, expected]) => {
    const { code, out, err } = await notchwright(words, { cwd: work.path });
    expect({ code, out }).toEqual({ code: 2, out: "" });
    if (typeof expected === "string") expect(err).toContain(expected);
    else expect(err).toMatch(expected);
  });

  test("names and numbers", async () => {
    const file = work.file("names.yaml", HUB);
    const ended = await notchwright([
      "run",
      file,
      "--out",
      join(work.path, "out-names"),
      "--only",
      "V1",
      "v22",
      "--compare",
      "V3",
      "--accuracy",
      "five",
      "--workers",
      "-1",
      "--most-unknowns",
      "1.5",
    ]);
    expectRefusal(ended);
    for (const part of [
      'no variant is called "v22"',
      "--accuracy",
      "--workers",
      "--most-unknowns",
      '--compare: "V3" is not among the variants that --only names',
    ])
      expect(ended.err).toContain(part);
  });
});
