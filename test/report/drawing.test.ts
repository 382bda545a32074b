import { lab } from "d3-color";
import { describe, expect, test } from "vitest";
import { formatStress, formatTorque } from "../../src/design/index.ts";
import { arc, curvePoint, involute, line } from "../../src/geometry/index.ts";
import { marginText } from "../../src/report/capacityText.ts";
import { escapeXml } from "../../src/report/escapeXml.ts";
import { hrcText } from "../../src/report/hardnessChart.ts";
import { sampleGrid } from "../../src/report/hover.ts";
import { curveCommand, involuteCubics } from "../../src/report/outlinePath.ts";
import { pathData } from "../../src/report/pathData.ts";
import { bandColour, temperColour } from "../../src/report/temperRamp.ts";
import { tessellate } from "../../src/report/tessellate.ts";
import { fitText, terminalWidth, textWidth } from "../../src/report/textWidth.ts";
import { figures, lengthText, torqueAtMostText } from "../../src/report/units.ts";
import { modelPoint, ratioText, roundRatio, sheetX, sheetY, type View } from "../../src/report/view.ts";
import { notchedSector } from "./synthetic.ts";

const view: View = { cos: 0, sin: 1, scale: 40, x: 100, y: 900 };

describe("outline paths", () => {
  test("an involute's Béziers stay within 1 µm of the curve", () => {
    // ISO 4156 / ANSI B92.1 30° flank of 17 teeth, module 2: base radius 17 cos 30°; and one from the base circle
    for (const c of [
      involute(0, 0, 17 * Math.cos(Math.PI / 6), 0.1, 1, 0.3, 0.75),
      involute(1, 2, 14.7, 0, -1, 0, 0.6),
    ]) {
      const cubics = involuteCubics(c);
      for (const [k, b] of cubics.entries()) {
        for (let q = 0; q <= 20; q++) {
          const u = q / 20;
          const v = 1 - u;
          const w = [v * v * v, 3 * v * v * u, 3 * v * u * u, u * u * u];
          const x = w.reduce((s, wi, i) => s + wi * b[2 * i]!, 0);
          const y = w.reduce((s, wi, i) => s + wi * b[2 * i + 1]!, 0);
          // nearest point of the true curve among many of equal arc length
          let best = Infinity;
          for (let s = 0; s <= 4000; s++) {
            const [px, py] = curvePoint(c, s / 4000, [0, 0]);
            best = Math.min(best, Math.hypot(px - x, py - y));
          }
          // points of the true curve are up to 1/8000 of its length away along it: take that off at right angles
          expect(Math.sqrt(Math.max(0, best ** 2 - 0.0015 ** 2))).toBeLessThan(1e-3);
        }
        if (k > 0) expect(b.slice(0, 2)).toEqual(cubics[k - 1]!.slice(6));
      }
    }
  });

  test("arcs become A commands that end where the arc ends, turning the right way", () => {
    // counter-clockwise in the model is sweep 0 on a sheet whose y runs down
    const up: View = { cos: 1, sin: 0, scale: 10, x: 0, y: 0 };
    expect(curveCommand(arc(0, 0, 2, 0, Math.PI / 2), up)).toBe("A20 20 0 0 0 0 -20");
    expect(curveCommand(arc(0, 0, 2, Math.PI / 2, 0), up)).toBe("A20 20 0 0 1 20 0");
    expect(curveCommand(line(0, 0, 1, 2), up)).toBe("L10 -20");
    expect(curveCommand(arc(0, 0, 2, 0, 2 * Math.PI), up).match(/A/g)!.length).toBe(3);
  });

  test("relative steps do not let rounding add up", () => {
    const points = new Float64Array(2002);
    for (let k = 0; k <= 1000; k++) {
      points[2 * k] = k * 0.12345;
      points[2 * k + 1] = -k * 0.00333;
    }
    const d = pathData([{ points, closed: false }]);
    const n = d
      .slice(1)
      .replace("l", " ")
      .match(/-?\d*\.?\d+/g)!
      .map(Number);
    let x = 0;
    let y = 0;
    for (let k = 0; k < n.length; k += 2) {
      x += n[k]!;
      y += n[k + 1]!;
    }
    expect(x).toBeCloseTo(123.45, 1.9);
    expect(y).toBeCloseTo(-3.33, 1.9);
  });
});

