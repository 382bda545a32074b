import { DOMParser } from "@xmldom/xmldom";
import { describe, expect, test } from "vitest";
import type { Design } from "../../src/design/index.ts";
import { comparisonSheet, type MapInput, stressMap, stressScale } from "../../src/report/index.ts";
import { realSector } from "./realSector.ts";
import { syntheticDesign, syntheticVariant } from "./synthetic.ts";

const HOSTILE = `</text><script>alert(1)</script> & "quoted" 'single' ]]> <!-- \u0000\u0008\u202e\ud800 =1+1`;

function parse(svg: string) {
  const faults: string[] = [];
  const document = new DOMParser({
    onError: (level, message) => faults.push(`${level}: ${message}`),
  }).parseFromString(svg, "image/svg+xml");
  expect(faults).toEqual([]);
  return document;
}

function input(options: Parameters<typeof syntheticVariant>[0] = {}, part?: string): MapInput {
  const v = syntheticVariant(options);
  const result = part === undefined ? v.result : { ...v.result, design: { ...v.result.design, part } };
  return { ...v, result, scale: stressScale(result, [result]) };
}

function real(design: Design): MapInput {
  const base = syntheticVariant().result;
  const { field, profile, peak } = realSector(design);
  const corner = profile.corners.find((c) => c.side === "loaded")!;
  const sharp = corner.radius === 0;
  const place = { x: peak[0], y: peak[1] };
  const result = {
    ...base,
    design,
    root: {
      ...base.root,
      sharp,
      peakPrincipal: sharp ? null : { stress: 1640, ...place },
      peakVonMises: sharp ? null : { stress: 1610, ...place },
      highestVonMises: sharp ? null : { stress: 1610, ...place },
      kt: sharp ? null : 3.2,
      average: { ...base.root.average, ...place, dx: corner.bisectorX, dy: corner.bisectorY },
      nominal: { ...base.root.nominal, thickness: profile.rootThickness },
    },
  };
  return { result, field, profile, scale: stressScale(result, [result]) };
}

const spline = syntheticDesign().profile;
const internal = (rootRadius: number): Design => ({
  ...syntheticDesign(),
  profile: {
    ...spline,
    rootDiameter: 37.6,
    tipDiameter: 31.5,
    rootRadius,
    contact: [32, 36],
  } as Design["profile"],
});
const face: Design = {
  ...syntheticDesign(),
  units: "inch",
  profile: {
    kind: "face tooth",
    teeth: 11,
    meanDiameter: 55,
    height: 4.5,
    driveAngle: (-2 * Math.PI) / 180,
    overrunAngle: (31 * Math.PI) / 180,
    tipLand: 3.2,
    driveRootRadius: 1,
    overrunRootRadius: 1,
    tipChamfer: 0,
    baseThickness: 8,
    faceWidth: 9,
    contact: [1.5, 4],
    contactGiven: false,
    loadedFlank: "drive",
  },
};

/** Lettering of the sheet, one string a text element. */
function lettering(svg: string): string[] {
  return Array.from(parse(svg).getElementsByTagName("text"), (t) => t.textContent ?? "");
}

