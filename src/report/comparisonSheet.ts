import { formatStress } from "../design/index.ts";
import { ktText, loadText, profileText, rootText, sharingText, steelText } from "./describe.ts";
import { pushedHigher } from "./judged.ts";
import { nodalVonMises } from "./nodalVonMises.ts";
import { ratioSentence } from "./ratioSentence.ts";
import { rootStrip, stripTop } from "./rootStrip.ts";
import { rootLines, rootWindow, windowReach } from "./rootWindow.ts";
import { cautionsText, scaleBar, sheetDocument, stressRule, type TitleCell, titleStrip } from "./sheet.ts";
import { type MapInput, turnFor } from "./stressMap.ts";
import { SOFT_INK, textAt } from "./svg.ts";
import { fitText, wrapText } from "./textWidth.ts";
import { shareText } from "./units.ts";
import { ratioText, roundRatio, UNITS_PER_PAPER_MM } from "./view.ts";

/** Most variants one sheet holds. */
export const MOST_COMPARED = 6;

/** Columns, rows and window radius by number of variants. */
const LAYOUT: readonly { columns: number; rows: number; radius: number }[] = [
  { columns: 2, rows: 1, radius: 208 },
  { columns: 3, rows: 1, radius: 182 },
  { columns: 2, rows: 2, radius: 116 },
  { columns: 3, rows: 2, radius: 94 },
  { columns: 3, rows: 2, radius: 94 },
];

/**
 * Governing roots of two to six variants side by side, all at one magnification and on one colour scale
 * (share of each one's limit), with what they answer and how each compares with the first in words.
 * @throws Error for fewer than two or more than six variants.
 */
export function comparisonSheet(inputs: readonly MapInput[]): string {
  if (inputs.length < 2 || inputs.length > MOST_COMPARED) {
    throw new Error(`comparison sheet: 2 to ${MOST_COMPARED} variants fit, not ${inputs.length}`);
  }
  const { columns, rows, radius } = LAYOUT[inputs.length - 2]!;
  const first = inputs[0]!;
  const { units } = first.result.design;
  const reach = Math.max(...inputs.map(({ result }) => windowReach(result)));
  const magnified = UNITS_PER_PAPER_MM * roundRatio(radius / reach / UNITS_PER_PAPER_MM);
  const width = 1160 / columns;
  const height = 560 / rows;
  const below = rows === 1;

  // all charts end at one stress, so that they can be laid side by side
  const chartTop = Math.max(...inputs.map(({ result }) => stripTop(result)));
  const stripBottom = 690 - 16 * inputs.length;

  let svg = "";
  for (const [k, input] of inputs.entries()) {
    const { result, field, scale } = input;
    const left = 20 + (k % columns) * width;
    const top = 24 + Math.floor(k / columns) * height;
    const letter = String.fromCharCode(65 + k);
    // one row: window over its figures; two rows: figures at the window's right
    const x = below ? left + width / 2 : left + radius + 10;
    const y = top + radius + (below ? 44 : 40);
    const title = `${letter}: ${result.design.variant}`;
    svg += textAt(left + 6, top + 12, fitText(title, 13, width - 20), { size: 13, bold: true });
    const about = `${rootText(result.design)}; ${steelText(result)}`;
    svg += textAt(left + 6, top + 27, fitText(about, 10, width - 20), { size: 10, colour: SOFT_INK });
    svg += rootWindow({
      result,
      field,
      values: nodalVonMises(field.stress, result.design.material),
      scale,
      turn: turnFor(result),
      x,
      y,
      radius,
      magnified,
      id: `nw-root-${k}`,
    }).svg;
    const full = `100 % = ${formatStress(scale.full, result.design.units)}`;
    const kt = `Kt ${ktText(result)}`;
    const { stress: highest } = result.root.highestVonMises ?? { stress: 0 };
    // the share of yield that tables tell is that one's
    const any = pushedHigher(result)
      ? [`any root ${formatStress(highest, result.design.units)}, ${shareText(highest / scale.full)}`]
      : [];
    const lines = [...rootLines(result, scale, true), ...any, kt, full];
    const size = below ? 13 : 12;
    const x0 = below ? left + 26 : x + radius + 14;
    const y0 = below ? y + radius + 20 : y - 40;
    const room = below ? width - 46 : width - 2 * radius - 30;
    svg += textAt(x0, y0, fitText(lines[0]!, size, room), { size, bold: true });
    // under a window the rest stands in two columns
    const half = below ? Math.ceil((lines.length - 1) / 2) : lines.length;
    for (const [n, text] of lines.slice(1).entries()) {
      const at = x0 + Math.floor(n / half) * (room / 2);
      const small = below ? 10.5 : 10;
      const shown = fitText(text, small, below ? room / 2 - 4 : room);
      svg += textAt(at, y0 + 15 + 14 * (n % half), shown, { size: small });
    }
    if (below) {
      const box = { x: left + 26, y: y0 + 64, width: width - 40, height: stripBottom - y0 - 64 };
      svg += rootStrip(result, field, scale, box, chartTop);
    }
  }

  const strip = titleStrip(titleRows(inputs, ratioText(magnified / UNITS_PER_PAPER_MM)));
  const oneLimit = inputs.every(
    ({ scale }) => scale.full === first.scale.full && scale.tensile === first.scale.tensile,
  );
  const scale = oneLimit
    ? first.scale
    : {
        ...first.scale,
        meaning: "limit of each variant's own steel and hardness (low end of its yield band)",
      };
  svg += strip.svg;
  svg += stressRule(30, strip.top - 79, 610, scale, units, oneLimit);
  svg += scaleBar(880, strip.top - 68, magnified, 110, units);
  svg += textAt(726, strip.top - 68, "all windows at one scale:", { size: 10.5 });
  svg += cautionsText(726, strip.top - 50, 448);

  const sentences = inputs.slice(1).map((other) => ratioSentence(first.result, other.result));
  const lines = sentences.flatMap((s) => wrapText(s, 12, 1140));
  const start = strip.top - 79 - 16 * Math.min(lines.length, 6) - 2;
  for (const [k, text] of lines.slice(0, 6).entries()) {
    svg += textAt(30, start + 16 * k, text, { size: 12, bold: true });
  }
  const parts = [...new Set(inputs.map(({ result }) => result.design.part))];
  return sheetDocument(`${parts.join(", ")}: roots compared`, svg);
}

function titleRows(inputs: readonly MapInput[], ratio: string): TitleCell[][] {
  const shared = (say: (r: MapInput["result"]) => string) => {
    const all = [...new Set(inputs.map(({ result }) => say(result)))];
    return all.length === 1 ? all[0]! : "differs; see each variant's own map";
  };
  return [
    [
      {
        caption: "part",
        value: [...new Set(inputs.map(({ result }) => result.design.part))].join(", "),
        width: 30,
        bold: true,
      },
      {
        caption: "variants compared",
        value: inputs.map(({ result }) => result.design.variant).join("  |  "),
        width: 60,
        bold: true,
      },
      { caption: "scale on A4; go by the bars", value: ratio, width: 20 },
    ],
    [
      { caption: "torque × shock factor", value: shared(loadText), width: 42 },
      { caption: "teeth sharing load", value: shared((r) => sharingText(r.design)), width: 30 },
      { caption: "profile", value: shared((r) => profileText(r.design)), width: 40 },
    ],
  ];
}
