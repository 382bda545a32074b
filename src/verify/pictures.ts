import { HATCHES, partFigure } from "../report/partFigure.ts";
import { bandLevels } from "../report/stressScale.ts";
import { INK, SOFT_INK, textAt } from "../report/svg.ts";
import { bandColour } from "../report/temperRamp.ts";
import { vonMises } from "../solver/index.ts";
import type { Picture } from "./document.ts";
import { kirsch } from "./exact/kirsch.ts";
import { cornerSeries, kirschSeries } from "./families/convergence.ts";
import { measuredExponent } from "./families/corners.ts";
import { posedQuarter, quarterWithHole } from "./families/plates.ts";
import { type Projection, solveProjection } from "./families/teeth.ts";
import { edgePeaks, STEEL, stressAt } from "./model.ts";
import { COLOURS, plot, type Series, sheet } from "./plot.ts";
import { referenceCases } from "./references.ts";
import { type CaseResult, groupOf } from "./runCases.ts";

/** Pictures of the document. Results of the whole suite are given; a few models are solved again. */
export function pictures(results: readonly CaseResult[]): Picture[] {
  return [holeSection(), chartSpread(results), toothRoot(), cornerStress(), convergencePicture()];
}

/** The section above a round hole, exact and computed. */
export function holeSection(): Picture {
  const a = 5;
  const field = kirsch(a, 100, 0, 0);
  const model = posedQuarter(quarterWithHole(a, 25), field, 20);
  const s = new Float64Array(3);
  const exact = (c: number): [number, number][] =>
    Array.from({ length: 201 }, (_, k) => {
      const y = a + k * 0.075;
      field(0, y, s);
      return [y, s[c]!];
    });
  const computed = (c: 0 | 1): [number, number][] =>
    Array.from({ length: 31 }, (_, k) => {
      const y = a + k * 0.5;
      return [y, stressAt(model, 0, y)[c]];
    });
  const title = "Stress on the section above a round hole of radius 5 mm, 100 MPa along the plate (Kirsch)";
  return {
    file: "hole-section.svg",
    title,
    family: "plates",
    svg: plot(
      title,
      { label: "distance from the hole's centre, mm", from: 5, to: 20, ticks: [5, 10, 15, 20] },
      { label: "stress, MPa", from: 0, to: 320, ticks: [0, 100, 200, 300] },
      [
        { name: "along the pull, exact", points: exact(0), draw: "line", colour: COLOURS[0]! },
        { name: "computed", points: computed(0), draw: "dots", colour: COLOURS[0]! },
        { name: "across it, exact", points: exact(1), draw: "line", colour: COLOURS[2]! },
        { name: "computed", points: computed(1), draw: "dots", colour: COLOURS[2]! },
      ],
      [`${model.unknowns} unknowns`],
    ),
  };
}

function chartSpread(results: readonly CaseResult[]): Picture {
  const engine: [number, number][] = [];
  const chart: [number, number][] = [];
  const groups: { name: string; at: number }[] = [];
  let n = 0;
  for (const result of results) {
    if (result.family.name !== "charts") continue;
    const elastic = result.rows.find((r) => r.quantity.name.includes("elasticity"));
    const fitted = result.rows.find((r) => r.quantity.name.endsWith("Peterson's chart"));
    if (!elastic) continue;
    const group = groupOf(result.case);
    if (groups.at(-1)?.name !== group) {
      n += groups.length > 0 ? 2 : 1;
      groups.push({ name: group, at: n });
    }
    engine.push([n, 100 * elastic.difference]);
    if (fitted)
      chart.push([n, (100 * (fitted.quantity.value - elastic.quantity.value)) / elastic.quantity.value]);
    n++;
  }
  const title = "Engine and handbook charts against plane elasticity, per cent of Kt";
  return {
    file: "charts.svg",
    title,
    family: "charts",
    svg: plot(
      title,
      {
        label: "case",
        from: 0,
        to: n,
        ticks: groups.map((g) => g.at),
        tickText: (at) => String.fromCharCode(97 + groups.findIndex((g) => g.at === at)),
      },
      {
        label: "difference from elasticity, %",
        from: -12,
        to: 14,
        ticks: [-10, -5, 0, 5, 10],
      },
      [
        { name: "engine", points: engine, draw: "dots", colour: COLOURS[0]! },
        { name: "handbook chart", points: chart, draw: "rings", colour: COLOURS[2]! },
      ],
      groups.map((g, k) => `${String.fromCharCode(97 + k)}  ${g.name}`),
    ),
  };
}