describe("temperRamp", () => {
  test("grows darker at every step, so that it prints as an even grey wedge", () => {
    const lightness = Array.from({ length: 101 }, (_, k) => temperColour(k / 100).l);
    for (let k = 1; k < lightness.length; k++) expect(lightness[k]!).toBeLessThan(lightness[k - 1]!);
    expect(lightness[0]! - lightness[100]!).toBeGreaterThan(70);
  });

  test("neighbouring bands differ by the same distance in L*a*b*, as #rrggbb too", () => {
    const bands = Array.from({ length: 11 }, (_, k) => lab(bandColour(k, 11)));
    const steps = bands
      .slice(1)
      .map((c, k) => Math.hypot(c.l - bands[k]!.l, c.a - bands[k]!.a, c.b - bands[k]!.b));
    const mean = steps.reduce((a, b) => a + b) / steps.length;
    expect(mean).toBeGreaterThan(8);
    // chords across the ramp's bend are a little short of the arc
    for (const step of steps) expect(Math.abs(step / mean - 1)).toBeLessThan(0.1);
  });

  test("stays apart for red-green blindness", () => {
    // deuteranopia as a matrix on linear RGB, Machado, Oliveira, Fernandes 2009, severity 1 (values from memory)
    const M = [
      [0.367322, 0.860646, -0.227968],
      [0.280085, 0.672501, 0.047413],
      [-0.01182, 0.04294, 0.968881],
    ];
    const linear = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    const coded = (v: number) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
    const seen = Array.from({ length: 11 }, (_, k) => {
      const c = temperColour(k / 10)
        .rgb()
        .clamp();
      const rgb = [c.r, c.g, c.b].map((v) => linear(v / 255));
      const [r, g, b] = M.map(
        (row) =>
          255 *
          coded(
            Math.min(
              1,
              Math.max(
                0,
                row.reduce((s, m, i) => s + m * rgb[i]!, 0),
              ),
            ),
          ),
      );
      return lab(`rgb(${Math.round(r!)},${Math.round(g!)},${Math.round(b!)})`);
    });
    for (let k = 1; k < seen.length; k++) {
      const a = seen[k]!;
      const b = seen[k - 1]!;
      expect(Math.hypot(a.l - b.l, a.a - b.a, a.b - b.b)).toBeGreaterThan(7);
      expect(a.l).toBeLessThan(b.l);
    }
  });
});

describe("hover grid", () => {
  test("holds the field's value at its points and nothing outside the part", () => {
    const { mesh } = notchedSector();
    const field = (x: number, y: number) => 100 + 20 * x - 7 * y;
    const values = Float64Array.from({ length: mesh.xy.length / 2 }, (_, i) =>
      field(mesh.xy[2 * i]!, mesh.xy[2 * i + 1]!),
    );
    const tessellation = tessellate(mesh, values, { view, levels: [], tolerance: 0.1, smallest: 1 });
    const box = { x0: -110, x1: 310, y0: -250, y1: 250 };
    const { columns, max, codes } = sampleGrid({ name: "x", tessellation, box });
    let seen = 0;
    for (const [k, code] of codes.entries()) {
      const [x, y] = modelPoint(view, box.x0 + 5 * (k % columns), box.y0 + 5 * Math.floor(k / columns));
      const r = Math.hypot(x, y);
      const a = Math.abs(Math.atan2(y, x));
      if (r > 27.9 || a > 0.179 || r < 17.1 || Math.hypot(x - 17, y) < 0.9) {
        if (r > 28.1 || a > 0.181 || r < 16.9 || Math.hypot(x - 17, y) < 0.7) expect(code).toBe(0);
        continue;
      }
      seen++;
      expect(Math.abs(((code - 1) / 65534) * max - field(x, y))).toBeLessThan(0.02);
    }
    expect(seen).toBeGreaterThan(1000);
  });
});

