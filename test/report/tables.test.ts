import { readFileSync } from "node:fs";
import { DOMParser } from "@xmldom/xmldom";
import { describe, expect, test } from "vitest";
import { capacityOf, overRunOf } from "../../src/answer/index.ts";
import type { VariantResult } from "../../src/answer/result.ts";
import type { Design } from "../../src/design/index.ts";
import {
  cautionsBlock,
  comparisonTable,
  contactSheet,
  passesChart,
  ratioSentence,
  resultsJson,
  summaryCsv,
  terminalWidth,
} from "../../src/report/index.ts";
import { notesOf } from "../../src/report/notes.ts";
import { csvCell } from "../../src/report/summaryCsv.ts";
import { syntheticDesign, syntheticVariant } from "./synthetic.ts";

const rounded = syntheticVariant({ variant: "V4" }).result;
const sharp = syntheticVariant({ variant: "V0 as broken", sharp: true }).result;
const bare = syntheticVariant({ variant: "no steel", steel: false }).result;

/** Same result with parts of its design replaced. */
function redesigned(result: VariantResult, change: Partial<Design>): VariantResult {
  return { ...result, design: { ...result.design, ...change } };
}

describe("comparisonTable", () => {
  test.each([80, 100, 120])("keeps every line within %i columns and its columns lined up", (width) => {
    const wide = redesigned(rounded, { variant: "幅広い歯車 wide" });
    const blocks = comparisonTable([rounded, sharp, wide, bare], width).split("\n\n");
    for (const block of blocks) {
      const lines = block.split("\n");
      const rule = lines.find((l) => l.startsWith("─"))!;
      for (const text of lines) expect(terminalWidth(text)).toBeLessThanOrEqual(width);
      // every cell of a right-set column ends where its rule ends
      const last = terminalWidth(rule);
      for (const row of lines.slice(lines.indexOf(rule) + 1)) expect(terminalWidth(row)).toBe(last);
    }
  });

  test("prints three figures in both unit systems, and no number for an unbounded peak", () => {
    const text = comparisonTable([rounded, sharp], 200);
    expect(text).toContain("1500 (218)");
    expect(text).toContain("138 %");
    const row = text.split("\n").find((l) => l.startsWith("V0"))!;
    expect(row).toContain("unbounded (sharp)");
    expect(row).toContain("1200 (174)");
    expect(row).toContain("tip yields");
  });

  test("shows a metric file in MPa only and an inch file in ksi only", () => {
    expect(comparisonTable([redesigned(rounded, { units: "metric" })])).not.toContain("ksi");
    expect(comparisonTable([redesigned(rounded, { units: "inch" })])).not.toContain("MPa");
  });

  test("lets no control sequence of a name reach the terminal", () => {
    const text = comparisonTable([redesigned(rounded, { variant: "\u001b[31mred\u0007\nnext" })]);
    expect(text).toContain("[31mred next");
    expect([...text].some((c) => c !== "\n" && c < " ")).toBe(false);
  });
});

describe("a pushed root with a higher von Mises stress", () => {
  const { root } = rounded;
  const pushed = { ...rounded, root: { ...root, highestVonMises: { stress: 1600, x: 1, y: -1 } } };
  const share = `${((100 * 1600) / rounded.steel!.yieldLow).toPrecision(3)} %`;

  test("has a column of its own, is what the share of yield is taken from, and is noted", () => {
    expect(comparisonTable([rounded])).not.toContain("any root");
    const table = comparisonTable([pushed]);
    expect(table).toContain("any root");
    expect(table).toContain("1600");
    expect(table).toContain(share);
    expect(notesOf(rounded).join()).not.toContain("pushed");
    expect(notesOf(pushed).join()).toContain("yielding begins there");
  });

  test("stands in the spreadsheet beside the governing root's", () => {
    const [head, row] = readCsv(summaryCsv([pushed])) as [string[], string[]];
    const cell = (column: string) => Number(row[head.indexOf(column)]);
    expect(cell("highest von Mises stress of any root (MPa)")).toBe(1600);
    expect(cell("peak von Mises stress (MPa)")).toBe(root.peakVonMises!.stress);
    expect(cell("highest von Mises of any root / yield low")).toBe(1600 / rounded.steel!.yieldLow);
  });
});

