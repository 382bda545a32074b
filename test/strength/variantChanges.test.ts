import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type Design, readPart, type StrengthChoice } from "../../src/design/index.ts";
import { variantChanges } from "../../src/strength/index.ts";
import { design, spline } from "./roots.ts";

const all = ({ changes }: ReturnType<typeof variantChanges>) => new Set(changes.map((one) => one.id));
const bare = ({ profile, load, steel, material }: Design) => ({
  profile,
  load: { ...load, torque: 0, shockFactor: 0 },
  steel,
  material,
});

describe("variantChanges", () => {
  const hard = { grade: "4340", hardnessLow: 54, hardnessHigh: 56, hardnessText: "54..56 HRC" };
  const tough = { grade: "4340", hardnessLow: 38, hardnessHigh: 42, hardnessText: "38..42 HRC" };
  const before = design(spline({ rootRadius: 0.1 }), { steel: hard });
  const after = design(spline({ rootRadius: 0.8, rootDiameter: 37.6, faceWidth: 21 }), {
    steel: tough,
    load: { ...before.load, torque: 1, sharing: { mode: "share", fraction: 0.75 } },
  });

  test("names what two variants differ in, the root with its diameter, the torque left out", () => {
    const found = variantChanges(before, after);
    expect(found.changes.map((one) => one.id)).toEqual([
      "root radius",
      "face width",
      "teeth sharing",
      "hardness",
    ]);
    expect(found.changes.map((one) => found.needsSolve(one.id))).toEqual([true, true, true, false]);
  });

  test("no change made is the first variant, all made the second", () => {
    const found = variantChanges(before, after);
    expect(found.mix(new Set())).toBe(before);
    expect(bare(found.mix(all(found)))).toEqual(bare(after));
    expect(found.mix(new Set(["hardness"]))).toMatchObject({ steel: tough, profile: before.profile });
  });

  test("like variants differ in nothing, and another steel is one change with its hardness", () => {
    expect(variantChanges(before, { ...before, variant: "again" }).changes).toEqual([]);
    const other = { ...before, steel: { ...hard, grade: "4140" } };
    expect(variantChanges(before, other).changes).toEqual([
      { id: "steel and hardness", title: "steel and hardness" },
    ]);
  });

  test("how the root is made and what is asked of it are changes that need no solving; what it must stand is none", () => {
    const strength: StrengthChoice = {
      requiredTorque: 1e6,
      margin: 1,
      shocks: 1e4,
      torqueRatio: 0,
      finish: "machined",
      peened: false,
      flawDepth: 0.05,
      tolerance: 2,
      distributionFactor: 1,
    };
    const a = { ...before, strength };
    const b = {
      ...before,
      strength: {
        ...strength,
        requiredTorque: 9,
        margin: 3,
        tolerance: 4,
        peened: true,
        flawDepth: 0,
        torqueRatio: -1,
      },
    };
    const found = variantChanges(a, b);
    expect(found.changes.map(({ id }) => id)).toEqual(["peening", "flaw", "duty"]);
    expect(found.changes.some(({ id }) => found.needsSolve(id))).toBe(false);
    expect(found.mix(new Set(["flaw"])).strength).toEqual({ ...strength, flawDepth: 0 });
    expect(found.mix(all(found)).strength).toEqual({
      ...b.strength,
      requiredTorque: 1e6,
      margin: 1,
      tolerance: 2,
    });
    expect(variantChanges(a, { ...a, strength: { ...strength, margin: 2 } }).changes).toEqual([]);
  });

  test("every pair of the demo's variants is taken apart and put together again", () => {
    const text = readFileSync(new URL("../../demo/orchard-hub.yaml", import.meta.url), "utf8");
    const { designs } = readPart(text, "orchard-hub.yaml");
    for (const a of designs)
      for (const b of designs) {
        const found = variantChanges(a, b);
        expect(bare(found.mix(all(found)))).toEqual(bare(b));
      }
  });
});
