import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
const hub = work.file("hub.yaml", HUB);

interface Results {
  readonly variants: readonly Record<string, unknown>[];
}
const resultsIn = (folder: string) =>
  JSON.parse(readFileSync(join(folder, "results.json"), "utf8")) as Results;
const kept = (err: string) => err.match(/kept from before/g)?.length ?? 0;

describe("notchwright run", () => {
  const folder = join(work.path, "out", "hub");

  test("writes results, summary, maps, sheet and page, and prints table, balance and cautions", async () => {
    const { code, out, err } = await notchwright(["run", hub, "--out", folder]);
    expect(code).toBe(0);
    expect(readdirSync(folder).sort()).toEqual([
      ".notchwright",
      "comparison.svg",
      "index.html",
      "maps",
      "results.json",
      "summary.csv",
    ]);
    expect(readdirSync(join(folder, "maps")).sort()).toEqual(["v1.svg", "v2.svg", "v3.svg"]);
    expect(resultsIn(folder).variants).toHaveLength(3);
    for (const heading of ["Taken by default", "von Mises", "Balance of torque", "Cautions", "Written to"]) {
      expect(out).toContain(heading);
    }
    // not a terminal: plain lines, no control characters
    expect(err).toMatch(/^3\/3 {2}V\d: root \d+ MPa/m);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: there must be none
    expect(out + err).not.toMatch(/\u001b|\r/);
    expect(readFileSync(join(folder, "index.html"), "utf8")).toContain('src="maps/v2.svg"');
    expect(readdirSync(join(folder, ".notchwright"))).not.toContain("running");
  });

  test("applied torque is answered by the reaction, by the printed figures themselves", async () => {
    const { out } = await notchwright(["run", hub, "--out", folder]);
    // 690 N m × 1.8 on half of 17 teeth
    const rows = [...out.matchAll(/^ {2}one tooth +(\S+) N·m +-(\S+) N·m +(\S+) +all$/gm)];
    expect(rows).toHaveLength(1);
    for (const [, applied, reaction, residual] of rows) {
      expect(Number(applied)).toBeCloseTo((690 * 1.8) / 8.5, 0);
      expect(reaction).toBe(applied);
      expect(Number(residual)).toBeLessThan(1e-9);
    }
  });

  test("keeps what did not change, solves what did, and gives the same files", async () => {
    const before = readFileSync(join(folder, "results.json"), "utf8");
    const again = await notchwright(["run", hub, "--out", folder]);
    expect(again.code).toBe(0);
    expect(kept(again.err)).toBe(3);
    expect(readFileSync(join(folder, "results.json"), "utf8")).toBe(before);

    writeFileSync(hub, HUB.replace("root radius: 0.6 mm", "root radius: 0.7 mm"));
    const changed = await notchwright(["run", hub, "--out", folder]);
    expect(kept(changed.err)).toBe(2);
    expect(changed.err).toMatch(/V2: root .* \d+\.\d s$/m);

    // a new name, note or hardness changes no stress
    writeFileSync(hub, HUB.replace("name: V3", "name: V3 wide\n    note: wider").replace("38..42", "40..42"));
    const renamed = await notchwright(["run", hub, "--out", folder, "--only", "V1", "V3 wide"]);
    expect(renamed.code).toBe(0);
    expect(kept(renamed.err)).toBe(2);
    expect(renamed.out).toContain("V3 wide");
    expect(readdirSync(join(folder, "maps")).sort()).toEqual(["v1.svg", "v3-wide.svg"]);

    writeFileSync(hub, HUB);
    const fresh = await notchwright(["run", hub, "--out", folder, "--fresh", "--only", "V1"]);
    expect(kept(fresh.err)).toBe(0);
    // asking for one variant forgets no other
    const whole = await notchwright(["run", hub, "--out", folder]);
    expect(kept(whole.err)).toBe(2);
  });

  test("an answer taken over from another hardness is the answer that hardness gets alone", async () => {
    const harder = "  - name: V4\n    steel: { hardness: 33..36 HRC }\n";
    const record = async (name: string, text: string) => {
      const target = join(work.path, name);
      const file = work.file(`${name}.yaml`, text);
      const { code, err } = await notchwright([
        "run",
        file,
        "--out",
        target,
        "--no-maps",
        "--only",
        "V4",
        "V1",
      ]);
      expect(code).toBe(0);
      return { err, answer: { ...resultsIn(target).variants.at(-1), times: null } };
    };
    const both = await record("both", HUB + harder);
    expect(both.err).toMatch(/V4: .*, the same as V1$/m);
    // V1 differs from V4 in its face width as well here, so each is solved for itself
    const alone = await record(
      "alone",
      `${HUB.replace("- name: V1", "- name: V1\n    profile: { face width: 20 mm }")}${harder}`,
    );
    expect(alone.err).not.toContain("as V1");
    expect(both.answer).toEqual(alone.answer);
  });

  test("solves again what the store lost or garbled, without a word", async () => {
    const store = join(folder, ".notchwright", "solved");
    const [first, second] = readdirSync(store).sort();
    rmSync(join(store, first!));
    writeFileSync(join(store, second!), "garbage");
    const { code, err } = await notchwright(["run", hub, "--out", folder]);
    expect(code).toBe(0);
    expect(kept(err)).toBe(1);
  });

  test("moves an edited file of its own aside and says so", async () => {
    writeFileSync(join(folder, "summary.csv"), "my own notes");
    const { code, out, err } = await notchwright(["run", hub, "--out", folder, "--quiet"]);
    expect(code).toBe(0);
    // a verdict is told however quiet
    expect(out).toContain("What breaks first");
    expect(out).not.toMatch(/Balance|Notes|Cautions|Written/);
    expect(err).toBe('"summary.csv" had been edited; the edited file is now "summary (edited 1).csv"\n');
    expect(readFileSync(join(folder, "summary (edited 1).csv"), "utf8")).toBe("my own notes");
  });

  test("puts files beside someone else's when asked to, and leaves theirs alone", async () => {
    const shared = join(work.path, "out");
    writeFileSync(join(shared, "letter.txt"), "dear");
    const { code } = await notchwright([
      "run",
      hub,
      "--out",
      shared,
      "--into-existing",
      "--no-maps",
      "--quiet",
    ]);
    expect(code).toBe(0);
    expect(readFileSync(join(shared, "letter.txt"), "utf8")).toBe("dear");
    expect(existsSync(join(shared, "comparison.svg"))).toBe(false);
    expect(existsSync(join(shared, "hub", "index.html"))).toBe(true);
  });

  test("reads a part file from standard input", async () => {
    const target = join(work.path, "piped");
    const { code, out } = await notchwright(["run", "-", "--out", target, "--only", "V1", "--no-maps"], {
      input: HUB,
    });
    expect(code).toBe(0);
    expect(out).toContain("Test hub: 1 variant from standard input");
  });

  test("takes several part files, whose variants may share names", async () => {
    const other = work.file("other.yaml", HUB.replace("Test hub", "Other hub").replace("56 mm", "60 mm"));
    const target = join(work.path, "two");
    const { code, err } = await notchwright(["run", hub, other, "--out", target, "--only", "V1"]);
    expect(code).toBe(0);
    expect(err).toContain("Other hub: V1: root");
    expect(readdirSync(join(target, "maps")).sort()).toEqual(["other-hub-v1.svg", "test-hub-v1.svg"]);
  });

  test("compares the variants that are named, on the sheet", async () => {
    const target = join(work.path, "compared");
    const args = ["run", hub, "--out", target, "--quiet"];
    expect((await notchwright([...args, "--compare", "V3", "V1"])).code).toBe(0);
    const sheet = readFileSync(join(target, "comparison.svg"), "utf8");
    expect(sheet).toMatch(/V3[\s\S]*V1/);
    expect(sheet).not.toContain("V2");
    const one = await notchwright([...args, "--compare", "V3"]);
    expect(one.code).toBe(2);
    expect(one.err).toContain("--compare: one variant is named; name 2 to ");
  });

  test("writes whatever a part file says as text, never as markup", async () => {
    const script = "<script>alert(1)</script>";
    const text = HUB.replace("part: Test hub", `part: Hub ${script}\nnote: ${script}`)
      .replace("name: V2", `name: V2 & "co"`)
      .replace("- name: V1", `- name: V1\n    note: '${script} "><img src=x onerror=alert(1)>'`);
    const target = join(work.path, "markup");
    const { code } = await notchwright(["run", work.file("markup.yaml", text), "--out", target, "--quiet"]);
    expect(code).toBe(0);
    for (const name of ["index.html", "comparison.svg", "maps/v1.svg", "maps/v2-co.svg"]) {
      const written = readFileSync(join(target, name), "utf8");
      expect(written).not.toContain("<script>alert");
      expect(written).not.toContain("<img src=x");
      expect(written).not.toContain('V2 & "co"');
    }
  });
});