function toothRoot(): Picture {
  const one = referenceCases("tooth", "projection").find((c) => c.id.endsWith("beta20_hp1.8_hl1.2_r0.2"))!;
  const model = solveProjection(one.inputs as unknown as Projection);
  const { mesh, stress, problem } = model;
  const values = new Float64Array(mesh.xy.length / 2);
  for (let i = 0; i < values.length; i++) {
    values[i] = vonMises(stress[3 * i]!, stress[3 * i + 1]!, stress[3 * i + 2]!, STEEL);
  }
  const peak = edgePeaks(model, (e) => e.name === "tension fillet").max;
  const full = 4;
  const scale = { full, basis: "reference", meaning: "", lines: [], tensile: null } as const;
  const view = { cos: 1, sin: 0, scale: 76, x: 320, y: 170 };
  const { svg } = partFigure({ outline: problem.outline, mesh, values, view, scale, name: "tooth" });
  const title = "Von Mises stress in a straight-flanked tooth, 1 N a mm pushing on its right flank";
  const key = bandLevels(scale)
    .map((level, k) => {
      const y = 420 - 30 * k;
      return (
        `<rect x="660" y="${y - 30}" width="22" height="30" fill="${bandColour(k, 11)}" stroke="${INK}" stroke-width=".5"/>` +
        textAt(690, y - 26, `${Number(level.toPrecision(3))}`, { colour: SOFT_INK })
      );
    })
    .join("");
  const reached = `tensile peak in the right fillet ${peak.stress.toPrecision(4)} MPa, expected ${one.expected["peak"]} MPa`;
  return {
    file: "tooth-root.svg",
    title: `${title}; ${reached}`,
    family: "teeth",
    svg: sheet(
      760,
      510,
      title,
      `<defs>${HATCHES}</defs>${svg}${key}${textAt(660, 440, "MPa", { colour: SOFT_INK })}${textAt(16, 500, reached)}`,
    ),
  };
}

function cornerStress(): Picture {
  const series: Series[] = [60, 90, 120, 150].flatMap((opening, k): Series[] => {
    const { lambda, points } = measuredExponent(opening, "tension");
    const exact = referenceCases("corner", "williams").find((c) => c.inputs["openingDeg"] === opening)!
      .expected["lambda1"]!;
    const [r0, s0] = points[0]!;
    return [
      {
        name: `${opening}°: λ1 ${lambda.toFixed(4)}, exact ${exact.toFixed(4)}`,
        points: points.filter((_, i) => i % 4 === 0),
        draw: "dots",
        colour: COLOURS[k]!,
      },
      {
        name: "slope of the eigenvalue",
        points: [
          [r0, s0],
          [1e-3, s0 * (1e-3 / r0) ** (exact - 1)],
        ],
        draw: "line",
        colour: COLOURS[k]!,
      },
    ];
  });
  const title = "Stress ahead of sharp V notches in a bar of height 1 under unit tension";
  return {
    file: "corner-stress.svg",
    title,
    family: "corners",
    svg: plot(
      title,
      {
        label: "distance from the corner",
        from: 9e-6,
        to: 1.1e-3,
        log: true,
        ticks: [1e-5, 1e-4, 1e-3],
        tickText: power,
      },
      { label: "stress across the bisector", from: 3, to: 500, log: true, ticks: [5, 10, 20, 50, 100, 200] },
      series,
    ),
  };
}

function convergencePicture(): Picture {
  const levels = kirschSeries();
  const corner = cornerSeries();
  const along = (
    name: string,
    draw: "line" | "dashed",
    colour: number,
    pick: (l: (typeof levels)[number]) => number,
  ): Series => ({
    name,
    points: levels.map((l) => [l.h, pick(l)]),
    draw,
    colour: COLOURS[colour]!,
  });
  const title =
    "Relative error against element size: plate with a hole of radius 5 mm, and a 90° corner in a sector of radius 5 mm";
  return {
    file: "convergence.svg",
    title,
    family: "convergence",
    svg: plot(
      title,
      { label: "element side, mm", from: 0.1, to: 1.25, log: true, ticks: [0.125, 0.25, 0.5, 1] },
      {
        label: "relative error",
        from: 1e-8,
        to: 0.05,
        log: true,
        ticks: [1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2],
        tickText: power,
      },
      [
        {
          name: "corner: energy, order 1.09",
          points: corner.map((l) => [l.h * 5, l.energy]),
          draw: "dashed",
          colour: COLOURS[2]!,
        },
        along("element's own stress, order 2", "line", 4, (l) => l.elementStress),
        along("recovered stress, order 2.5", "line", 1, (l) => l.recoveredStress),
        along("recovered stress inside, 3", "dashed", 1, (l) => l.recoveredInside),
        along("displacement, order 3", "line", 3, (l) => l.displacement),
        along("strain energy, order 4", "line", 0, (l) => l.energy),
      ],
      ["orders are those of theory;", "the measured ones stand", "in the table"],
    ),
  };
}

const power = (value: number): string => {
  const digits = "⁰¹²³⁴⁵⁶⁷⁸⁹";
  const exponent = Math.round(Math.log10(value));
  const text = [...String(Math.abs(exponent))].map((d) => digits[Number(d)]).join("");
  return `10${exponent < 0 ? "⁻" : ""}${text}`;
};