/** Reader of RFC 4180 text, written from the standard's grammar. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  for (let k = 0; k < text.length; ) {
    if (text[k] === '"') {
      k++;
      for (;;) {
        if (text[k] !== '"') cell += text[k++];
        else if (text[k + 1] === '"') {
          cell += '"';
          k += 2;
        } else break;
      }
      k++;
    } else if (text[k] === ",") {
      row.push(cell);
      cell = "";
      k++;
    } else if (text.startsWith("\r\n", k)) {
      rows.push([...row, cell]);
      row = [];
      cell = "";
      k += 2;
    } else cell += text[k++];
  }
  return rows;
}

describe("summaryCsv", () => {
  test("reads back cell for cell (RFC 4180), whatever is in the names", () => {
    const name = 'a "quoted", name';
    const rows = readCsv(summaryCsv([redesigned(rounded, { variant: name, note: "two\r\nlines" }), sharp]));
    expect(rows.length).toBe(3);
    const [head, first, second] = rows as [string[], string[], string[]];
    expect(new Set(rows.map((r) => r.length))).toEqual(new Set([head.length]));
    const cell = (row: string[], column: string) => row[head.indexOf(column)];
    expect(cell(first, "variant")).toBe(name);
    expect(cell(first, "note")).toBe("two\r\nlines");
    expect(Number(cell(first, "peak principal stress (MPa)"))).toBe(rounded.root.peakPrincipal!.stress);
    expect(Number(cell(first, "mesh error (%)"))).toBeCloseTo(1.23456, 12);
    expect(cell(second, "peak principal stress (MPa)")).toBe("unbounded (sharp)");
    expect(Number(cell(second, "averaged principal stress (MPa)"))).toBe(1200);
  });

  test("a variant without an answer has a row of its own, with the reason", () => {
    const failure = { part: "=Hub", variant: "V9", reason: "fillets overlap, by 0.1 mm" };
    const [head, solved, failed] = readCsv(summaryCsv([rounded], [failure])) as string[][];
    const filled = (row: string[]) =>
      Object.fromEntries(head!.map((h, k) => [h, row[k]]).filter(([, v]) => v));
    expect(filled(failed!)).toEqual({ part: "'=Hub", variant: "V9", "not solved because": failure.reason });
    expect(filled(solved!)).not.toHaveProperty("not solved because");
  });

  test("guards text that a spreadsheet would run as a formula, and leaves numbers alone", () => {
    for (const text of ["=1+1", "+1", "-1", "@x", "\t=1", " =1", "＝1"]) {
      expect(readCsv(`${csvCell(text)}\r\n`)[0]![0]).toBe(`'${text}`);
    }
    expect([csvCell(-1.5), csvCell(null), csvCell(Number.NaN), csvCell("plain")]).toEqual([
      "-1.5",
      "",
      "",
      "plain",
    ]);
  });
});

/** Paths of all values of a document, "variants[].root.kt". */
function paths(value: unknown, at = ""): string[] {
  if (Array.isArray(value)) return [`${at}[]`, ...value.flatMap((v) => paths(v, `${at}[]`))];
  if (value !== null && typeof value === "object") {
    return [at, ...Object.entries(value).flatMap(([key, v]) => paths(v, at ? `${at}.${key}` : key))];
  }
  return [at];
}

