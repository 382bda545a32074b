import { scaleLinear, scaleLog } from "d3-scale";
import { area, line } from "d3-shape";
import { type Design, formatTorque, type UnitChoice } from "../design/index.ts";
import { evenSharing, type HardnessLine, type HardnessWindow, inwardTenths } from "../strength/index.ts";
import { modeName, spanText, torqueBandText } from "./capacityText.ts";
import { rootText, sharingText } from "./describe.ts";
import { partingFirst } from "./driveHoldText.ts";
import { firstNames } from "./firstNames.ts";
import { judgedIn } from "./judgedIn.ts";
import { UNKNOWN as NOT_KNOWN } from "./marginVerdict.ts";
import { cautionsText, FRAME, sheetDocument, titleStrip } from "./sheet.ts";
import { spreadApart } from "./spreadApart.ts";
import { INK, lineAt, num, SOFT_INK, strokeAt, textAt } from "./svg.ts";
import { bandColour } from "./temperRamp.ts";
import { fitText, textWidth, wrapText } from "./textWidth.ts";
import { torqueLevels } from "./torqueLevels.ts";
import { figures, lengthText, torqueHeads, torqueUnits } from "./units.ts";

/** What one chart is drawn from. */
export interface HardnessChartInput {
  /** Names of the variants it holds for: alike in root, load and steel, each with its own hardness. */
  readonly variants: readonly { readonly name: string; readonly hardness: readonly [number, number] }[];
  readonly design: Design;
  readonly window: HardnessWindow;
}

const PLOT = { x0: 122, x1: 852, y0: 84, y1: 600 };
/** The line across: the one red on the sheet, and named. */
const REQUIRED = "#8c1d18";
/** Column of the lines' names. */
const NAMES = { x: 872, right: FRAME.x + FRAME.width - 10 };

/**
 * Capacity against hardness on a sheet: every mode its band, the required torque across, the hardness that satisfies it. The same input
 * gives the same bytes; all user text is escaped.
 */