describe("words and numbers", () => {
  test("three significant figures without exponents", () => {
    expect([1234.5, 98.76, 0.8, 0.03149, 999.6, 123456, -42.04, 0].map((v) => figures(v))).toEqual([
      "1230",
      "98.8",
      "0.800",
      "0.0315",
      "1000",
      "123000",
      "-42.0",
      "0",
    ]);
  });

  test("what holds up to a figure is not rounded past it", () => {
    expect(hrcText([25.449, 44.656])).toBe("25.5–44.6 HRC");
    expect(hrcText([25.4 + 1e-12, 44.7 - 1e-12])).toBe("25.4–44.7 HRC");
    expect(hrcText([30.02, 30.08])).toBe("30.02–30.08 HRC");
    expect(hrcText([31, 31])).toBe("31.0 HRC");
    // 55.04 N·m is 40.595 lbf·ft
    expect(torqueAtMostText(55_040, "both")).toBe("55.0 N·m (40.5 lbf·ft)");
    expect(torqueAtMostText(55_000, "metric")).toBe("55.0 N·m");
  });

  test("a margin just short of what is wanted does not read as if it were reached", () => {
    expect(marginText({ low: 1.7498, high: 3.2 }, 1.75)).toBe("1.7498–3.20");
    expect(marginText({ low: 1.75, high: 3.2 }, 1.75)).toBe("1.75–3.20");
    expect(marginText({ low: 1.1, high: 1.9996 }, 2)).toBe("1.10–1.9996");
    expect(marginText({ low: 1.7498, high: Number.POSITIVE_INFINITY }, 1)).toBe("from 1.75");
  });

  test("both unit systems, exact factors", () => {
    // 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N (NIST SP 811)
    expect(lengthText(25.4, "both")).toBe("25.4 mm (1 in)");
    expect(formatTorque(1240e3, "both")).toBe("1240 N·m (915 lbf·ft)");
    expect(formatStress(6.894757293168, "inch")).toBe("1.00 ksi");
    expect(formatStress(1000, "both")).toBe("1000 MPa (145 ksi)");
  });

  test("sheet and model points are each other's inverse", () => {
    const [x, y] = modelPoint(view, sheetX(view, 3.2, -1.1), sheetY(view, 3.2, -1.1));
    expect([x, y].map((v) => Number(v.toFixed(12)))).toEqual([3.2, -1.1]);
  });

  test("drawing ratios are round and never larger than what fits", () => {
    for (const fit of [0.034, 0.99, 1, 7.9, 8, 64, 99.9]) {
      expect(roundRatio(fit)).toBeLessThanOrEqual(fit * (1 + 1e-9));
      expect(roundRatio(fit)).toBeGreaterThan(fit / 1.35);
    }
    expect([ratioText(roundRatio(12.9)), ratioText(roundRatio(0.41))]).toEqual(["12:1", "1:2.5"]);
  });

  test("escaping leaves no character that XML forbids or that turns the reading direction", () => {
    expect(escapeXml(`a<b>&"'\u0000\u001b\u202e\ufffe\ud800x\n\ty`)).toBe("a&lt;b&gt;&amp;&quot;&#39;x y");
    expect(escapeXml("gear ⚙ 歯車 😀")).toBe("gear ⚙ 歯車 😀");
  });

  test("terminal columns count wide characters twice and combining marks not at all", () => {
    expect([
      terminalWidth("R0.80"),
      terminalWidth("歯車"),
      terminalWidth("e\u0301"),
      terminalWidth("😀"),
    ]).toEqual([5, 4, 1, 2]);
  });

  test("cut text fits the width it was cut to", () => {
    const cut = fitText("a sentence that is far too long", 10, 60);
    expect(cut.endsWith("…")).toBe(true);
    expect(textWidth(cut, 10)).toBeLessThanOrEqual(60);
  });
});
