import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import {
  type CaseResult,
  caseLines,
  caseRows,
  chosen,
  groupOf,
  holeSection,
  runCase,
  runCases,
  spoiled,
  suite,
  summaryLines,
  verificationDocument,
} from "../../src/verify/index.ts";
import { referenceCases } from "../../src/verify/references.ts";

const file = (path: string): string => readFileSync(new URL(`../../docs/${path}`, import.meta.url), "utf8");

/** At least one case of every family and of nearly every group; the command runs them all. */
const SOME = [
  "lame/1",
  "ring-torque/2",
  "ring-groove/tension",
  "ring-groove/torque",
  "kirsch/Kt",
  "kirsch/p9",
  "kirsch-biaxial/shear",
  "inglis/a10_b1",
  "le1",
  "curved-bar-moment/10_13",
  "curved-bar-shear/10_20",
  "cantilever-parabolic-shear/10_40",
  "strip-load",
  "flamant/al30",
  "disc-diametral",
  "patch",
  "opposite-U-tension/t_H0.1_t_r4",
  "opposite-U-bending/t_H0.15_t_r8",
  "single-U-tension-uniform/t_H0.3_t_r6",
  "single-U-bending/t_H0.2_t_r1",
  "shoulder-tension/H_d2_r_d0.1",
  "shoulder-bending/H_d1.2_r_d0.02",
  "central-hole-tension/d_H0.5",
  "hole-near-edge/a_c0.8",
  "hole-off-centre/c0.15_a0.1",
  "semi-infinite-notch",
  "projection/beta0_hp2.4_hl1.6_r0.2",
  "projection/beta20_hp1.8_hl1.2_r0.1",
  "dolan-broghamer",
  "agma-kf",
  "iso-yf-ys",
  "williams-field/open90",
  "williams/open90",
  "williams/open150",
  "edge-crack-tension/a0.5",
  "edge-crack-bending/a0.3",
  "centre-crack/q0.4",
  "tcd/hole_a0.2",
  "convergence/corner",
];

let solved: CaseResult[] | undefined;
const results = (): CaseResult[] => {
  solved ??= runCases(chosen(suite(), SOME));
  return solved;
};