export function hardnessChart({ variants, design, window }: HardnessChartInput): string {
  const { units } = design;
  const { hardness, lines, required, satisfying, aim, tolerance } = window;
  const x = scaleLinear([hardness[0]!, hardness.at(-1)!], [PLOT.x0, PLOT.x1]);
  const shown = lines.filter((one) => one.low.some((low) => low !== null));
  const all = shown
    .flatMap((one) => [...one.low, ...one.high])
    .filter((t): t is number => t !== null && t > 0);
  const y = scaleLog(
    [0.8 * Math.min(required, ...all), 1.25 * Math.max(required, ...all)],
    [PLOT.y1, PLOT.y0],
  );
  const swept = window.swept === "hardness" ? "hardness" : "hardness of the core";
  let svg = textAt(30, 40, `Torque that each thing takes, against ${swept}`, { size: 15, bold: true });
  svg += textAt(
    30,
    57,
    "band: from every figure of the steel at its worst to every one at its best; filled where it governs, dashed where it does not; heavy line: low end of what governs",
    { size: 10, colour: SOFT_INK },
  );

  for (const { torque, text, decade } of torqueLevels(y.domain() as [number, number], units)) {
    svg += lineAt(PLOT.x0, y(torque), PLOT.x1, y(torque), decade ? 0.6 : 0.35, "#c3cad2");
    svg += textAt(PLOT.x0 - 8, y(torque) + 3.5, text, { size: 9.5, anchor: "end" });
  }
  const unit = torqueHeads(units, "").join(" ");
  svg += textAt(PLOT.x0 - 8, PLOT.y0 - 8, unit, { size: 9.5, anchor: "end", colour: SOFT_INK });

  for (const [from, to] of satisfying) {
    svg += `<rect x="${num(x(from))}" y="${PLOT.y0}" width="${num(x(to) - x(from))}" height="${PLOT.y1 - PLOT.y0}" fill="#eef1f4"/>`;
  }

  // bands of what governs, palest for what comes first on the whole
  const order = [...shown].sort((a, b) => least(a) - least(b));
  const governing = order.filter((one) => one.governs.some(Boolean));
  for (const [k, one] of governing.entries())
    svg += bandOf(one, hardness, x, y, shade(k, governing.length), true);
  for (const one of order) if (!governing.includes(one)) svg += bandOf(one, hardness, x, y, "none", false);
  const low = line<number>(
    (_t, k) => x(hardness[k]!),
    (t) => y(t),
  )
    .defined((_t, k) => isCounted(hardness[k]!, window))
    .digits(2)(window.low);
  svg += strokeAt(low ?? "", 2.6);

  svg += lineAt(PLOT.x0, y(required), PLOT.x1, y(required), 1.6, REQUIRED);
  // axis of hardness
  svg += `<rect x="${PLOT.x0}" y="${PLOT.y0}" width="${PLOT.x1 - PLOT.x0}" height="${PLOT.y1 - PLOT.y0}" fill="none" stroke="${INK}" stroke-width="1"/>`;
  for (const hrc of x.ticks(10)) {
    svg += lineAt(x(hrc), PLOT.y1, x(hrc), PLOT.y1 + 5, 0.8);
    svg += textAt(x(hrc), PLOT.y1 + 17, String(hrc), { size: 9.5, anchor: "middle" });
  }
  // clear of a steel's end told in tenths, which is centred on the axis' end
  svg += textAt(PLOT.x1 + 18, PLOT.y1 + 17, "HRC", { size: 9.5, colour: SOFT_INK });
  svg += ownHardness(variants, x);
  svg += rangeBar(window, x);
  svg += names(order, governing, x, y, hardness, {
    at: required,
    text: `required ${formatTorque(required, units)}`,
  });

  const verdict = aim
    ? `${partingFirst(design)}Order ${orderText(aim, window)}: ± ${tolerance} HRC round it, the low end of every band that governs reaches ${formatTorque(required, units)}${window.warnings.length > 0 ? "; what is told below comes with it" : ""}.`
    : `${partingFirst(design)}No hardness to order: ${window.none!.why}. Change first: ${window.none!.change}.`;
  // two lines mostly; a third begins higher, clear of what stands below
  const { said, size } = fitted(verdict);
  for (const [k, text] of said.entries())
    svg += textAt(30, 696 + 15 * (k - Math.max(1, said.length - 1)), text, { size, bold: true });
  const strip = titleStrip(titleRows(variants, design, window));
  svg += strip.svg;
  const below = window.vouched ? [mostText(window, units), ...notKnownText(window)].join(" ") : "";
  svg += smallPrint(
    below ? [below] : [],
    [
      ...(evenSharing(design).length > 0
        ? [
            "Teeth that carry are taken to stand evenly round: side by side, or on thin metal, less holds (which teeth: worst)",
          ]
        : []),
      ...judgedIn(design),
      ...window.warnings,
    ],
    strip.top - 6,
  );
  svg += cautionsText(726, strip.top - 72, 448);
  return sheetDocument(
    `${design.part}: hardness window of ${variants.map(({ name }) => name).join(", ")}`,
    svg,
  );
}

/** The verdict in three lines at most: over the whole sheet, and smaller, where it needs that. */
function fitted(verdict: string): { readonly said: readonly string[]; readonly size: number } {
  for (const [size, width] of [
    [12.5, 690],
    [12.5, 1130],
    [10.5, 1130],
  ] as const) {
    const said = wrapText(verdict, size, width);
    if (said.length <= 3) return { said, size };
  }
  return { said: wrapText(verdict, 9, 1130), size: 9 };
}

