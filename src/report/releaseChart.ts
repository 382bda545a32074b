import { scaleLinear, scaleLog } from "d3-scale";
import { area, line } from "d3-shape";
import { type Design, formatForce, formatTorque } from "../design/index.ts";
import { halve } from "../numerics/index.ts";
import {
  clickOverTorque,
  designOverRun,
  frictionAngle,
  leastRamp,
  pinBand,
  ringOutcome,
} from "../strength/index.ts";
import { addTo } from "./addTo.ts";
import { torqueBandText } from "./capacityText.ts";
import { OVER_RUN_LIMITS } from "./cautions.ts";
import { firstNames } from "./firstNames.ts";
import { frictionText, pinsText } from "./overRunText.ts";
import { cautionsText, FRAME, sheetDocument, titleStrip } from "./sheet.ts";
import { spreadApart } from "./spreadApart.ts";
import { INK, lineAt, num, SOFT_INK, strokeAt, textAt } from "./svg.ts";
import { bandColour } from "./temperRamp.ts";
import { fitText, textWidth, wrapText } from "./textWidth.ts";
import { torqueLevels } from "./torqueLevels.ts";
import { angleText, leastAngleText, lengthText, torqueHeads } from "./units.ts";

const PLOT = { x0: 122, x1: 852, y0: 112, y1: 604 };
const NAMES = { x: 872, right: FRAME.x + FRAME.width - 10 };
/** The line across: the one red on the sheet, and named. */
const LARGEST = "#8c1d18";
const DEGREE = Math.PI / 180;
/** Steps between the least ramp and the right end: close together where the torque falls steeply. */
const POINTS = 160;

/**
 * Click-over torque against ramp angle for designs that differ in ramp and pins only: the band between the ends of the friction, where
 * nothing lets go, each design's ramp, the torque at which pins shear. The same input gives the same bytes; all user text is escaped.
 */
export function releaseChart(designs: readonly Design[]): string {
  const first = designs[0]!;
  const { units } = first;
  const { meanRadius, spline, springForce, friction, torque } = first.overRun!;
  const [muLow, muHigh] = friction;
  const [easy, hard] = [leastRamp({ meanRadius, spline }, muLow), leastRamp({ meanRadius, spline }, muHigh)];
  const at = (ramp: number, mu: number) => clickOverTorque({ meanRadius, spline, ramp }, springForce, mu);
  const ramps = designs.map(({ overRun }) => overRun!.rampAngle);
  const right = Math.min(80, Math.max(45, 5 * Math.ceil((1.15 * Math.max(...ramps, hard)) / DEGREE / 5)));
  const x = scaleLinear([0, right], [PLOT.x0, PLOT.x1]);
  const across = (ramp: number) => x(Math.min(right, Math.max(0, ramp / DEGREE)));
  const pinLevels = pinLevelsOf(designs);
  const levels = [torque, ...pinLevels.map(({ band }) => band.high)];
  // every line across lies on the sheet, the lowest of them too
  const floor = 0.6 * Math.min(at(right * DEGREE, muLow), torque, ...pinLevels.map(({ band }) => band.low));
  const y = scaleLog([floor, 2 * Math.max(...levels, 20 * floor)], [PLOT.y1, PLOT.y0]).clamp(true);

  let svg = textAt(30, 40, "Torque at which the ring clicks over, against ramp angle", {
    size: 15,
    bold: true,
  });
  svg += textAt(
    30,
    57,
    `${muLow === muHigh ? `line: friction of ramps and spline ${frictionText(muLow)}, one value and no band` : `band: friction of ramps and spline from ${frictionText(muLow)} (lower line) to ${frictionText(muHigh)} (upper line)`}; marks above: the ramps the variants have; dashed: torque at which their pins shear`,
    { size: 10, colour: SOFT_INK },
  );
  const { fills, words } = regions(across, easy, hard, friction);
  svg += fills;

  for (const { torque: level, text } of torqueLevels(y.domain() as [number, number], units)) {
    svg += lineAt(PLOT.x0, y(level), PLOT.x1, y(level), 0.4, "#c3cad2");
    svg += textAt(PLOT.x0 - 8, y(level) + 3.5, text, { size: 9.5, anchor: "end" });
  }
  const unit = torqueHeads(units, "").join(" ");
  svg += textAt(PLOT.x0 - 8, PLOT.y0 - 10, unit, { size: 9.5, anchor: "end", colour: SOFT_INK });

  svg += clickBand(across, y, at, [easy, hard], right * DEGREE, friction);
  svg += `<rect x="${PLOT.x0}" y="${PLOT.y0}" width="${PLOT.x1 - PLOT.x0}" height="${PLOT.y1 - PLOT.y0}" fill="none" stroke="${INK}" stroke-width="1"/>`;
  for (const degrees of x.ticks(10)) {
    svg += lineAt(x(degrees), PLOT.y1, x(degrees), PLOT.y1 + 5, 0.8);
    svg += textAt(x(degrees), PLOT.y1 + 17, `${degrees}°`, { size: 9.5, anchor: "middle" });
  }
  svg += textAt((PLOT.x0 + PLOT.x1) / 2, PLOT.y1 + 32, "ramp angle from the axis", {
    size: 9.5,
    anchor: "middle",
    colour: SOFT_INK,
  });
  svg += rampMarks(designs, across, y, at, friction);
  svg += levelLines(pinLevels, torque, first, y);
  svg += words + lineNames(across, y, at, right * DEGREE, friction);

  const sentences = verdictSentences(designs, hard, friction, spline !== null);
  const strip = titleStrip(titleRows(designs, first));
  const lines = sentences.flatMap((one) => wrapText(one, 11, 660));
  // the last of them is the caution: closer together rather than cut
  const pitch = Math.min(14, (strip.top - 10 - 664) / Math.max(1, lines.length - 1));
  for (const [k, text] of lines.entries())
    svg += textAt(30, 664 + pitch * k, text, { size: 11, bold: k === 0 });
  svg += strip.svg;
  svg += cautionsText(726, strip.top - 72, 448);
  return sheetDocument(`${first.part}: click-over torque against ramp angle`, svg);
}

