import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { ansiB921, iso14, iso4156 } from "../../src/design/proportions.ts";

interface Case {
  readonly id: string;
  readonly section: string;
  readonly inputs: Record<string, number | string>;
  readonly expected: Record<string, unknown>;
  readonly tolerance: { readonly value: number };
}
const file = new URL("../../fixtures/reference/spline-standard.json", import.meta.url);
const { cases } = JSON.parse(readFileSync(file, "utf8")) as { cases: Case[] };
const of = (section: string) => cases.filter((c) => c.section === section);
const DEGREE = Math.PI / 180;

function expectWithin(found: Record<string, number>, c: Case): void {
  for (const [name, value] of Object.entries(c.expected)) {
    expect(found, `${c.id}: nothing computed for ${name}`).toHaveProperty(name);
    expect(Math.abs(found[name]! - (value as number)), `${c.id} ${name}`).toBeLessThanOrEqual(
      c.tolerance.value,
    );
  }
}

describe("iso4156", () => {
  // ISO 4156-1:2005 as transcribed in the reference file
  test.each(of("iso-4156"))("gives the published sizes of $id", (c) => {
    const { m, z, alphaDeg, root } = c.inputs as { m: number; z: number; alphaDeg: number; root: string };
    const s = iso4156({
      module: m,
      teeth: z,
      pressureAngle: alphaDeg * DEGREE,
      root: root === "flat" ? "flat" : "fillet",
    })!;
    expectWithin(
      {
        D: s.pitchDiameter,
        Db: s.baseDiameter,
        s: s.external.toothThickness,
        DEI_min: s.internal.rootDiameter,
        DEE_max: s.external.tipDiameter,
        DIE_max: s.external.rootDiameter,
        DFI_min: s.internal.formDiameter,
        DFE_max: s.external.formDiameter,
        DII_min: s.internal.tipDiameter,
        rootRadius: s.rootRadius!,
      },
      c,
    );
  });

  test("gives the 17-tooth module 2 spline: pitch 34.000, base 29.445, 37.0 / 37.6 inside, 36.0 / 31.0 outside", () => {
    // ISO 4156 relations worked by hand: m (z + 1.5), m (z + 1.8), m (z + 1), m (z - 1.5)
    const input = { module: 2, teeth: 17, pressureAngle: 30 * DEGREE };
    const flat = iso4156({ ...input, root: "flat" })!;
    const fillet = iso4156({ ...input, root: "fillet" })!;
    expect(flat.pitchDiameter).toBeCloseTo(34, 12);
    expect(flat.baseDiameter).toBeCloseTo(29.445, 3);
    expect(flat.internal.rootDiameter).toBeCloseTo(37, 12);
    expect(fillet.internal.rootDiameter).toBeCloseTo(37.6, 12);
    expect(flat.external.tipDiameter).toBeCloseTo(36, 12);
    expect(flat.external.rootDiameter).toBeCloseTo(31, 12);
  });

  test("has no flat root at 45° and nothing at 20°", () => {
    expect(iso4156({ module: 1, teeth: 40, pressureAngle: 45 * DEGREE, root: "flat" })).toBeNull();
    expect(iso4156({ module: 1, teeth: 40, pressureAngle: 20 * DEGREE, root: "fillet" })).toBeNull();
  });

  test("says when a module is outside the standard", () => {
    const s = iso4156({ module: 12, teeth: 20, pressureAngle: 30 * DEGREE, root: "flat" })!;
    expect(s.caveat).toContain("0.25 to 10 mm");
  });
});

describe("ansiB921", () => {
  const columns = {
    A: [30, "flat"],
    B: [30, "flat, major-diameter fit"],
    C: [30, "fillet"],
    D: [37.5, "fillet"],
    E: [45, "fillet"],
  } as const;
  // ANSI B92.1-1970 (R1993) table 2 as transcribed in the reference file; inch
  test.each(of("ansi-b92.1"))("gives the published sizes of $id", (c) => {
    const { column, N, P } = c.inputs as { column: keyof typeof columns; N: number; P: number };
    const [angle, root] = columns[column];
    const s = ansiB921({ diametralPitch: P, teeth: N, pressureAngle: angle * DEGREE, root })!;
    const inch = (mm: number) => mm / 25.4;
    expectWithin(
      {
        D: inch(s.pitchDiameter),
        Db: inch(s.baseDiameter),
        p: inch(s.internal.toothThickness + s.spaceWidth),
        Do: inch(s.external.tipDiameter),
        cF: inch(s.internal.tipDiameter - s.external.formDiameter) / 2,
        sv: inch(s.spaceWidth),
        Dri: inch(s.internal.rootDiameter),
        Di: inch(s.internal.tipDiameter),
        DFi: inch(s.internal.formDiameter),
        DFe: inch(s.external.formDiameter),
        Dre: inch(s.external.rootDiameter),
      },
      c,
    );
  });
});

describe("iso14", () => {
  // ISO 14:1982 as transcribed in the reference file
  test.each(of("iso-14"))("carries the whole $id series", (c) => {
    const rows = iso14
      .filter((row) => row.series === c.inputs["series"])
      .map((row) => ({ N: row.teeth, d: row.minorDiameter, D: row.majorDiameter, B: row.keyWidth }));
    expect(rows).toEqual(c.expected["rows"]);
  });
});
