import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { checkDesigns } from "../../src/cli/checkDesigns.ts";
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