/** What stands under the verdict: plain words, then what is to be watched for, as far as there is room down to `bottom`. */
function smallPrint(plain: readonly string[], warnings: readonly string[], bottom: number): string {
  const lines = [
    ...plain.flatMap((text) => wrapText(text, 10.5, 690).map((line) => ({ line, size: 10.5 }))),
    // their sources, in brackets at the end, stand in the window's own words
    ...warnings.flatMap((text) =>
      wrapText(`– ${text.replace(/ \([^()]*\)$/, "")}`, 8, 705).map((line) => ({ line, size: 8 })),
    ),
  ];
  let svg = "";
  let y = 717;
  for (const [k, { line, size }] of lines.entries()) {
    const step = size + 1.6;
    const last = y + step > bottom && k < lines.length - 1;
    svg += textAt(30, y, last ? "– and more: notchwright window tells it" : line, { size });
    if (last) break;
    y += step;
  }
  return svg;
}

/** "Most at 22.5 HRC: fatigue at 2380–5190 N·m.", or that hardness has no say in it. */
export function mostText(
  window: Pick<HardnessWindow, "swept" | "hardness" | "low" | "high" | "best" | "flat">,
  units: UnitChoice,
): string {
  const at = window.hardness.indexOf(window.best.hardness);
  const where = window.flat
    ? `The same at every hardness${sweptWords(window)}`
    : `Most at ${window.best.hardness} HRC${sweptWords(window)}`;
  return `${where}: ${window.best.mode} at ${torqueBandText({ low: window.low[at]!, high: window.high[at]! }, units)}.`;
}

/** "38.0–42.0 HRC", one figure where both ends are one: a range within which something holds, so that its ends are rounded inward. */
export function hrcText([low, high]: readonly [number, number]): string {
  const [from, to] = inwardTenths([low, high]);
  if (from > to) return `${low.toFixed(2)}–${high.toFixed(2)} HRC`;
  return from === to ? `${from.toFixed(1)} HRC` : `${from.toFixed(1)}–${to.toFixed(1)} HRC`;
}

/** "38.0–42.0 HRC in the core": what to order, and of what part of a case-hardened steel. */
export const orderText = (
  range: readonly [number, number],
  { swept }: Pick<HardnessWindow, "swept">,
): string => {
  const [from, to] = inwardTenths(range);
  // written on an order as it stands, a range would ask for all of it at once
  return hrcText(range) + sweptWords({ swept }) + (from < to ? ", one hardness within it" : "");
};

/** What stands behind a hardness of a sweep: " in the core" of a case-hardened steel. */
export const sweptWords = ({ swept }: Pick<HardnessWindow, "swept">): string =>
  swept === "hardness" ? "" : " in the core";

const least = (one: HardnessLine): number => Math.min(...one.low.filter((t): t is number => t !== null));

/** From straw to purple: the two darkest of the ramp would hide the lines over them. */
const shade = (k: number, count: number): string => bandColour(count < 2 ? 1 : 1 + (4 * k) / (count - 1), 8);

function bandOf(
  one: HardnessLine,
  hardness: readonly number[],
  x: (hrc: number) => number,
  y: (torque: number) => number,
  fill: string,
  governs: boolean,
): string {
  const known = (k: number) => one.low[k] !== null && one.high[k] !== null;
  const places = hardness.map((_, k) => k);
  // what governs over part of the range only is filled there
  const filled = area<number>(
    (k) => x(hardness[k]!),
    (k) => y(one.low[k]!),
    (k) => y(one.high[k]!),
  )
    .defined((k) => known(k) && one.governs[k]!)
    .digits(2);
  const edge = (values: readonly (number | null)[]) =>
    line<number>(
      (k) => x(hardness[k]!),
      (k) => y(values[k]!),
    )
      .defined(known)
      .digits(2)(places) ?? "";
  const dash = governs ? "" : 'stroke-dasharray="4 3"';
  return (
    (governs ? `<path d="${filled(places) ?? ""}" fill="${fill}" fill-opacity=".55"/>` : "") +
    strokeAt(edge(one.low), governs ? 1 : 0.8, governs ? INK : SOFT_INK, dash) +
    strokeAt(edge(one.high), 0.5, governs ? INK : SOFT_INK, dash)
  );
}