/** Where no friction of the band lets go, and where only part of it does, as tinted strips; their names are set last, over the lines. */
function regions(
  across: (ramp: number) => number,
  easy: number,
  hard: number,
  [, muHigh]: readonly [number, number],
): { readonly fills: string; readonly words: string } {
  const edges = [PLOT.x0, across(easy), across(hard), PLOT.x1];
  const strips: readonly (readonly [fill: string, lines: readonly string[]])[] = [
    ["#dfe4e9", ["never lets go", "at any torque"]],
    ["#eff2f5", ["depends on friction", `never at μ ${frictionText(muHigh)}`]],
    ["none", ["lets go", "over the whole band"]],
  ];
  let fills = "";
  let words = "";
  for (const [k, [fill, lines]] of strips.entries()) {
    const [from, to] = [edges[k]!, edges[k + 1]!];
    const width = to - from;
    if (width < 1) continue;
    fills += `<rect x="${num(from)}" y="${PLOT.y0}" width="${num(width)}" height="${PLOT.y1 - PLOT.y0}" fill="${fill}"/>`;
    const middle = (from + to) / 2;
    if (lines.every((text) => textWidth(text, 11) < width - 8))
      for (const [n, text] of lines.entries())
        words += textAt(middle, PLOT.y1 - 28 + 15 * n, text, {
          size: 11,
          anchor: "middle",
          bold: n === 0,
          halo: true,
        });
    // a narrow strip is lettered upward
    else if (width > 14)
      words += textAt(middle + 4, PLOT.y1 - 12, lines.join(", "), {
        size: 10.5,
        bold: true,
        turn: -90,
        halo: true,
      });
  }
  return { fills, words };
}

/** Each line's friction beside it, a quarter of the plot in from the right. */
function lineNames(
  across: (ramp: number) => number,
  y: (torque: number) => number,
  at: (ramp: number, mu: number) => number,
  right: number,
  [muLow, muHigh]: readonly [number, number],
): string {
  let svg = "";
  for (const [mu, below] of [
    [muLow, true],
    [muHigh, false],
  ] as const) {
    const ramp = 0.96 * right;
    const click = at(ramp, mu);
    if (!Number.isFinite(click) || (below && muLow === muHigh)) continue;
    // the strips' own words stand at the foot of the plot
    const clear = y(click) + 16 < PLOT.y1 - 44;
    svg += textAt(across(ramp), y(click) + (!below ? -18 : clear ? 16 : -8), `μ ${frictionText(mu)}`, {
      size: 10.5,
      anchor: "middle",
      bold: true,
      halo: true,
    });
  }
  return svg;
}