describe("resultsJson", () => {
  const profile = syntheticDesign().profile as Exclude<Design["profile"], { kind: "face tooth" }>;
  const straight = redesigned(rounded, { profile: { ...profile, flank: { form: "straight", angle: 0.1 } } });
  const face = redesigned(rounded, {
    profile: {
      kind: "face tooth",
      teeth: 11,
      meanDiameter: 55,
      height: 4.5,
      driveAngle: 0,
      overrunAngle: 0.5,
      tipLand: 3,
      driveRootRadius: 1,
      overrunRootRadius: 1,
      tipChamfer: 0,
      baseThickness: 8,
      faceWidth: 9,
      contact: [1, 4],
      contactGiven: true,
      loadedFlank: "drive",
      keptFlat: true,
    },
    load: { ...rounded.design.load, sharing: { mode: "teeth", weights: [1] } },
  });
  const asked: Design = {
    ...rounded.design,
    load: { ...rounded.design.load, sharing: { mode: "teeth", weights: [0.5, 0.5, 0], worstOf: 2 / 3 } },
    steel: {
      grade: "8620 case",
      hardnessLow: 58,
      hardnessHigh: 61,
      hardnessText: "58..61 HRC",
      core: {
        hardnessLow: 30,
        hardnessHigh: 38,
        hardnessText: "30..38 HRC",
        caseDepthText: "0.4..0.6 mm",
        caseDepth: [0.4, 0.6],
      },
    },
    strength: {
      requiredTorque: 1242e3,
      margin: 1,
      shocks: 1e4,
      torqueRatio: 0,
      finish: "machined",
      peened: false,
      flawDepth: 0.05,
      tolerance: 2,
      distributionFactor: 1,
    },
  };
  const cased = { ...rounded, design: asked, capacity: capacityOf(rounded.rootField, asked) };
  const overRunning = (rampAngle: number): VariantResult => {
    const design: Design = {
      ...rounded.design,
      load: { ...rounded.design.load, frictionLow: 0, otherFriction: [0.08, 0.2] },
      overRun: {
        rampAngle,
        meanRadius: 27.5,
        springForce: 160,
        friction: [0.08, 0.2],
        spline: { radius: 17, pressureAngle: Math.PI / 6 },
        torque: 1242e3,
      },
      pins: { count: 3, diameter: 3, radius: 22, planes: 1, shearStrength: [650, 750] },
      notices: ["something in it is not used"],
    };
    return { ...rounded, design, overRun: overRunOf(rounded, design) };
  };
  const written = resultsJson({
    failures: [{ part: "Hub", variant: "V9", reason: "would not fit" }],
    program: "0.1.0",
    files: ["hub.yaml"],
    results: [rounded, sharp, bare, straight, face, cased, overRunning(0.14), overRunning(0.54)],
  });
  const document = JSON.parse(written);
  const docs = readFileSync(new URL("../../docs/results.md", import.meta.url), "utf8");
  const [jsonDocs, csvDocs] = docs.split(/^## (?:summary\.csv|JSON of .*)$/m) as [string, string];
  const listed = (text: string) => [...text.matchAll(/^\| `([^`]+)` \|/gm)].map((m) => m[1]!);

  test("of many variants each stands on one line, and says the same", () => {
    const many = { program: "0.1.0", files: ["hub.yaml"], results: new Array(60).fill(rounded) };
    const text = resultsJson(many);
    const few = JSON.parse(resultsJson({ ...many, results: [rounded] }));
    expect(JSON.parse(text)).toEqual({ ...few, variants: new Array(60).fill(few.variants[0]) });
    expect(text.split("\n").filter((line) => line.startsWith('{"part":')).length).toBe(60);
  });

  test("says its format and version first and ends with a line break", () => {
    expect(written.startsWith('{\n  "format": "notchwright results",\n  "version": 1,')).toBe(true);
    expect(written.endsWith("}\n")).toBe(true);
  });

  test("docs/results.md lists every value written, and nothing that is not", () => {
    const found = new Set(paths(document).filter((p) => p !== ""));
    const documented = new Set(listed(jsonDocs));
    // a plain group ("variants[].root") needs no row of its own when its fields have theirs
    const groups = [...found].filter((p) =>
      [...found].some((q) => q.startsWith(`${p}.`) || q.startsWith(`${p}[]`)),
    );
    expect([...found].filter((p) => !documented.has(p) && !groups.includes(p))).toEqual([]);
    expect([...documented].filter((p) => !found.has(p))).toEqual([]);
  });

  test("docs/results.md lists the columns of summary.csv in their order", () => {
    expect(listed(csvDocs)).toEqual(readCsv(summaryCsv([rounded]))[0]);
  });

  test("keeps full precision", () => {
    expect(document.variants[0].root.errorEstimate).toBe(0.0123456);
    expect(document.variants[0].design.profile.toothThickness).toBe(Math.PI);
  });

  test("a sharp root has no peak, and the flank beside it keeps its own", () => {
    const { root, zones } = document.variants[1];
    expect(root).toMatchObject({ peakUnbounded: true, peakPrincipal: null, peakVonMises: null, kt: null });
    expect(root.average.principal).toBe(1200);
    expect(zones[0]).toEqual({ zone: "root", peakUnbounded: true, principal: null, vonMises: null });
    expect(zones[1].principal.stress).toBe(99);
    expect(document.variants[0].root.peakUnbounded).toBe(false);
  });
});

describe("passesChart", () => {
  const passes = [
    { unknowns: 3000, elements: 700, value: 1200, estimate: 0.03 },
    { unknowns: 9000, elements: 2100, value: 1210, estimate: 0.004 },
  ];
  const refined: VariantResult = { ...rounded, passes, accuracy: { ...rounded.accuracy, target: 0.01 } };

  test("is valid XML with a point for each mesh and its figures, names escaped", () => {
    const svg = passesChart(redesigned(refined, { variant: "<b>&" }));
    const document = new DOMParser({
      onError: (level, message) => {
        throw new Error(`${level}: ${message}`);
      },
    }).parseFromString(svg, "text/xml");
    expect(document.getElementsByTagName("circle").length).toBe(2);
    for (const text of ["&lt;b", "3.0 %", "0.40 %", "3000", "9000", "1.0 %"]) expect(svg).toContain(text);
  });

  test("stands on the page when more than one mesh was solved", () => {
    const page = (result: VariantResult) => contactSheet({ title: "t", entries: [{ result, map: null }] });
    expect(page(refined)).toContain("How the mesh error came down");
    expect(page({ ...refined, passes: passes.slice(0, 1) })).not.toContain("came down");
  });

  test("a target that was not met is told beside the estimate, in the table and on the page", () => {
    const short: VariantResult = {
      ...refined,
      root: { ...refined.root, errorEstimate: 0.0074 },
      accuracy: { target: 0.0001, met: false, stoppedBy: "unknowns" },
    };
    expect(comparisonTable([short], 200)).toContain("±0.74 %, not 0.010 %");
    expect(contactSheet({ title: "t", entries: [{ result: short, map: null }] })).toContain(
      "±0.74 %, not 0.010 %",
    );
  });
});

describe("the page's table", () => {
  test("has rows as wide as its head, the names of parts included", () => {
    const other = redesigned(sharp, { part: "another part" });
    const page = contactSheet({
      title: "t",
      entries: [rounded, other].map((result) => ({ result, map: null })),
    });
    const rows = page.slice(0, page.indexOf("</table>")).split("<tr>").slice(1);
    const widths = rows.map((row) => {
      const spans = [...row.matchAll(/<t[hd](?: class="[^"]*")?(?: colspan="(\d+)")?>/g)];
      return spans.reduce((sum, [, span]) => sum + Number(span ?? 1), 0);
    });
    expect(widths.length).toBe(5);
    expect(new Set(widths)).toEqual(new Set([widths[0]]));
  });
});

describe("a variant's own words on the page", () => {
  const load = rounded.design.load;
  const of = (variant: string, more: Partial<Design>) => redesigned(rounded, { variant, ...more });
  const page = (...results: VariantResult[]) =>
    contactSheet({ title: "t", entries: results.map((result) => ({ result, map: null })) });

  test("its note stands under its name, escaped", () => {
    expect(page(of("A", { note: "bar <12> only" }))).toContain(
      "<td>A<br><small>bar &lt;12&gt; only</small></td>",
    );
  });

  test("a load that all are under stands once over them, else each has its own", () => {
    const text = /690 N·m/g;
    expect(page(of("A", {}), of("B", {})).match(text)).toHaveLength(1);
    const other = { load: { ...load, torque: 2 * load.torque } };
    const differing = page(of("A", {}), of("B", other));
    expect(differing).toMatch(/<td>A<br><small>690 N·m/);
    expect(differing).toMatch(/<td>B<br><small>1380 N·m/);
  });

  test("what was taken by default says in which variants", () => {
    const taken = { key: "profile.x", value: "1 mm", source: "practice" };
    const one = page(of("A", { defaults: [taken] }), of("B", { defaults: [] }));
    expect(one).toMatch(/<td>profile\.x<\/td>.*<td class="words">“A”<\/td><\/tr>/);
    const all = page(of("A", { defaults: [taken] }), of("B", { defaults: [taken] }));
    expect(all).toMatch(/<td>profile\.x<\/td>.*<td class="words">all<\/td><\/tr>/);
  });
});

describe("notes on the page", () => {
  const entry = (variant: string, notes: string[]) => {
    const { result } = syntheticVariant({ variant });
    const steel = { ...result.steel!, warnings: ["No plating <above> 39 HRC"] };
    return { result: { ...result, steel, notes }, map: null };
  };

  test("stand there with the steel's warnings, equal ones once, and are escaped", () => {
    const page = contactSheet({
      title: "t",
      entries: [entry("A", []), entry("B", ["contact band trimmed"])],
    });
    expect(page).toContain("<li>all: No plating &lt;above&gt; 39 HRC</li>");
    expect(page).toContain("<li>“B”: contact band trimmed</li>");
    expect(page.split("No plating")).toHaveLength(2);
  });

  test("name eight variants and count the rest", () => {
    const names = "ABCDEFGHIJ".split("");
    const entries = [...names.map((name) => entry(name, ["trimmed"])), entry("K", [])];
    expect(contactSheet({ title: "t", entries })).toContain(
      "<li>“A”, “B”, “C”, “D”, “E”, “F”, “G”, “H” and 2 more: trimmed</li>",
    );
  });
});

describe("words of a run", () => {
  test("cautions wrap", () => {
    for (const text of cautionsBlock(80).split("\n")) expect(text.length).toBeLessThanOrEqual(80);
  });

  test("a change of hardness alone is told by the shares of yield", () => {
    const softer = { ...rounded, steel: { ...rounded.steel!, yieldLow: rounded.steel!.yieldLow / 2 } };
    expect(ratioSentence(rounded, softer)).toMatch(
      /no difference in peak root stress .*, which is \d+ % of its steel's yield against \d+ %; the part stands 946–1700 N·m against 946–1700 N·m\.$/,
    );
  });

  test("a difference within the mesh error is called none", () => {
    const near = syntheticVariant({ variant: "B", pull: 505 }).result;
    expect(ratioSentence(rounded, near)).toContain(
      "no difference in peak root stress beyond the mesh error (±2.5 %)",
    );
    const off = syntheticVariant({ variant: "B", pull: 600 }).result;
    expect(ratioSentence(rounded, off)).toBe(
      "B (R0.8 mm) carries 20 % more peak root stress than V4 (R0.8 mm).",
    );
  });

  test("a root that is pushed hardest and goes another way is told", () => {
    const { result } = syntheticVariant({ variant: "B", pull: 600 });
    const highest = (of: typeof result, stress: number) => ({
      ...of,
      root: { ...of.root, highestVonMises: { ...of.root.peakVonMises!, stress } },
    });
    expect(ratioSentence(highest(rounded, 990), highest(result, 660))).toBe(
      "B (R0.8 mm) carries 20 % more peak root stress than V4 (R0.8 mm); the highest von Mises stress of any root is 1.5 times less.",
    );
    expect(ratioSentence(highest(rounded, 660), highest(result, 1190))).toMatch(
      /than V4 \(R0\.8 mm\); the highest von Mises stress of any root is 1\.8 times more\.$/,
    );
    expect(ratioSentence(highest(rounded, 800), highest(result, 965))).toMatch(/than V4 \(R0\.8 mm\)\.$/);
    // pushed far harder than the other is pulled, it is what the part is judged by
    expect(ratioSentence(highest(rounded, 4000), highest(result, 2000))).toBe(
      "B (R0.8 mm) carries 2.0 times less peak von Mises root stress than V4 (R0.8 mm); the peak of the pulled root is 20 % more.",
    );
    expect(ratioSentence(highest(rounded, 3000), highest(result, 3630))).toBe(
      "B (R0.8 mm) carries 21 % more peak von Mises root stress than V4 (R0.8 mm).",
    );
  });

  test("what differs besides the root and bears on its stress is named; hardness does not", () => {
    const { result } = syntheticVariant({ variant: "B", pull: 600 });
    const profile = { ...result.design.profile, faceWidth: 2 * result.design.profile.faceWidth };
    const steel = { ...result.design.steel!, hardnessLow: 20, hardnessHigh: 24, hardnessText: "20..24 HRC" };
    const wide = { ...result, design: { ...result.design, profile, steel } as Design };
    expect(ratioSentence(rounded, wide)).toMatch(/than V4 \(R0\.8 mm\); they also differ in face width\.$/);
  });

  test("stresses averaged over different distances are not compared", () => {
    const other = { ...sharp, root: { ...sharp.root, average: { ...sharp.root.average, distance: 0.2 } } };
    expect(ratioSentence(sharp, other)).toContain("not compared");
  });

  test("the contact page escapes names and cannot link out of its folder's scheme", () => {
    const hostile = redesigned(rounded, { variant: '"><script>alert(1)</script>' });
    const page = contactSheet({
      title: "<b>Hub</b>",
      entries: [
        { result: hostile, map: "javascript:alert(1)" },
        { result: sharp, map: "maps/V0 & co.svg" },
      ],
      findings: ["a < b"],
    });
    expect(page).not.toContain("<script");
    expect(page).not.toContain("<b>");
    expect(page).not.toMatch(/href="javascript:/);
    expect(page).toContain('href="maps/V0%20%26%20co.svg"');
    expect(page).toContain("a &lt; b");
    expect(page.match(/https?:\/\//g)).toBe(null);
    expect(page).toContain("licensed engineer");
  });
});
