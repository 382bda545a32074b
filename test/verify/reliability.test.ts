import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import {
  REFERENCE_RATIO,
  type ReliabilityRow,
  reliabilityMarkdown,
  reliabilityStudy,
  reliabilitySummary,
} from "../../src/verify/reliability.ts";
import { studyDesigns } from "../../src/verify/reliabilityProfiles.ts";

/* The estimate of error put to the proof. docs/verification-reliability.md holds the whole study; here every eighth of its designs is solved again. */

const EVERY = 8;

describe("the estimated error at a target of 1 %", () => {
  let rows: ReliabilityRow[] = [];
  beforeAll(() => {
    rows = reliabilityStudy({ every: EVERY });
  });

  test("is put to the proof by references with a ten times lower one", () => {
    expect(rows.length).toBeGreaterThanOrEqual(12);
    for (const row of rows) {
      expect(row.estimate).toBeLessThanOrEqual(0.01);
      expect(row.referenceEstimate * REFERENCE_RATIO).toBeLessThanOrEqual(row.estimate * (1 + 1e-9));
    }
  });

  test("holds the error in 95 % of the designs, which is under 1 % in all, and is not ten times too cautious", () => {
    const { covered, worst, medianCaution } = reliabilitySummary(rows);
    expect(covered).toBeGreaterThanOrEqual(0.95);
    expect(worst).toBeLessThan(0.01);
    expect(medianCaution).toBeLessThanOrEqual(10);
  });

  test("is what docs/verification-reliability.md says of these designs", () => {
    const page = readFileSync(new URL("../../docs/verification-reliability.md", import.meta.url), "utf8");
    const tableRows = (text: string) =>
      text.split("\n").filter((line) => /^\| .*spline|^\| face tooth/.test(line));
    const told = tableRows(page);
    expect(told.length).toBe(studyDesigns().length);
    expect(tableRows(reliabilityMarkdown(rows))).toEqual(told.filter((_, k) => k % EVERY === 0));
  });
});

describe("the reliability study", () => {
  const designs = studyDesigns();

  test("spans both spline kinds and flank forms, face teeth, small to largest radii, one, two and all teeth loaded", () => {
    expect(designs.length).toBeGreaterThanOrEqual(60);
    for (const word of ["internal spline", "external spline", "involute", "straight", "face tooth"]) {
      expect(designs.filter((d) => d.name.includes(word)).length).toBeGreaterThanOrEqual(12);
    }
    const shares = designs.map((d) => d.radiusShare);
    expect(Math.min(...shares.filter((share) => share > 0))).toBe(0.02);
    expect(Math.max(...shares)).toBe(1);
    for (const loaded of ["all", 1, 2]) expect(designs.some((d) => d.loaded === loaded)).toBe(true);
  });

  test("counts rows whose error is over their estimate against the estimate", () => {
    const row = (error: number, estimate: number): ReliabilityRow => ({
      name: "face tooth",
      radiusShare: 0.1,
      loaded: "all",
      unknowns: 1,
      passes: 1,
      estimate,
      error,
      referenceUnknowns: 2,
      referenceMesh: "even",
      referenceEstimate: estimate / 10,
    });
    const summary = reliabilitySummary([
      row(0.001, 0.002),
      row(-0.004, 0.002),
      row(0.001, 0.008),
      row(0.0001, 0.001),
    ]);
    expect(summary).toEqual({ rows: 4, covered: 0.75, worst: 0.004, medianCaution: 8 });
    expect(reliabilityMarkdown([row(-0.004, 0.002)])).toContain("**-0.400 %**");
  });
});
