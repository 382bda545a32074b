import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { checkDesigns } from "../../src/cli/checkDesigns.ts";
import { chosenVariants } from "../../src/cli/chosenVariants.ts";
import { readParts } from "../../src/cli/readParts.ts";

const text = `part: Test
profile:
  kind: internal spline
  teeth: 17
  module: 2 mm
  root radius: 1.6 mm
  rim diameter: 56 mm
  face width: 16 mm
load: { torque: 690 N m }
steel: { grade: 4341, hardness: 70 HRC }
variants:
  - name: a
    steel: { grade: 4340, hardness: 40 HRC }
  - name: b
    profile: { root radius: 0.4 mm, root diameter: 60 mm }
`;

test("a fillet that does not fit one variant is told together with the other variant's faults", () => {
  const file = join(mkdtempSync(join(tmpdir(), "notchwright-")), "bad.yaml");
  writeFileSync(file, text);
  const { parts, faults } = readParts([file]);
  const all = [...faults, ...checkDesigns(parts).faults];
  expect(all.map(({ key, place }) => `${place?.line} ${key}`).sort()).toEqual([
    "10 steel.grade",
    "10 steel.hardness",
    "6 profile.root radius",
    "7 profile.rim diameter",
  ]);
});

/** Fault keys where `names` are asked for; sound variants are "c" and "d". */
const inTheWay = (lines: string, names?: readonly string[]) => {
  const file = join(mkdtempSync(join(tmpdir(), "notchwright-")), "hub.yaml");
  const base = text
    .replace("root radius: 1.6 mm", "root radius: 0.4 mm")
    .replace("4341, hardness: 70 HRC", "4340, hardness: 40 HRC");
  writeFileSync(file, base.slice(0, base.indexOf("variants:")) + lines);
  const { variants, faults } = chosenVariants([file], names, "--only");
  return { faults: faults.map(({ key }) => key), variants: variants.map(({ design }) => design.variant) };
};

describe("faults of variants that are not asked for", () => {
  // of a value, of a key, of the geometry
  const three = `variants:
  - name: a
    steel: { hardness: 99 HRC, foo: 3 }
  - name: b
    profile: { root radius: 4 mm }
  - name: c
  - name: d
`;

  test("do not stand in the way of those that are", () => {
    expect(inTheWay(three, ["c"])).toEqual({ faults: [], variants: ["c"] });
    expect(inTheWay(three, ["a", "c"]).faults).toEqual(["steel.hardness", "steel.foo"]);
    expect(inTheWay(three, ["b"]).faults).toEqual(["profile.root radius"]);
    expect(inTheWay(three).faults).toHaveLength(3);
  });

  test("nor hide a wrong name", () => {
    expect(inTheWay(three, ["c", "e"]).faults).toEqual(["--only"]);
  });

  test("a fault of what variants share stands in the way of each that has it", () => {
    const shared = three.replace(
      "variants:",
      "over-run: { ramp angle: 8 deg, spring force: -3 N }\nvariants:",
    );
    expect(inTheWay(shared, ["d"]).faults).toContain("over-run.spring force");
    const someFree = `over-run: { ramp angle: 8 deg, mean radius: 27 mm }
variants:
  - name: a
  - name: b
  - name: c
    over-run: { spring force: 10 N }
`;
    expect(inTheWay(someFree, ["b"]).faults).toEqual(["over-run.spring force"]);
    expect(inTheWay(someFree, ["c"])).toEqual({ faults: [], variants: ["c"] });
  });

  test("however many there are", () => {
    const many = Array.from(
      { length: 260 },
      (_, k) => `  - { name: v${k}, profile: { root diameter: 0.${k + 1} mm } }\n`,
    );
    expect(inTheWay(`variants:\n${many.join("")}  - name: c\n`, ["c"])).toEqual({
      faults: [],
      variants: ["c"],
    });
  });

  test("nor does a slip in one take the fault of another for its own, in this file or the next", () => {
    const slip = `variants:
  - name: a
  - name: b
    profile: { root radios: 0.4 mm }
`;
    const bare = (names: readonly string[], others: readonly string[] = []) => {
      const folder = mkdtempSync(join(tmpdir(), "notchwright-"));
      const file = join(folder, "hub.yaml");
      // a diametral pitch has no published root radius
      const base = text
        .replace("module: 2 mm", "diametral pitch: 12 /in")
        .replace("  root radius: 1.6 mm\n", "");
      writeFileSync(
        file,
        base.slice(0, base.indexOf("variants:")).replace("4341, hardness: 70", "4340, hardness: 40") + slip,
      );
      const { faults } = chosenVariants([file, ...others], names, "--only");
      return faults.map(({ key }) => key);
    };
    expect(bare(["a"])).toEqual(["profile.root radius"]);
    expect(bare(["b"])).toEqual(["profile.root radios"]);
    const twin = join(mkdtempSync(join(tmpdir(), "notchwright-")), "twin.yaml");
    writeFileSync(
      twin,
      `${text
        .slice(0, text.indexOf("variants:"))
        .replace("part: Test", "part: Twin")
        .replace("root radius: 1.6 mm", "root radius: 0.4 mm")
        .replace("4341, hardness: 70", "4340, hardness: 40")}variants:\n  - name: a\n`,
    );
    expect(bare(["a"], [twin])).toEqual(["profile.root radius"]);
  });

  test("one of which nothing can be read may be what the others are compared with", () => {
    const unread = `report: { compare with: a }
variants:
  - name: a
    profile:
  - name: c
`;
    expect(inTheWay(unread, ["c"])).toEqual({ faults: [], variants: ["c"] });
    expect(inTheWay(unread.replace("compare with: a", "compare with: e"), ["c"]).faults).toEqual([
      "report.compare with",
    ]);
  });
});
