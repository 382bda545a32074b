import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import {
  closeOutput,
  inspectOutput,
  openOutput,
  stageText,
  writeOutputs,
} from "../../src/cli/outputFolder.ts";
import { sha256 } from "../../src/cli/sha256.ts";
import { faultLine } from "../../src/design/design.ts";

let home: string;
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), "notchwright-out-"));
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

const WANTED = ["results.json", "maps/v0.svg"];
const faults = (path: string, into = false) => inspectOutput(path, WANTED, into).map(faultLine);
const text = (content: string) => ({ text: content });

/** A folder after one run that wrote two files. */
function afterOneRun(): string {
  const path = join(home, "out");
  const folder = openOutput(path);
  const outputs = new Map([
    ["results.json", text("one")],
    ["maps/v0.svg", text("<svg/>")],
  ]);
  writeOutputs(folder, outputs);
  closeOutput(folder);
  return path;
}

describe("inspectOutput", () => {
  test("accepts a folder that is not there, an empty one, and one of ours, and touches none", () => {
    expect(faults(join(home, "a", "b"))).toEqual([]);
    expect(existsSync(join(home, "a"))).toBe(false);
    expect(faults(home)).toEqual([]);
    expect(readdirSync(home)).toEqual([]);
    expect(faults(afterOneRun())).toEqual([]);
  });

  test("refuses a folder with someone else's files, names one, and says what to do", () => {
    writeFileSync(join(home, "letter.txt"), "mine");
    expect(faults(home)).toEqual([
      `--out: ${home} holds files that notchwright did not write, such as "letter.txt"; ` +
        "choose another folder, or add --into-existing to put new files beside them",
    ]);
    expect(faults(home, true)).toEqual([]);
  });

  test("refuses to write over someone else's file even when asked into an existing folder", () => {
    writeFileSync(join(home, "results.json"), "mine");
    expect(faults(home, true)).toEqual([
      '--out: "results.json" is in the way and was not written by notchwright; move it, or choose another folder',
    ]);
  });

  test("refuses a file, a path through a file, and a place where nothing can be made", () => {
    const file = join(home, "file");
    writeFileSync(file, "");
    expect(faults(file)[0]).toContain("is a file; give a folder");
    expect(faults(join(file, "out"))[0]).toMatch(/cannot be (made|used)/);
    expect(faults("")[0]).toContain("names no folder");
  });

  test("refuses links inside the folder, which could lead anywhere", () => {
    const path = afterOneRun();
    const elsewhere = join(home, "elsewhere");
    mkdirSync(elsewhere);
    rmSync(join(path, "maps"), { recursive: true });
    symlinkSync(elsewhere, join(path, "maps"));
    expect(faults(path)).toContain('--out: "maps" in it is a link; choose another folder');
    const other = join(home, "other");
    mkdirSync(other);
    symlinkSync(elsewhere, join(other, ".notchwright"));
    expect(faults(other)).not.toEqual([]);
    expect(() => openOutput(other)).toThrow(/is a link/);
    expect(readdirSync(elsewhere)).toEqual([]);
  });
});

describe("writeOutputs", () => {
  test("replaces its own files and removes those that no longer belong", () => {
    const path = afterOneRun();
    const folder = openOutput(path);
    const report = writeOutputs(folder, new Map([["results.json", text("two")]]));
    closeOutput(folder);
    expect(readFileSync(join(path, "results.json"), "utf8")).toBe("two");
    expect(report).toEqual({ movedAside: [], removed: ["maps/v0.svg"] });
    expect(existsSync(join(path, "maps/v0.svg"))).toBe(false);
  });

  test("keeps a file of its own that somebody edited: moved aside when in the way, else left alone", () => {
    const path = afterOneRun();
    writeFileSync(join(path, "results.json"), "my notes");
    writeFileSync(join(path, "maps/v0.svg"), "my drawing");
    const folder = openOutput(path);
    const report = writeOutputs(folder, new Map([["results.json", text("two")]]));
    closeOutput(folder);
    expect(report).toEqual({ movedAside: [["results.json", "results (edited 1).json"]], removed: [] });
    expect(readFileSync(join(path, "results (edited 1).json"), "utf8")).toBe("my notes");
    expect(readFileSync(join(path, "maps/v0.svg"), "utf8")).toBe("my drawing");
    // from now on the drawing is its owner's
    expect(faults(path)).toEqual([
      '--out: "maps/v0.svg" is in the way and was not written by notchwright; move it, or choose another folder',
    ]);
  });

  test("never follows a manifest that names files outside the folder", () => {
    const path = afterOneRun();
    const victim = join(home, "victim.txt");
    writeFileSync(victim, "precious");
    const manifest = join(path, ".notchwright/manifest.json");
    const hash = sha256("precious");
    writeFileSync(
      manifest,
      JSON.stringify({ writtenBy: "notchwright", files: { "../victim.txt": [hash], [victim]: [hash] } }),
    );
    const folder = openOutput(path);
    expect([...folder.files.keys()]).toEqual([]);
    writeOutputs(folder, new Map());
    closeOutput(folder);
    expect(readFileSync(victim, "utf8")).toBe("precious");
  });

  test("lets one run at a time into a folder", () => {
    const path = afterOneRun();
    writeFileSync(join(path, ".notchwright/running"), "1 another-machine\n");
    expect(() => openOutput(path)).toThrow(/another run is writing/);
  });

  test("takes over from a run that died", () => {
    const path = afterOneRun();
    const folder = openOutput(path);
    writeFileSync(join(path, ".notchwright/staged/half.svg"), "half");
    // the process that left this lock is this one, so no other can be running
    const again = openOutput(path);
    expect(readdirSync(join(path, ".notchwright/staged"))).toEqual([]);
    closeOutput(folder);
    closeOutput(again);
  });
});

describe("stageText", () => {
  test("puts pieces of any length together as they came, with the hash of the whole", () => {
    const path = join(home, "out");
    const folder = openOutput(path);
    // two pieces of more than what is gathered at once, and letters of two and three bytes at their seams
    const pieces = ["Ø", "σ≥".repeat(700_000), "", "µ", "x".repeat(2_500_000), "end\n"];
    const whole = pieces.join("");
    const staged = stageText(folder, "results.json", pieces);
    expect(staged).toMatchObject({ hash: sha256(whole) });
    writeOutputs(folder, new Map([["results.json", staged]]));
    closeOutput(folder);
    expect(readFileSync(join(path, "results.json"), "utf8")).toBe(whole);
    expect(inspectOutput(path, ["results.json"], false)).toEqual([]);
    expect(readdirSync(join(path, ".notchwright", "staged"))).toEqual([]);
  });
});