describe("verification suite", () => {
  test("puts every case of the engine's references to it: rings, plates, bars, charts, teeth, corners, cracks", () => {
    const ids = new Set(suite().flatMap((f) => f.cases.map((c) => c.id)));
    const wanted = {
      elastic: [
        "lame",
        "ring-torque",
        "kirsch",
        "kirsch-biaxial",
        "inglis",
        "curved-bar-moment",
        "curved-bar-shear",
        "cantilever-parabolic-shear",
        "flamant",
        "strip-load",
        "disc-diametral",
        "patch",
        "le1",
      ],
      notch: [
        "opposite-U-tension",
        "opposite-U-bending",
        "single-U-tension-centred",
        "single-U-tension-uniform",
        "single-U-bending",
        "semi-infinite-notch",
        "shoulder-tension",
        "shoulder-bending",
        "central-hole-tension",
        "central-hole-bending",
        "hole-near-edge",
        "hole-off-centre",
        "ring-groove",
      ],
      tooth: ["projection", "dolan-broghamer", "agma-kf", "iso-yf-ys"],
      corner: ["williams-field", "edge-crack-tension", "edge-crack-bending", "centre-crack"],
    } as const;
    for (const [name, sections] of Object.entries(wanted)) {
      for (const section of sections) {
        for (const { id } of referenceCases(name as keyof typeof wanted, section)) expect(ids).toContain(id);
      }
    }
    for (const opening of [60, 90, 120, 135, 150]) expect(ids).toContain(`williams/open${opening}`);
  });

  test("has no two cases of one name, and every case says where its numbers and its tolerance come from", () => {
    const cases = suite().flatMap((f) => f.cases);
    expect(new Set(cases.map((c) => c.id)).size).toBe(cases.length);
    for (const c of cases) {
      expect(c.source.length, c.id).toBeGreaterThan(5);
      expect(c.toleranceFrom.length, c.id).toBeGreaterThan(5);
      expect(c.expected.length, c.id).toBeGreaterThan(0);
      for (const q of c.expected) expect(q.share * q.of, `${c.id}, ${q.name}`).toBeGreaterThan(0);
    }
  });

  test("touches every family with the cases solved here", () => {
    expect(new Set(results().map((r) => r.family.name))).toEqual(new Set(suite().map((f) => f.name)));
  });

  test("finds each of the cases solved here inside its own tolerance", () => {
    const outside = results().flatMap((r) => (r.ok ? [] : caseLines(r)));
    expect(outside.join("\n")).toBe("");
  });

  test("asks 0.2 % of exact solutions, 0.5 % of LE1 and of cracks, 1 % of Kt against elasticity, 0.3 % of tooth roots", () => {
    const share = (id: string, name: string) =>
      suite()
        .flatMap((f) => f.cases)
        .find((c) => c.id === id)
        ?.expected.find((q) => q.name.includes(name))?.share;
    expect(share("lame/1", "hoop stress at r 10")).toBe(0.002);
    expect(share("inglis/a10_b1", "tip")).toBe(0.002);
    expect(share("le1/D", "published")).toBe(0.005);
    expect(share("edge-crack-tension/a0.5", "computed elasticity")).toBe(0.005);
    expect(share("single-U-bending/t_H0.2_t_r1", "plane elasticity")).toBe(0.01);
    expect(share("projection/beta0_hp2.4_hl1.6_r0.2", "tensile")).toBe(0.003);
  });

  test("computes the handbook's misses too: the chart of a single notch in bending is more than 10 % off elasticity", () => {
    const one = results().find((r) => r.case.id === "single-U-bending/t_H0.2_t_r1")!;
    const chart = one.rows.find((r) => r.quantity.name === "Kt against Peterson's chart")!;
    expect(Math.abs(chart.difference)).toBeGreaterThan(0.1);
    expect(caseLines(one).join("\n")).toMatch(/against Peterson's chart .* −1\d\.\d\d %/);
  });
});

describe("a broken case", () => {
  const families = chosen(suite(), ["lame/1", "kirsch/p4", "patch/shear", "dolan-broghamer/t2_r0.2_h1.5"]);

  test.each(families.flatMap((f) => f.cases.map((c) => c.id)))(
    "%s spoiled is outside in every value",
    (id) => {
      const broken = chosen(spoiled(families, id), [id])[0]!;
      const result = runCase(broken, broken.cases[0]!);
      expect(result.ok).toBe(false);
      expect(result.rows.every((r) => !r.ok)).toBe(true);
      expect(caseLines(result)[0]).toMatch(/^FAIL /);
      expect(caseLines(result).join("\n")).toContain("outside");
      expect(summaryLines([result]).join("\n")).toContain("0 cases inside their tolerance, 1 outside");
    },
  );

  test("in which the engine throws, or gives no number, fails too", () => {
    const [family] = families;
    const [one] = family!.cases;
    const thrown = runCase(family!, {
      ...one!,
      run: () => {
        throw new Error("no convergence");
      },
    });
    expect(thrown.ok).toBe(false);
    expect(caseLines(thrown).join("\n")).toContain("no convergence");
    const nan = runCase(family!, {
      ...one!,
      run: () => ({ unknowns: 1, values: one!.expected.map(() => Number.NaN) }),
    });
    expect(nan.ok).toBe(false);
    const short = runCase(family!, { ...one!, run: () => ({ unknowns: 1, values: [] }) });
    expect(short.ok).toBe(false);
  });

  test("stands out in the document", () => {
    const result = runCase(families[0]!, spoiled(families, "lame/1")[0]!.cases[0]!);
    const text = verificationDocument([result], []);
    expect(text).toContain("0 cases inside their tolerance, 1 outside");
    expect(text).toContain("- outside: lame/1");
    expect(text).toContain("outside**");
  });
});

describe("choosing cases", () => {
  test("takes a case, a group or a family", () => {
    const ids = (words: string[]) => chosen(suite(), words).flatMap((f) => f.cases.map((c) => c.id));
    expect(ids(["lame/3"])).toEqual(["lame/3"]);
    expect(ids(["lame"])).toEqual(["lame/1", "lame/2", "lame/3", "lame/4", "lame/5"]);
    expect(new Set(chosen(suite(), ["corners"])[0]!.cases.map(groupOf))).toContain("centre-crack");
    expect(ids([]).length).toBe(suite().flatMap((f) => f.cases).length);
  });

  test("names the groups there are when a word fits none", () => {
    expect(() => chosen(suite(), ["lamé"])).toThrow(/no case is called "lamé".*rings.*kirsch/);
    expect(() => spoiled(suite(), "lame")).toThrow(/no case is called "lame"/);
  });
});

describe("docs/verification.md", () => {
  test("holds the very rows that the cases solved here give", () => {
    const text = file("verification.md");
    for (const result of results()) {
      for (const row of caseRows(result)) expect(text).toContain(row);
    }
  });

  test("has every case of the suite, none outside, and no picture that is missing", () => {
    const text = file("verification.md");
    const cases = suite().flatMap((f) => f.cases);
    for (const c of cases) expect(text).toContain(`**${c.id}**`);
    expect(text).toContain(`${cases.length} cases,`);
    expect(text).toContain("0 outside**");
    const shown = [...text.matchAll(/\]\((verification\/[^)]+)\)/g)].map((m) => m[1]!);
    expect(shown.length).toBeGreaterThan(3);
    for (const path of shown) expect(file(path)).toMatch(/^<svg /);
  });

  test("shows the hole's section as it is computed now, byte for byte", () => {
    const { file: name, svg } = holeSection();
    expect(file(`verification/${name}`)).toBe(svg);
  });
});
