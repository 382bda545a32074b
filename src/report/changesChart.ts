import { scaleLinear } from "d3-scale";
import { formatTorque, type UnitChoice } from "../design/index.ts";
import type { Band, FairSplit } from "../strength/index.ts";
import { torqueBandText } from "./capacityText.ts";
import { capitalised } from "./capitalised.ts";
import { cautionsText, FRAME, sheetDocument, titleStrip } from "./sheet.ts";
import { INK, lineAt, num, SOFT_INK, textAt } from "./svg.ts";
import { bandColour } from "./temperRamp.ts";
import { fitText, wrapText } from "./textWidth.ts";
import { figures, inTorqueUnits, torqueHeads, torqueUnits } from "./units.ts";

/** The load case a split is of: the torque that breaks the part when it drives, or that at which over-running breaks pins or root. */
export type LoadCase = "drive" | "over-run";

/** How each is told. */
const WORDS: Readonly<
  Record<LoadCase, { readonly head: string; readonly measured: string; readonly goes: string }>
> = {
  drive: {
    head: "What each change bought",
    measured: "torque of the shock that breaks the part, in the way that governs",
    goes: "the torque that breaks the part",
  },
  "over-run": {
    head: "What each change bought in over-running",
    measured:
      "torque at which over-running breaks pins or root, from sticky and weakest to slippery and strongest",
    goes: "the torque at which over-running breaks pins or root",
  },
};

/** "What each change bought in over-running, from …", and what is measured. */
export const splitWords = (of: LoadCase): { readonly head: string; readonly measured: string } => WORDS[of];

/** A change without any effect, made whenever: no row is worth printing of it. */
export const noPart = ({ fair, alone, last }: FairSplit["changes"][number]): boolean =>
  [fair, alone, last].every(({ low, high }) => low === 0 && high === 0);

/** What one chart is drawn from. */
export interface ChangesChartInput {
  readonly part: string;
  /** Names of the variant before and of the one after. */
  readonly from: string;
  readonly to: string;
  readonly steels: readonly [string, string];
  /** Torque the part must stand, N·mm. */
  readonly required: number;
  readonly split: FairSplit;
  readonly units: UnitChoice;
  /** Drive when left out. */
  readonly of?: LoadCase;
  /** What to tell beside the torque before and after of teeth that part, empty where they stay together. */
  readonly parting?: readonly string[];
  /** What may come first and is not in the torques split. */
  readonly notes?: readonly string[];
}

const PLOT = { x0: 270, x1: 830 };
const TOP = 96;

/** "+1200" or "−350": an effect with its sign. */
const signed = (torque: number, per: number): string =>
  torque < 0 ? `−${figures(-torque / per)}` : `+${figures(torque / per)}`;

/** "+550 to +1130", one figure where both ends read alike. */
export function effectText({ low, high }: Band, per = 1000): string {
  const [a, b] = [signed(low, per), signed(high, per)];
  return a === b ? a : `${a} to ${b}`;
}

/** "+550 to +1130 N·m (+406 to +833 lbf·ft)". */
export function effectUnitsText(effect: Band, units: UnitChoice): string {
  return inTorqueUnits(units, (unit) => effectText(effect, unit));
}