function clickBand(
  across: (ramp: number) => number,
  y: (torque: number) => number,
  at: (ramp: number, mu: number) => number,
  [easy, hard]: readonly [number, number],
  right: number,
  [muLow, muHigh]: readonly [number, number],
): string {
  // denser towards the least ramp, where the torque runs off upward
  const grid = (from: number) =>
    Array.from({ length: POINTS + 1 }, (_, k) => from + (right - from) * (k / POINTS) ** 3 + 1e-9);
  // where a line that runs off upward comes onto the sheet
  const enters = (from: number, mu: number) => halve((ramp) => y(at(ramp, mu)) > PLOT.y0, right, from, 40)[0];
  const curve = (from: number, mu: number) =>
    from >= right
      ? ""
      : (line<number>(
          (ramp) => across(ramp),
          (ramp) => y(at(ramp, mu)),
        ).digits(2)(grid(enters(from, mu))) ?? "");
  let svg = "";
  if (easy < right) {
    // where high friction never lets go the band has no upper edge: it runs off the sheet
    const places = [
      ...new Set([...grid(enters(easy, muLow)), ...(hard < right ? grid(enters(hard, muHigh)) : [])]),
    ].sort((a, b) => a - b);
    const filled = area<number>(
      (ramp) => across(ramp),
      (ramp) => y(at(ramp, muLow)),
      (ramp) => (Number.isFinite(at(ramp, muHigh)) ? y(at(ramp, muHigh)) : PLOT.y0),
    ).digits(2)(places);
    svg += `<path d="${filled ?? ""}" fill="${bandColour(1, 8)}" fill-opacity=".75"/>`;
  }
  return svg + strokeAt(curve(easy, muLow), 1.6) + strokeAt(curve(hard, muHigh), 1.6);
}

/** Each ramp angle with the variants that have it, and on its line the torques at both ends of the friction. */
function rampMarks(
  designs: readonly Design[],
  across: (ramp: number) => number,
  y: (torque: number) => number,
  at: (ramp: number, mu: number) => number,
  friction: readonly [number, number],
): string {
  const own = new Map<number, string[]>();
  for (const { variant, overRun } of designs) addTo(own, overRun!.rampAngle, variant);
  const marks = [...own].sort(([a], [b]) => a - b);
  let svg = "";
  // two rows of names, taken in turn, so that neighbours do not meet
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const [ramp, names] of marks) {
    const px = across(ramp);
    svg += lineAt(px, PLOT.y0 - 5, px, PLOT.y1, 0.9, INK, 'stroke-dasharray="2 3"');
    svg += `<path d="M${num(px)} ${PLOT.y0}l-4 -8h8Z" fill="${INK}"/>`;
    for (const mu of friction) {
      const click = at(ramp, mu);
      if (Number.isFinite(click) && y(click) > PLOT.y0)
        svg += `<circle cx="${num(px)}" cy="${num(y(click))}" r="3" fill="#fff" stroke="${INK}" stroke-width="1.4"/>`;
    }
    const text = fitText(`${angleText(ramp)}: ${firstNames(names, 3, ", ")}`, 9.5, 240);
    const half = textWidth(text, 9.5) / 2;
    const middle = Math.min(PLOT.x1 - half, Math.max(PLOT.x0 + half, px));
    const row = ends.findIndex((end) => middle - half > end + 8);
    // names that would run into each other stand only in the title strip
    if (row < 0) continue;
    svg += textAt(middle, PLOT.y0 - 13 - 13 * row, text, { size: 9.5, anchor: "middle", bold: true });
    ends[row] = middle + half;
  }
  return svg;
}

interface PinLevel {
  readonly band: { readonly low: number; readonly high: number };
  readonly text: string;
}

/** Sets of pins that shear at the same torque, with the variants that have them. */
function pinLevelsOf(designs: readonly Design[]): PinLevel[] {
  const sets = new Map<string, { design: Design; names: string[] }>();
  for (const design of designs) {
    if (!design.pins) continue;
    const key = JSON.stringify(design.pins);
    const found = sets.get(key) ?? { design, names: [] };
    found.names.push(design.variant);
    sets.set(key, found);
  }
  return [...sets.values()].map(({ design, names }) => {
    const band = pinBand(design.pins!);
    return {
      band,
      text: `${pinsText({ ...design, units: design.units === "inch" ? "inch" : "metric" })}: ${firstNames(names, 4)}`,
    };
  });
}

/** As much as two lines hold. */
function firstLines(text: string, width: number): string[] {
  const [first = "", second, ...more] = wrapText(text, 9.5, width);
  if (second === undefined) return [first];
  return [first, more.length > 0 ? fitText(`${second} ${more.join(" ")}`, 9.5, width) : second];
}