describe("stressMap", () => {
  test.each([
    ["rounded internal spline", internal(0.8)],
    ["sharp internal spline", internal(0)],
    ["face tooth", face],
  ])("draws a %s as well-formed XML under 400 kB", (_name, design) => {
    const svg = stressMap(real(design));
    parse(svg);
    expect(svg.length).toBeLessThan(400_000);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });

  test("gives the same bytes for the same input", () => {
    expect(stressMap(input())).toBe(stressMap(input()));
  });

  test("fetches nothing: no address but the SVG namespace, no image, no font file", () => {
    const svg = stressMap(input());
    expect(svg.match(/https?:\/\/[^"' <]*/g)!.filter((a) => !a.startsWith("http://www.w3.org/"))).toEqual([]);
    expect(svg).not.toMatch(/<image|@import|@font-face|href=/);
  });

  test("shows what a shop needs beside the picture", () => {
    const all = lettering(stressMap(real(internal(0.8)))).join("\n");
    for (const words of [
      "Hub 0417",
      "R0.80, 38..42 HRC",
      "690 N·m (509 lbf·ft) × 1.8 shock = 1240 N·m (916 lbf·ft)",
      "50 % of 17 teeth (8.5 carry alike)",
      "4340 at 38..42 HRC, yield 1090–1200 MPa (158–174 ksi)",
      "peak 1610 MPa (234 ksi)",
      "von Mises, 148 % of yield",
      "R0.8 mm (0.0315 in) root",
      "Ø34 mm (1.3386 in) pitch",
      "30° pressure angle",
      "half yield",
      "tensile",
      "16 mm (0.6299 in)",
    ]) {
      expect(all).toContain(words);
    }
    const cautions = all.replaceAll("\n", " ");
    for (const words of [
      "rotating parts can burst",
      "guarded bench",
      "data sheets and local codes",
      "licensed engineer",
    ]) {
      expect(cautions).toContain(words);
    }
  });

  test("prints no peak for a sharp corner, and its averaged stress instead", () => {
    const made = real(internal(0));
    const most = Math.max(...made.field.stress);
    const all = lettering(stressMap(made)).join("\n");
    expect(all).toContain("unbounded (sharp)");
    expect(all).toContain("average over 0.1 mm (0.0039 in):");
    expect(all).toContain("1200 MPa (174 ksi) opening");
    expect(all).not.toMatch(/peak \d/);
    expect(all).not.toContain(most.toPrecision(3));
  });

  test("without a steel the colours are shares of a reference common to the run, and the sheet says so", () => {
    const strong = syntheticVariant({ steel: false, pull: 500 }).result;
    const weak = syntheticVariant({ steel: false, pull: 200 }).result;
    const run = [weak, strong];
    expect(stressScale(weak, run).full).toBe(1500); // three times the larger pull (Kirsch 1898)
    expect(stressScale(weak, run)).toEqual(stressScale(strong, run));
    const svg = stressMap({
      ...syntheticVariant({ steel: false, pull: 200 }),
      scale: stressScale(weak, run),
    });
    expect(lettering(svg).join("\n")).toContain("reference stress: the highest root stress of this run");
    expect(svg.includes("of yield")).toBe(false);
  });

  test("escapes hostile names and keeps them out of the script", () => {
    const svg = stressMap(input({ variant: HOSTILE }, HOSTILE));
    const document = parse(svg);
    const scripts = Array.from(document.getElementsByTagName("script"));
    expect(scripts.length).toBe(1);
    expect(scripts[0]!.textContent).not.toContain("alert");
    expect(svg.match(/]]>/g)!.length).toBe(1); // the one that ends the script's own section
    expect(svg).not.toContain("<!--");
    expect(document.getElementsByTagName("title").item(0)!.textContent).toContain(
      "</text><script>alert(1)</script> & ",
    );
  });

  test("keeps a long name inside its box and the whole of it as a title", () => {
    const long = "a very long variant name ".repeat(12).trim();
    const document = parse(stressMap(input({ variant: long })));
    expect(Array.from(document.getElementsByTagName("title"), (t) => t.textContent)).toContain(long);
    expect(lettering(stressMap(input({ variant: long }))).some((t) => t.endsWith("…"))).toBe(true);
  });

  test("refuses stresses that are not three per node", () => {
    const v = input();
    expect(() => stressMap({ ...v, field: { ...v.field, stress: new Float64Array(5) } })).toThrow(/3 each/);
  });
});

describe("comparisonSheet", () => {
  test("puts both roots at one magnification and says the ratio from their own numbers", () => {
    const one = input({ variant: "R0.10", pull: 600 });
    const two = input({ variant: "R0.80", pull: 250 });
    const all = lettering(comparisonSheet([one, two])).join("\n");
    // 1800 against 750 MPa
    expect(all).toContain("R0.80 (R0.8 mm) carries 2.4 times less peak root stress than R0.10 (R0.8 mm).");
    expect(all).toContain("peak 1800 MPa (261 ksi)");
    expect(all).toContain("peak 750 MPa (109 ksi)");
  });

  test("compares a sharp root by averaged stress only", () => {
    const all = lettering(
      comparisonSheet([input({ variant: "V0", sharp: true }), input({ variant: "V4", pull: 250 })]),
    ).join("\n");
    expect(all).toContain(
      "V4 (R0.8 mm) carries 2.0 times less root stress averaged over 0.1 mm (0.0039 in) than V0 (sharp).",
    );
    expect(all).toContain("unbounded (sharp)");
  });

  test.each([2, 3, 4, 5, 6])("holds %i variants in well-formed XML", (count) => {
    const svg = comparisonSheet(
      Array.from({ length: count }, (_, k) => input({ variant: `${HOSTILE} ${k}` })),
    );
    parse(svg);
    expect(svg.length).toBeLessThan(400_000);
  });

  test("refuses one or seven", () => {
    expect(() => comparisonSheet([input()])).toThrow(/2 to 6/);
    expect(() => comparisonSheet(Array(7).fill(input()))).toThrow(/2 to 6/);
  });
});
