import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { terminalWidth } from "../../src/report/index.ts";
import { HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
const hub = work.file("hub.yaml", HUB);
const demo = (name: string) => fileURLToPath(new URL(`../../demo/${name}.yaml`, import.meta.url));

/** The row of a formula in a sheet's table. */
const row = (sheet: string, formula: string) =>
  sheet.split("\n").find((line) => line.startsWith(`  ${formula}  `)) ?? "";

describe("notchwright hand", () => {
  test("puts the demo's roots beside the formulas, both units, no line over 100 columns, cautions at the end", async () => {
    const { code, out } = await notchwright([
      "hand",
      demo("orchard-hub"),
      demo("orchard-ramp"),
      "--only",
      "V0",
      "V2",
      "V3",
      "sharp, as drawn",
    ]);
    expect(code).toBe(0);
    for (const line of out.split("\n")) expect(terminalWidth(line), line).toBeLessThanOrEqual(100);
    // V3 differs from V0 in its steel alone: one sheet, two hardnesses
    expect(out).toMatch(/V0 \(and "V3": same root and load\)/);
    const sheets = out.split(/^(?=Orchard cart hub)/m).filter((text) => text.startsWith("Orchard"));
    expect(sheets).toHaveLength(5);
    for (const sheet of sheets) {
      expect(sheet).toContain("MPa (ksi)");
      expect(sheet).toMatch(/^ {2}Why they disagree$/m);
      expect(row(sheet, "short beam")).toMatch(/\d \(\d.*%.*outside/);
      expect(sheet).toMatch(/short beam +6 × \d+ × [\d.]+ \/ \([\d.]+ × [\d.]+²\) = \d+ MPa \([\d.]+ ksi\)/);
      expect(sheet).toContain("made for external gears");
    }
    const [v0, sharp, v2, rampV0, rampV2] = sheets as [string, string, string, string, string];
    // nominal values at 1242 N·m: Dudley 1957
    for (const sheet of [v0, sharp, v2]) {
      expect(row(sheet, "Dudley shear, Km 1")).toContain("171 (24.8)");
      expect(row(sheet, "Dudley shear, Km 2")).toContain("342 (49.7)");
    }
    for (const sheet of [v0, v2, rampV0, rampV2]) expect(sheet).toMatch(/Kt \d\.\d\d on the nominal stress/);
    expect(sharp).toContain("the peak of a sharp root is unbounded and has no Kt");
    expect(sharp).not.toMatch(/peak root stress \d/);
    expect(row(sharp, "Dolan-Broghamer")).toContain("no value");
    expect(row(rampV2, "ISO YF YS at 30°")).toMatch(/\(\d.*%/);
    const after = out.slice(out.indexOf("\nThe formulas\n"));
    expect(after).toContain("Source: ISO 6336-3, method B.");
    expect(after).toContain("None of them judges the computed stress");
    expect(after.trimEnd().split("\n").at(-1)).toContain("licensed engineer");
  });

  test("writes the same as JSON, replaces its own file, and nothing else's", async () => {
    const file = join(work.path, "hand.json");
    const once = () => notchwright(["hand", hub, "--only", "V1", "--json", file]);
    expect((await once()).code).toBe(0);
    const written = JSON.parse(readFileSync(file, "utf8"));
    expect(written).toMatchObject({
      format: "notchwright hand checks",
      version: 1,
      units: { stress: "MPa" },
    });
    const [sheet] = written.sheets;
    expect(sheet.variants).toEqual(["V1"]);
    expect(sheet.computed.kt).toBeCloseTo(
      sheet.computed.peakPrincipal.stress / sheet.computed.nominal.stress,
      9,
    );
    for (const { id, beside, difference, stress, why } of sheet.checks) {
      expect(written.formulas.map((card: { id: string }) => card.id)).toContain(id);
      if (beside && stress !== null) expect(difference).toBeCloseTo(stress / beside.stress - 1, 9);
      for (const key of why) expect(sheet.reasons.map((r: { key: string }) => r.key)).toContain(key);
    }
    expect((await once()).code).toBe(0);
    const printed = await notchwright(["hand", hub, "--only", "V1", "--json", "-"]);
    expect(JSON.parse(printed.out)).toEqual(written);

    writeFileSync(file, '{"mine": 1}');
    const refused = await once();
    expect(refused).toMatchObject({ code: 2, out: "" });
    expect(refused.err).toContain("is there already and holds something else");
    expect(readFileSync(file, "utf8")).toBe('{"mine": 1}');
  });

  test("tells everything that is wrong at once, with exit code 2, and solves nothing", async () => {
    const target = join(work.path, "none", "hand.json");
    const { code, out, err } = await notchwright([
      "hand",
      hub,
      "--accuracy",
      "five",
      "--json",
      target,
      "--only",
      "V11",
    ]);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    for (const part of [
      'no variant is called "V11"',
      "--accuracy",
      "--json",
      "nothing was solved or written",
    ])
      expect(err).toContain(part);
    expect(existsSync(target)).toBe(false);
    const broken = work.file("broken.yaml", HUB.replace("root radius: 0.4 mm", "root radius: 4 mm"));
    const geometry = await notchwright(["hand", broken]);
    expect({ code: geometry.code, out: geometry.out }).toEqual({ code: 2, out: "" });
    expect(geometry.err).toMatch(/broken\.yaml:\d+:\d+ profile\.root radius/);
    expect((await notchwright(["hand"])).code).toBe(2);
  });

  test("ends with exit code 1 where the numerics refuse, and says so", async () => {
    const { code, err } = await notchwright(["hand", hub, "--only", "V1", "--most-unknowns", "10"]);
    expect(code).toBe(1);
    expect(err).toContain("V1: the model needs more than the 10 unknowns allowed");
  });

  test("help shows a worked example and where the formulas are explained", async () => {
    const { code, out } = await notchwright(["help", "hand"]);
    expect(code).toBe(0);
    expect(out).toMatch(/Example:\n {2}notchwright hand/);
    expect(out).toContain("docs/hand-checks.md");
    expect(out).toContain("6 × 8545 × 1.700 / (16.00 × 6.051²) = 149 MPa");
    // the example is what the demo prints
    const { out: printed } = await notchwright(["hand", demo("orchard-hub"), "--only", "V2"]);
    expect(printed).toContain("6 × 8545 × 1.700 / (16.00 × 6.051²) = 149 MPa");
    expect(printed).toContain("peak root stress 591 MPa");
    expect(printed).toContain("Kt 3.97");
  });
});