/** Names of the lines beside their right ends, moved apart where they would meet, with leaders. */
function names(
  order: readonly HardnessLine[],
  governing: readonly HardnessLine[],
  x: (hrc: number) => number,
  y: (torque: number) => number,
  hardness: readonly number[],
  asked: { readonly at: number; readonly text: string },
): string {
  const step = 15;
  const width = NAMES.right - NAMES.x;
  const labels = order.map((one) => {
    const last = one.low.findLastIndex((t) => t !== null);
    const rules = governing.includes(one);
    const from = y(one.low[last]!);
    return {
      text: rules ? one.title : `${one.title} (does not govern)`,
      colour: rules ? INK : SOFT_INK,
      bold: false,
      x: x(hardness[last]!),
      y: from,
    };
  });
  const line = y(asked.at);
  labels.push({ text: asked.text, colour: REQUIRED, bold: true, x: PLOT.x1, y: line });
  labels.sort((a, b) => a.y - b.y);
  const places = spreadApart(
    labels.map((label) => label.y),
    labels.map(() => step),
    { last: PLOT.y1 + 6 },
  );
  let svg = "";
  for (const [k, { text, colour, bold, x: fromX, y: fromY }] of labels.entries()) {
    const at = places[k]!;
    svg += lineAt(fromX, fromY, NAMES.x - 4, at, 0.5, SOFT_INK);
    svg += `<circle cx="${num(fromX)}" cy="${num(fromY)}" r="1.8" fill="${colour}"/>`;
    const size = textWidth(text, 10) > width ? 9 : 10;
    svg += textAt(NAMES.x, at + 3.5, fitText(text, size, width), { size, bold, colour });
  }
  return svg;
}

/** Each variant's own hardness, as brackets above the plot; those with one hardness share one. */
function ownHardness(variants: HardnessChartInput["variants"], x: (hrc: number) => number): string {
  const own = new Map<string, { from: number; to: number; names: string[] }>();
  for (const { name, hardness } of variants) {
    const [from, to] = hardness;
    const key = `${from} ${to}`;
    const found = own.get(key) ?? { from, to, names: [] };
    found.names.push(name);
    own.set(key, found);
  }
  const marks = [...own.values()].sort((a, b) => a.from - b.from);
  let svg = "";
  // names that would run into each other go one row up; a third stands only on the sheet's title strip
  const ends = [-Infinity, -Infinity];
  for (const { from, to, names } of marks) {
    const [a, b] = [x(from), x(to)];
    svg += strokeAt(`M${num(a)} ${PLOT.y0 + 6}V${PLOT.y0}H${num(Math.max(b, a + 1))}V${PLOT.y0 + 6}`, 2);
    const text = fitText(firstNames(names, 3, ", "), 9.5, 300);
    const middle = (a + b) / 2;
    const half = textWidth(text, 9.5) / 2;
    const at = Math.min(middle, PLOT.x1 - half);
    const row = ends.findIndex((end) => at - half >= end + 8);
    if (row < 0) continue;
    svg += textAt(at, PLOT.y0 - 5 - 10.5 * row, text, { size: 9.5, anchor: "middle", bold: true });
    ends[row] = at + half;
  }
  return svg;
}

/** Under the axis: the range that satisfies, and within it what to aim at. */
function rangeBar(window: HardnessWindow, x: (hrc: number) => number): string {
  const top = PLOT.y1 + 28;
  let svg = textAt(PLOT.x0 - 8, top + 8, "satisfies", { size: 9.5, anchor: "end", colour: SOFT_INK });
  svg += textAt(PLOT.x0 - 8, top + 24, "order", { size: 9.5, anchor: "end", colour: SOFT_INK });
  const bar = (from: number, to: number, row: number, fill: string, text: string) => {
    const width = Math.max(2, x(to) - x(from));
    svg += `<rect x="${num(x(from))}" y="${num(row)}" width="${num(width)}" height="10" fill="${fill}" stroke="${INK}" stroke-width=".8"/>`;
    const half = textWidth(text, 9.5) / 2;
    const middle = Math.min(PLOT.x1 - half, Math.max(PLOT.x0 + half, (x(from) + x(to)) / 2));
    svg += textAt(middle, row + 8.5, text, { size: 9.5, anchor: "middle", halo: true, bold: true });
  };
  const none = (row: number) => {
    svg += textAt(PLOT.x0 + 4, row + 8.5, "none", { size: 10, bold: true });
  };
  for (const range of window.satisfying) bar(range[0], range[1], top, "#d5dbe1", hrcText(range));
  const unknown = window.uncounted.flatMap(({ ranges }) => ranges);
  for (const [from, to] of unknown) bar(from, to, top, "none", NOT_KNOWN);
  if (window.satisfying.length + unknown.length === 0) none(top);
  if (window.aim) bar(window.aim[0], window.aim[1], top + 16, bandColour(1, 8), hrcText(window.aim));
  else none(top + 16);
  return svg;
}

