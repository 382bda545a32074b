import { existsSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { notchwright, workFolder } from "../cli/command.ts";

const folder = workFolder();
const verify = (...words: string[]) => notchwright(["verify", ...words], { cwd: folder.path });

describe("notchwright verify", () => {
  test("prints source, expected and computed values, difference and tolerance, and exits 0", async () => {
    const { code, out, err } = await verify("--only", "lame/1", "dolan-broghamer");
    expect(err).toBe("");
    expect(code).toBe(0);
    expect(out).toMatch(/^ok {3}lame\/1: ring 10 to 20 mm/);
    expect(out).toContain("Timoshenko & Goodier");
    expect(out).toMatch(/expected +computed +difference +allowed/);
    // Lamé: pi (ro² + ri²) / (ro² − ri²) = 166.67 MPa
    expect(out).toMatch(/hoop stress at r 10, MPa +166\.67 +166\.\d+ +\S+ % +0\.2 %/);
    expect(out).toContain("tolerance  exact solution");
    expect(out).toContain("7 cases, 21 values: 7 cases inside their tolerance, 0 outside.");
  });

  test("exits 1 when one case is broken, and says which", async () => {
    const { code, out } = await verify("--only", "lame", "--spoil", "lame/2");
    expect(code).toBe(1);
    expect(out).toContain("FAIL lame/2");
    expect(out).toContain("outside: lame/2");
    expect(out).toContain("4 cases inside their tolerance, 1 outside");
  });

  test("exits 2 for a word that fits no case, and names what there is", async () => {
    const { code, out, err } = await verify("--only", "kirch");
    expect(code).toBe(2);
    expect(out).toBe("");
    expect(err).toMatch(/no case is called "kirch"; .*kirsch/);
  });

  test("refuses to write a document of part of the suite", async () => {
    const { code, err } = await verify("--only", "lame", "--write");
    expect(code).toBe(2);
    expect(err).toContain("--write needs the whole suite");
    expect(existsSync(join(folder.path, "docs"))).toBe(false);
  });
});