/** What the split comes to, in sentences: the numbers are those of the split. */
export function splitSentences(
  from: string,
  to: string,
  split: FairSplit,
  units: UnitChoice,
  of: LoadCase = "drive",
): string[] {
  const middle = ({ low, high }: Band) => (low + high) / 2;
  const order = split.changes
    .filter((one) => !noPart(one))
    .sort((a, b) => Math.abs(middle(b.fair)) - Math.abs(middle(a.fair)));
  const sentences = [
    `From ${from} to ${to} ${WORDS[of].goes} goes from ${torqueBandText(split.before, units)} to ${torqueBandText(split.after, units)}: ${effectUnitsText(split.total, units)}.`,
  ];
  const whole = split.changes.reduce((sum, { fair }) => sum + middle(fair), 0);
  // shares of a whole mean nothing where one change undoes what another bought
  const oneWay = whole !== 0 && split.changes.every(({ fair }) => middle(fair) * whole >= 0);
  for (const { title, fair, uncertain, words } of order) {
    const share = oneWay ? `, ${figures((100 * middle(fair)) / whole, 2)} % of the whole` : "";
    const name = capitalised(title);
    if (uncertain && fair.high <= 0)
      sentences.push(
        `What ${title} cost is not well known: ${torqueBandText({ low: -fair.high, high: -fair.low }, units)}; ${words}.`,
      );
    else if (uncertain)
      sentences.push(
        `What ${title} bought is not ${fair.low >= 0 ? "well " : ""}known: ${effectUnitsText(fair, units)}; ${words}.`,
      );
    else if (fair.low === 0 && fair.high === 0) sentences.push(`${name} bought nothing.`);
    else if (fair.low >= 0) sentences.push(`${name} bought ${effectUnitsText(fair, units)}${share}.`);
    else
      sentences.push(`${name} cost ${torqueBandText({ low: -fair.high, high: -fair.low }, units)}${share}.`);
  }
  return sentences;
}

/**
 * What each change between two variants is worth, as bars with bands: the fair share filled, hatched where its band is wider than
 * itself, its effect alone and last as marks below. The same input gives the same bytes; all user text is escaped.
 */