function titleRows(
  variants: HardnessChartInput["variants"],
  design: Design,
  { required, tolerance }: HardnessWindow,
) {
  const { strength, steel, units, profile } = design;
  const shock = strength
    ? [
        `${figures(strength.shocks)} shocks, torque ratio ${strength.torqueRatio}`,
        `${strength.finish} root${strength.peened ? ", shot-peened" : ""}`,
        strength.flawDepth > 0 ? `flaw ${lengthText(strength.flawDepth, units)}` : "no flaw stated",
      ].join("; ")
    : "";
  const margin = strength && strength.margin !== 1 ? ` with margin ${strength.margin}` : "";
  return [
    [
      { caption: "part", value: design.part, width: 34, bold: true },
      { caption: "variants", value: variants.map(({ name }) => name).join(", "), width: 44, bold: true },
      { caption: "steel", value: steel!.grade, width: 16, bold: true },
      { caption: "root", value: rootText(design), width: 20 },
    ],
    [
      { caption: "required shock torque", value: formatTorque(required, units) + margin, width: 30 },
      { caption: "shocks and root", value: shock, width: 40 },
      { caption: "heat treater's tolerance", value: `± ${tolerance} HRC`, width: 16 },
      { caption: "teeth sharing load", value: sharingText(design), width: 28 },
      { caption: "face width", value: lengthText(profile.faceWidth, units), width: 16 },
    ],
  ];
}

/** Whether all that may come first is counted at a hardness of the sweep. */
const isCounted = (hrc: number, { uncounted }: Pick<HardnessWindow, "uncounted">): boolean =>
  !uncounted.some(({ ranges }) => ranges.some(([from, to]) => hrc >= from && hrc <= to));

/** "Not known at 40.1–48.0 HRC: no fatigue limit …": where what may come first is not counted, a sentence each. */
export const notKnownText = ({ uncounted, swept }: Pick<HardnessWindow, "uncounted" | "swept">): string[] =>
  uncounted.map(
    ({ ranges, why }) => `Not known at ${ranges.map(hrcText).join(" and ")}${sweptWords({ swept })}: ${why}.`,
  );

/** Rows for a terminal: hardness, mode, its torque; some ten of the sweep at even steps, and where the mode changes. */
export function hardnessRows(window: HardnessWindow, units: UnitChoice): string[][] {
  const rows: string[][] = [];
  const [softest, hardest] = [window.hardness[0]!, window.hardness.at(-1)!];
  const stride = Math.max(0.5, Math.ceil((hardest - softest) / 5) / 2);
  let next = softest;
  for (const [k, hrc] of window.hardness.entries()) {
    const last = k === window.hardness.length - 1;
    const changes = k > 0 && window.governing[k] !== window.governing[k - 1];
    const due = hrc >= next - 1e-9;
    if (due) next += stride;
    if (!due && !last && !changes) continue;
    const line = window.lines.find(({ id }) => id === window.governing[k])!;
    const band = { low: window.low[k]!, high: window.high[k]! };
    rows.push([
      String(hrc),
      modeName(line),
      ...torqueUnits(units).map(({ nmm }) => spanText(band, nmm)),
      isCounted(hrc, window)
        ? spanText({ low: band.low / window.required, high: band.high / window.required })
        : NOT_KNOWN,
    ]);
  }
  return rows;
}
