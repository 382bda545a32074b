import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import * as z from "zod";
import {
  PROFILE_KINDS,
  partFileDocument,
  partFileSchema,
  readPart,
  starterPart,
} from "../../src/design/index.ts";
import { SECTIONS } from "../../src/design/keys.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { faultsOf, partText } from "./helpers.ts";

const folder = new URL("../../demo/", import.meta.url);
const demos = readdirSync(folder)
  .filter((name) => name.endsWith(".yaml"))
  .map((name) => ({ name, text: readFileSync(new URL(name, folder), "utf8") }));
const starters = PROFILE_KINDS.map((kind) => ({ name: `starter of ${kind}`, text: starterPart(kind) }));

/** A value as it stands in a file, `key: value` on one line of its section. */
const asData = (example: string): unknown => parse(`value: ${example}`).value;

describe("docs", () => {
  // rewritten by `vitest run -u` when the key table changes
  test("part-file.md is what the key table says", async () => {
    await expect(partFileDocument()).toMatchFileSnapshot("../../docs/part-file.md");
  });
  test("part-file.schema.json is what the key table says", async () => {
    await expect(`${JSON.stringify(partFileSchema(), null, 2)}\n`).toMatchFileSnapshot(
      "../../docs/part-file.schema.json",
    );
  });
  test("every yaml block in the document that names a part reads", () => {
    const blocks = [...partFileDocument().matchAll(/```yaml\n(.*?)```/gs)].map((match) => match[1]!);
    expect(blocks.length).toBeGreaterThan(1);
    for (const block of blocks)
      expect(faultsOf(block.includes("part:") ? block : partText({ add: block }))).toEqual([]);
  });
});

describe("starter files and demos", () => {
  test.each([...starters, ...demos])("$name reads, and every root fits its profile", ({ name, text }) => {
    const part = readPart(text, name);
    expect(part.designs.length).toBeGreaterThan(3);
    for (const { profile } of part.designs) expect(buildProfile(profile).corners.length).toBeGreaterThan(0);
  });

  test("the commented grid at the end of a starter reads when it is switched on", () => {
    for (const { name, text } of starters) {
      const grid = text.replace(/^# (sweep:| {2}")/gm, "$1");
      expect(readPart(grid, name).designs.length).toBeGreaterThan(readPart(text, name).designs.length + 3);
    }
  });

  test("the demo hub carries the shop's shock torque and hub, from its own sheet", () => {
    // 690 N·m slip × 1.8 = 1242 N·m; 17 teeth m 2: pitch Ø34, flat root Ø37.0, fillet root Ø37.6
    const { text, name } = demos.find((demo) => demo.name === "orchard-hub.yaml")!;
    const { designs, compareWith } = readPart(text, name);
    expect(designs[compareWith]!.variant).toBe("V0");
    expect(designs[0]!.load.torque * designs[0]!.load.shockFactor).toBe(1_242_000);
    const by = (variant: string) => designs.find((design) => design.variant === variant)!;
    expect(by("V0").profile).toMatchObject({
      pitchDiameter: 34,
      rootDiameter: 37,
      backDiameter: 56,
      rootRadius: 0.1,
    });
    expect(by("V2").profile).toMatchObject({ rootDiameter: 37.6, rootRadius: 0.8 });
    expect(by("V10").profile.faceWidth).toBe(21);
    expect(by("V11").steel?.core?.caseDepthText).toBe("0.4..0.6 mm");
  });
});

describe("the JSON Schema", () => {
  const schema = z.fromJSONSchema(partFileSchema() as never);

  test.each([...starters, ...demos])("takes $name", ({ text }) => {
    expect(schema.safeParse(parse(text)).error?.issues ?? []).toEqual([]);
  });

  test("refuses unknown keys, missing sections and values of the wrong sort", () => {
    const good = parse(partText()) as Record<string, Record<string, unknown>>;
    expect(schema.safeParse(good).success).toBe(true);
    expect(schema.safeParse({ ...good, lod: 1 }).success).toBe(false);
    expect(schema.safeParse({ part: "x" }).success).toBe(false);
    for (const [section, key, value] of [
      ["profile", "rot radius", "1 mm"],
      ["profile", "teeth", 1],
      ["profile", "kind", "gear"],
      ["profile", "face width", "wide"],
      ["load", "teeth sharing", 0.5],
      ["load", "teeth sharing", "half"],
    ] as const)
      expect(schema.safeParse({ ...good, [section]: { ...good[section], [key]: value } }).success).toBe(
        false,
      );
  });

  test("takes a pitch as a drawing has it", () => {
    const good = parse(partText()) as Record<string, Record<string, unknown>>;
    for (const [pitch, taken] of [
      ["16/32", true],
      ["16/", false],
      ["16", false],
    ] as const) {
      const { module: _, ...profile } = good["profile"]!;
      const file = { ...good, profile: { ...profile, "diametral pitch": pitch } };
      expect(schema.safeParse(file).success, pitch).toBe(taken);
    }
  });

  test("takes stresses in newtons a square millimetre however the square is written", () => {
    const good = parse(partText()) as Record<string, unknown>;
    const steel = (strength: string) =>
      schema.safeParse({
        ...good,
        pins: { count: 2, diameter: "3 mm", radius: "22 mm", "shear strength": strength },
      });
    for (const unit of ["N/mm^2", "N/mm²", "MPa"]) expect(steel(`700 ${unit}`).success, unit).toBe(true);
    expect(steel("700").success).toBe(false);
  });

  test("and the reader both take every key's example", () => {
    for (const { name, keys } of SECTIONS)
      for (const spec of keys) {
        const file = parse(partText({ add: "units: { angle: deg }\n" })) as Record<
          string,
          Record<string, unknown>
        >;
        file[name] = { ...file[name], [spec.key]: asData(spec.example) };
        expect(schema.safeParse(file).success, `${name}.${spec.key}`).toBe(true);
        // the reader: nothing said of this key unless it clashes with the base file or belongs to another kind
        const about = faultsOf(JSON.stringify(file)).filter(
          (fault) =>
            fault.key === `${name}.${spec.key}` &&
            !/is for |says the same|makes the module|no variant|through hardened|reaches/.test(fault.problem),
        );
        expect(about, `${name}.${spec.key}`).toEqual([]);
      }
  });
});
