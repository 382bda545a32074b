import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { assess, BUILT_IN, extendCatalogue, findSteel } from "../../src/strength/index.ts";
import { design, rootOf, spline } from "./roots.ts";

const text = readFileSync(new URL("../../docs/strength.md", import.meta.url), "utf8");

describe("docs/strength.md", () => {
  test("its example of a user's steel is taken as it stands", () => {
    const example = /```yaml\n([\s\S]*?)```/.exec(text)![1];
    const { catalogue, faults } = extendCatalogue(BUILT_IN, parse(example));
    expect(faults).toEqual([]);
    expect(findSteel("bar stock 7", catalogue)).toMatchObject({ steel: { name: "our 4340" } });
  });

  test("names every steel there is", () => {
    for (const { name } of BUILT_IN.steels) expect(text).toContain(name.split(" ")[0]);
  });

  test("has every mode in its table, governing as it says", () => {
    const root = rootOf(design(spline()), 3);
    const found = assess(
      root,
      { grade: "8620 case", hardnessLow: 58, hardnessHigh: 61, core: { hardnessLow: 30, hardnessHigh: 38 } },
      { requiredTorque: 1e6, flawDepth: 0.02, caseDepth: [0.4, 0.6] },
    );
    if ("faults" in found) throw new Error(JSON.stringify(found.faults));
    const rows = text.split("\n").filter((line) => line.startsWith("| "));
    for (const mode of found.capacity.modes) {
      const row = rows.find((line) =>
        line
          .split("|")[1]
          .split(",")
          .some((name) => name.trim() === mode.id),
      );
      expect(row, mode.id).toBeDefined();
      // of another kind of part
      if (mode.torque === null) continue;
      expect(
        row!
          .split("|")[2]
          .trim()
          .startsWith(mode.governs ? "yes" : "no"),
        mode.id,
      ).toBe(true);
    }
  });
});