export function changesChart(input: ChangesChartInput): string {
  const { part, from, to, steels, required, units, of = "drive" } = input;
  const split = { ...input.split, changes: input.split.changes.filter((one) => !noPart(one)) };
  const ends = [
    ...split.changes.flatMap(({ fair, alone, last }) => [fair, alone, last]),
    split.total,
  ].flatMap(({ low, high }) => [low, high]);
  const [main, other] = torqueUnits(units);
  const along = scaleLinear(
    [Math.min(0, ...ends) / main.nmm, Math.max(0, ...ends) / main.nmm],
    [PLOT.x0, PLOT.x1],
  ).nice();
  const x = (torque: number) => along(torque / main.nmm);
  const rows = split.changes.length + 1;
  const pitch = Math.min(116, 540 / rows);
  const bottom = TOP + pitch * rows;
  let svg = textAt(30, 40, fitText(`${WORDS[of].head}, from ${from} to ${to}`, 16, FRAME.width - 40), {
    size: 15,
    bold: true,
  });
  svg += textAt(
    30,
    57,
    `${WORDS[of].measured}; bar: share averaged over all orders of making the changes, low end to high end of its band; hatched: band wider than the effect`,
    { size: 10, colour: SOFT_INK },
  );
  const axis = { size: 9.5, anchor: "middle" } as const;
  for (const tick of along.ticks(8)) {
    const at = along(tick);
    svg += lineAt(at, TOP - 8, at, bottom, tick === 0 ? 1.2 : 0.4, tick === 0 ? INK : "#c3cad2");
    const text = (per: number) => (tick === 0 ? "0" : signed(tick * main.nmm, per));
    svg += textAt(at, bottom + 15, text(main.nmm), axis);
    if (other) svg += textAt(at, bottom + 27, `(${text(other.nmm)})`, { ...axis, colour: SOFT_INK });
  }
  for (const [k, head] of torqueHeads(units, "").entries())
    svg += textAt(PLOT.x1 + 26, bottom + 15 + 12 * k, head, { size: 9.5, colour: SOFT_INK });

  const room = FRAME.x + FRAME.width - 10 - (PLOT.x1 + 26);
  const row = (k: number, name: string, effect: Band, uncertain: boolean, words: string, total: boolean) => {
    const y = TOP + pitch * k;
    const thick = Math.min(24, pitch * 0.42);
    svg += textAt(PLOT.x0 - 14, y + thick * 0.72, fitText(name, 12, PLOT.x0 - 50), {
      size: 12,
      anchor: "end",
      bold: true,
    });
    const [a, b] = [x(effect.low), x(effect.high)];
    // from nothing to the end nearer to it the effect is sure; from there to the other end is its band
    const near = effect.low > 0 ? a : effect.high < 0 ? b : x(0);
    const rect = (u: number, v: number, fill: string, more = "") =>
      `<rect x="${num(Math.min(u, v))}" y="${num(y)}" width="${num(Math.abs(v - u))}" height="${num(thick)}" fill="${fill}"${more}/>`;
    svg += rect(x(0), near, bandColour(total ? 5 : 3, 8));
    svg += rect(a, b, bandColour(total ? 3 : 1, 8));
    if (uncertain) svg += rect(a, b, "url(#nw-unsure)");
    svg += rect(a, b, "none", ` stroke="${INK}" stroke-width=".9"`);
    if (near !== x(0)) svg += rect(x(0), near, "none", ` stroke="${INK}" stroke-width=".9"`);
    svg += textAt(PLOT.x1 + 26, y + 10, effectUnitsText(effect, units), { size: 10.5, bold: true });
    for (const [n, text] of wrapText(words, 9.5, room).slice(0, 2).entries())
      svg += textAt(PLOT.x1 + 26, y + 23 + 11 * n, text, { size: 9.5, colour: SOFT_INK });
    return y + thick;
  };
  for (const [k, { title, fair, alone, last, uncertain, words }] of split.changes.entries()) {
    const under = row(k, title, fair, uncertain, words, false);
    const mark = (effect: Band, y: number, name: string) => {
      svg += lineAt(x(effect.low), y, x(effect.high), y, 1.6, SOFT_INK);
      for (const end of [effect.low, effect.high]) svg += lineAt(x(end), y - 3, x(end), y + 3, 1, SOFT_INK);
      svg += textAt(PLOT.x0 - 14, y + 3, name, { size: 8.5, anchor: "end", colour: SOFT_INK });
    };
    if (pitch >= 46) {
      mark(alone, under + 9, "made alone");
      mark(last, under + 20, "made last");
    }
  }
  row(
    split.changes.length,
    "all together",
    split.total,
    false,
    `${torqueBandText(split.before, units)} before`,
    true,
  );

  const held = (input.parting ?? [])
    .map((text, k) => text && ` "${k === 0 ? from : to}": ${text}, in drive.`)
    .join("");
  const left = (input.notes ?? []).map((note) => ` ${note}.`).join("");
  const sentence = splitSentences(from, to, split, units, of)[0]! + held + left;
  for (const [k, text] of wrapText(sentence, 11.5, 660).entries())
    svg += textAt(30, 690 + 15 * k, text, { size: 11.5, bold: true });
  const strip = titleStrip([
    [
      { caption: "part", value: part, width: 36, bold: true },
      { caption: "from", value: from, width: 30, bold: true },
      { caption: "to", value: to, width: 30, bold: true },
      {
        caption: of === "drive" ? "required shock torque" : "largest over-run torque",
        value: formatTorque(required, units),
        width: 28,
      },
    ],
    [
      { caption: "steel before", value: steels[0], width: 30 },
      { caption: "steel after", value: steels[1], width: 30 },
      { caption: "breaks before at", value: torqueBandText(split.before, units), width: 32 },
      { caption: "breaks after at", value: torqueBandText(split.after, units), width: 32 },
    ],
  ]);
  svg += strip.svg;
  svg += cautionsText(726, strip.top - 72, 448);
  const hatch =
    `<defs><pattern id="nw-unsure" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
    `<path d="M0 3H6" stroke="${INK}" stroke-width="1"/></pattern></defs>`;
  return sheetDocument(`${part}: ${WORDS[of].head.toLowerCase()} from ${from} to ${to}`, hatch + svg);
}