describe("a run in trouble", () => {
  test("names the variant that the numerics refuse, finishes the others and ends with 1", async () => {
    // a sharp corner needs the finer mesh
    const file = work.file("limit.yaml", `${HUB}  - name: V4 sharp\n    profile: { root radius: 0 }\n`);
    const target = join(work.path, "limit");
    const args = ["run", file, "--out", target, "--most-unknowns", "4000", "--quiet"];
    const { code, out, err } = await notchwright(args);
    expect(code).toBe(1);
    expect(err).toMatch(/^notchwright: V4 sharp: .*; /m);
    expect(err).toContain("1 of 4 variants could not be solved");
    expect(out).toMatch(/^V3/m);
    expect(resultsIn(target).variants).toHaveLength(3);
  });

  test("stopped by Ctrl-C it ends with 130 and goes on later where it was", async () => {
    const target = join(work.path, "stopped");
    const args = ["run", hub, "--out", target, "--workers", "1"];
    const first = await notchwright(args, {
      onErr: (text, kill) => {
        if (text.includes("1/3")) kill("SIGINT");
      },
    });
    expect(first.code).toBe(130);
    expect(first.err).toContain("give the same command again to go on");
    expect(existsSync(join(target, "results.json"))).toBe(false);
    const second = await notchwright(args);
    expect(second.code).toBe(0);
    expect(kept(second.err)).toBeGreaterThanOrEqual(1);
    expect(resultsIn(target).variants).toHaveLength(3);
  });

  /** Lets the disk take one solved variant and half of the next. */
  const full = work.file(
    "full.mjs",
    `import fs, { readdirSync } from "node:fs";
     import { syncBuiltinESMExports } from "node:module";
     import { dirname } from "node:path";
     const write = fs.writeFileSync;
     fs.writeFileSync = (file, data, ...rest) => {
       const solved = String(file).endsWith(".solved");
       if (!solved || readdirSync(dirname(file)).length === 0) return write(file, data, ...rest);
       write(file, data.subarray(0, data.length >> 1));
       throw Object.assign(new Error("ENOSPC: no space left on device, write"), { code: "ENOSPC" });
     };
     syncBuiltinESMExports();`,
  );

  test.each(["1", "2"])(
    "a disk that fills up ends it at once, with %s workers, and what is solved is kept",
    async (workers) => {
      const target = join(work.path, `full-${workers}`);
      const args = ["run", hub, "--out", target, "--workers", workers, "--no-maps"];
      const first = await notchwright(args, { env: { NODE_OPTIONS: `--import ${full}` } });
      expect(first.code).toBe(1);
      expect(first.err.match(/the disk is full/g)).toHaveLength(1);
      expect(first.err).toContain(`${target} cannot be written to (the disk is full)`);
      expect(first.err).toContain("give the same command again to go on");
      expect(first.err).not.toContain(".solved");
      // two workers may both find the disk empty
      const solved = readdirSync(join(target, ".notchwright", "solved")).length;
      expect(solved).toBeGreaterThanOrEqual(1);
      expect(solved).toBeLessThanOrEqual(Number(workers));
      const second = await notchwright(args);
      expect(second.code).toBe(0);
      expect(kept(second.err)).toBe(solved);
    },
  );

  /** Makes every worker die that starts while `file` is not there (or, `always`, every worker). */
  const deadly = (always: boolean) =>
    work.file(
      `deadly-${always}.mjs`,
      `import { existsSync, writeFileSync } from "node:fs";
       import { isMainThread } from "node:worker_threads";
       const file = ${JSON.stringify(join(work.path, "died"))};
       if (!isMainThread && (${always} || !existsSync(file))) { writeFileSync(file, ""); process.exit(9); }`,
    );

  test("a worker that dies is told, and its variant tried once more", async () => {
    const target = join(work.path, "died-once");
    const { code, err } = await notchwright(["run", hub, "--out", target, "--workers", "1", "--no-maps"], {
      env: { NODE_OPTIONS: `--import ${deadly(false)}` },
    });
    expect(code).toBe(0);
    expect(err).toContain("V1: its worker stopped with code 9; trying once more");
    expect(resultsIn(target).variants).toHaveLength(3);
  });

  test("a worker that dies twice fails its variant and no more", async () => {
    const { code, err } = await notchwright(
      ["run", hub, "--out", join(work.path, "died-twice"), "--only", "V1", "--quiet"],
      { env: { NODE_OPTIONS: `--import ${deadly(true)}` } },
    );
    expect(code).toBe(1);
    expect(err).toContain("notchwright: V1: its worker stopped with code 9, twice");
    expect(err).toContain("No variant was solved; no report was written.");
  });
});
