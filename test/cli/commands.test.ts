import { spawn, spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { HUB, notchwright, PROGRAM, workFolder } from "./command.ts";

const work = workFolder();
const hub = work.file("hub.yaml", HUB);

describe("notchwright list", () => {
  test("tells how each variant differs from the one it is compared with", async () => {
    const { code, out } = await notchwright(["list", hub]);
    expect(code).toBe(0);
    expect(out).toContain("Test hub: 3 variants");
    expect(out).toMatch(/^ {2}V2 +root radius 0\.600 mm$/m);
    expect(out).toMatch(/^ {2}V3 +face width 21\.0 mm$/m);
  });

  test("multiplies a sweep out", async () => {
    const swept = `${HUB}sweep:\n  profile.root radius: [0.2 mm, 0.3 mm]\n  load.torque: [500 N m, 600 N m, 690 N m]\n`;
    const { code, out } = await notchwright(["list", "-"], { input: swept });
    expect(code).toBe(0);
    expect(out).toContain("9 variants in standard input");
    expect(out.split("\n").filter((line) => line.includes("torque 600 N·m"))).toHaveLength(2);
  });

  test("ends quietly when its reader goes away", async () => {
    const values = Array.from({ length: 2000 }, (_, k) => `${500 + k / 10} N m`).join(", ");
    const file = work.file("long.yaml", `${HUB}sweep:\n  load.torque: [${values}]\n`);
    const err = await new Promise<string>((resolve, reject) => {
      const child = spawn("sh", ["-c", `"${process.execPath}" "${PROGRAM}" list "${file}" | head -1`]);
      let text = "";
      child.stderr.on("data", (piece) => {
        text += piece;
      });
      child.on("error", reject).on("close", () => resolve(text));
    });
    expect(err).toBe("");
  });
});

// the device that is always full is Linux's
test.runIf(existsSync("/dev/full"))(
  "output that finds no room is told, and is no fault of the program's",
  () => {
    const { status, stderr } = spawnSync(
      "sh",
      ["-c", '"$0" "$1" list "$2" > /dev/full', process.execPath, PROGRAM, hub],
      {
        encoding: "utf8",
      },
    );
    expect([status, stderr]).toEqual([
      1,
      "notchwright: what it prints cannot be written: the disk is full\n",
    ]);
  },
);

describe("notchwright check", () => {
  test("tells what fits, the steel's band, and what was taken by default, without solving", async () => {
    const { code, out } = await notchwright(["check", hub]);
    expect(code).toBe(0);
    for (const part of [
      "largest that fits",
      "unknowns at first",
      "4340, 38..42 HRC: yield",
      "Taken by default",
    ])
      expect(out).toContain(part);
  });
});

describe("the largest radius that check tells", () => {
  test.for(["internal-spline", "external-spline", "face-tooth"])(
    "is accepted as it is printed: %s",
    async (kind) => {
      const { out: text } = await notchwright(["start", kind, "--file", "-"]);
      const told = await notchwright(["check", work.file(`shown-${kind}.yaml`, text)]);
      const row = /^ {2}.*?([\d.]+ mm)(?: loaded, ([\d.]+ mm) other)? +[\d.]+ mm +\d/m.exec(
        told.out.slice(told.out.indexOf("Geometry")),
      )!;
      expect(row[1]).toMatch(/^\d/);
      const key = kind === "face-tooth" ? "drive root radius" : "root radius";
      const asked = `${text.replace(/^variants:[\s\S]*$/m, "")}\nvariants:\n  - { name: largest, profile: { ${key}: ${row[1]} } }\n`;
      const { code, err } = await notchwright(["check", work.file(`largest-${kind}.yaml`, asked)]);
      expect([code, err]).toEqual([0, ""]);
    },
  );
});

describe("notchwright start", () => {
  test.for(["internal-spline", "external-spline", "face-tooth"])(
    "%s writes a part file that checks without fault",
    async (kind) => {
      const file = join(work.path, `${kind}.yaml`);
      const { code, out } = await notchwright(["start", kind, "--file", file]);
      expect(code).toBe(0);
      expect(out).toContain(`notchwright run ${file}`);
      expect(readPart(readFileSync(file, "utf8"), file).designs.length).toBeGreaterThan(0);
      expect((await notchwright(["check", file])).code).toBe(0);
    },
  );

  test("prints to standard output when asked to, and never writes over a file", async () => {
    const printed = await notchwright(["start", "--file", "-"], { cwd: work.path });
    expect(readPart(printed.out, "printed").designs.length).toBeGreaterThan(0);
    expect(existsSync(join(work.path, "-"))).toBe(false);
    const again = await notchwright(["start", "--file", hub]);
    expect(again.code).toBe(2);
    expect(again.err).toContain("is there already; choose another name with --file");
    expect(readFileSync(hub, "utf8")).toBe(HUB);
  });
});

describe("notchwright schema", () => {
  test("prints the schema that is handed out with the documents", async () => {
    const { code, out } = await notchwright(["schema"]);
    expect(code).toBe(0);
    const published = readFileSync(new URL("../../docs/part-file.schema.json", import.meta.url), "utf8");
    expect(JSON.parse(out)).toEqual(JSON.parse(published));
  });
});

describe("help", () => {
  test("alone it is short; every command's own has an example that names the command", async () => {
    const { code, out } = await notchwright([]);
    expect(code).toBe(0);
    expect(out.split("\n").length).toBeLessThan(10);
    const whole = await notchwright(["--help"]);
    const commands = [...whole.out.matchAll(/^ {2}(\w+) [[<]/gm)].map(([, name]) => name!);
    expect(commands).toEqual(expect.arrayContaining(["run", "check", "list", "start"]));
    for (const name of ["run", "check", "list", "start", "schema"]) {
      const help = await notchwright([name, "--help"]);
      expect(help.code).toBe(0);
      expect(help.out).toMatch(new RegExp(`Examples?:\\n {2}notchwright ${name}`));
    }
  });

  test("of a command that is not there is refused, with those that are", async () => {
    const { code, out, err } = await notchwright(["help", "nosuch"]);
    expect(code).toBe(2);
    expect(out).toBe("");
    expect(err).toContain('there is no command "nosuch"; the commands are run, check,');
  });

  test("a file that an option took for a name is told", async () => {
    const { code, err } = await notchwright(["run", "--only", "V1", hub]);
    expect(code).toBe(2);
    expect(err).toContain(
      "missing required argument 'part.yaml' (--only took the file for a name: put the file before it)",
    );
  });

  test("--version prints the version of the package", async () => {
    const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));
    expect((await notchwright(["--version"])).out).toBe(`${version}\n`);
  });
});

describe("a fault of our own", () => {
  test("is one line without a trace, and a trace only for whoever asks", async () => {
    // a broken promise of the surroundings: nothing can be hashed
    const broken = work.file(
      "broken.mjs",
      `import crypto from "node:crypto"; import { syncBuiltinESMExports } from "node:module";
       crypto.createHash = () => { throw new RangeError("broken on purpose"); }; syncBuiltinESMExports();`,
    );
    const target = join(work.path, "own");
    const args = ["run", hub, "--out", target, "--only", "V1", "--no-maps"];
    expect((await notchwright(args)).code).toBe(0);
    const env = { NODE_OPTIONS: `--import ${broken}` };
    const plain = await notchwright(args, { env });
    expect(plain.code).toBe(70);
    expect(plain.err).toContain("this is a fault in notchwright, not in your part file: broken on purpose");
    expect(plain.err).not.toMatch(/^\s+at /m);
    const traced = await notchwright(args, { env: { ...env, NOTCHWRIGHT_TRACE: "1" } });
    expect(traced.err).toMatch(/^\s+at /m);
  });
});