/** Pins and the largest torque as lines across, their names beside the right ends, moved apart where they would meet. */
function levelLines(
  pins: readonly PinLevel[],
  torque: number,
  { units }: Design,
  y: (torque: number) => number,
): string {
  const width = NAMES.right - NAMES.x;
  const labels = [
    ...pins.map(({ band, text }) => ({
      from: y(band.low),
      bold: `pins shear at ${torqueBandText(band, units)}`,
      lines: firstLines(text, width),
      colour: INK,
    })),
    {
      from: y(torque),
      bold: `over-running brings ${formatTorque(torque, units)}`,
      lines: ["at most, as the part file has it"],
      colour: LARGEST,
    },
  ].sort((a, b) => a.from - b.from);
  const heights = labels.map(({ lines }) => 15 + 12 * lines.length);
  const places = spreadApart(
    labels.map(({ from }) => from),
    heights,
    { first: PLOT.y0, last: PLOT.y1 + 10 - heights.at(-1)! },
  );
  let svg = "";
  for (const { band } of pins) {
    if (band.high > band.low)
      svg += `<rect x="${PLOT.x0}" y="${num(y(band.high))}" width="${PLOT.x1 - PLOT.x0}" height="${num(y(band.low) - y(band.high))}" fill="${INK}" fill-opacity=".08"/>`;
    svg += lineAt(PLOT.x0, y(band.low), PLOT.x1, y(band.low), 1.3, INK, 'stroke-dasharray="7 4"');
  }
  svg += lineAt(PLOT.x0, y(torque), PLOT.x1, y(torque), 1.6, LARGEST);
  for (const [n, { from, bold, lines, colour }] of labels.entries()) {
    const at = places[n]!;
    svg += lineAt(PLOT.x1, from, NAMES.x - 4, at + 6, 0.5, SOFT_INK);
    svg += textAt(NAMES.x, at + 9, fitText(bold, 10.5, width), { size: 10.5, bold: true, colour });
    for (const [k, text] of lines.entries())
      svg += textAt(NAMES.x, at + 21 + 12 * k, text, { size: 9.5, colour: SOFT_INK });
  }
  return svg;
}

function verdictSentences(
  designs: readonly Design[],
  hard: number,
  [, muHigh]: readonly [number, number],
  sliding: boolean,
): string[] {
  const runs = designs.map((design) => designOverRun(design, undefined)!);
  const sure = designs.filter((_, k) => ringOutcome(runs[k]!) === "lets go");
  const late = designs.filter((design) => design.overRun!.rampAngle > hard && !sure.includes(design));
  const least =
    hard < Math.PI / 2
      ? `No ramp under ${leastAngleText(hard)} from the axis lets go over the whole band, whatever the springs.`
      : `No ramp lets go at a friction of ${frictionText(muHigh)}.`;
  const first = designs.some(({ pins }) => pins) ? " before its pins shear" : "";
  const named = (some: readonly Design[]) =>
    firstNames(
      some.map(({ variant }) => variant),
      6,
    );
  return [
    least,
    sure.length === 0
      ? `None of the variants lets go over the whole band${first}, under the largest over-run torque.`
      : `Lets go over the whole band${first}, under the largest over-run torque: ${named(sure)}.`,
    ...(late.length > 0 ? [`Past that angle, but too late, at high friction at least: ${named(late)}.`] : []),
    sliding
      ? `The ramp alone would need ${leastAngleText(frictionAngle(muHigh))}; the rest is the drag of the spline on which the ring slides.`
      : "No sliding spline is counted.",
    OVER_RUN_LIMITS,
  ];
}

function titleRows(designs: readonly Design[], { part, units, overRun }: Design) {
  const { springForce, friction, meanRadius, spline, torque } = overRun!;
  return [
    [
      { caption: "part", value: part, width: 40, bold: true },
      { caption: "variants", value: designs.map(({ variant }) => variant).join(", "), width: 60, bold: true },
    ],
    [
      { caption: "springs", value: formatForce(springForce, units), width: 20 },
      {
        caption: "friction, ramps and spline",
        value: [...new Set(friction)].map(frictionText).join(" to "),
        width: 20,
      },
      { caption: "mean radius of the ramps", value: lengthText(meanRadius, units), width: 24 },
      {
        caption: "sliding spline",
        value: spline ? `R${lengthText(spline.radius, units)}, ${angleText(spline.pressureAngle)}` : "none",
        width: 30,
      },
      { caption: "largest over-run torque", value: formatTorque(torque, units), width: 28 },
    ],
  ];
}
