import { mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { sha256 } from "../../src/cli/sha256.ts";
import { loadSolved, type Solved, solvedFile, storeSolved } from "../../src/cli/solvedStore.ts";

const home = mkdtempSync(join(tmpdir(), "notchwright-store-"));
afterAll(() => rmSync(home, { recursive: true, force: true }));

// the store carries whatever it is given; typed arrays and unbounded numbers must come back as they were
const solved = {
  result: { root: { sharp: true, peak: Number.POSITIVE_INFINITY } },
  field: { mesh: { xy: Float64Array.of(0.1, -0, Number.NaN), elements: Uint32Array.of(1, 2) } },
  profile: { notes: ["Ø34"] },
} as unknown as Solved;

describe("storeSolved and loadSolved", () => {
  test("bring back exactly what was stored, and leave no half file", () => {
    const file = solvedFile(home, "a");
    storeSolved(file, solved);
    expect(loadSolved(file)).toEqual(solved);
    expect(readdirSync(home)).toEqual(["a.solved"]);
  });

  test("do not take one variant's file for another's", () => {
    storeSolved(solvedFile(home, "c"), solved);
    renameSync(solvedFile(home, "c"), solvedFile(home, "d"));
    expect(loadSolved(solvedFile(home, "d"))).toBe(null);
  });

  test("give null for a whole file in a format that this engine does not read", () => {
    const file = solvedFile(home, "e");
    storeSolved(file, solved);
    const bytes = readFileSync(file);
    bytes[65] = 0x7f; // after the digest comes the serialiser's tag 0xff, then the version of its format
    bytes.write(sha256("e.solved", bytes.subarray(64)), "latin1");
    writeFileSync(file, bytes);
    expect(loadSolved(file)).toBe(null);
    expect(readdirSync(home)).not.toContain("e.solved");
  });

  test("give null for a file that is missing, cut short, altered or empty, and drop it", () => {
    const file = solvedFile(home, "b");
    expect(loadSolved(file)).toBe(null);
    storeSolved(file, solved);
    const whole = readFileSync(file);
    const altered = Buffer.from(whole);
    altered[altered.length - 3] = altered[altered.length - 3]! ^ 1;
    for (const bytes of [
      whole.subarray(0, whole.length - 1),
      altered,
      Buffer.alloc(0),
      whole.subarray(0, 64),
    ]) {
      writeFileSync(file, bytes);
      expect(loadSolved(file)).toBe(null);
      expect(readdirSync(home)).not.toContain("b.solved");
    }
  });
});
