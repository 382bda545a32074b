import { MM_PER_INCH, MPA_PER_KSI, type UnitChoice } from "../design/index.ts";
import { CAUTIONS } from "./cautions.ts";
import { escapeXml } from "./escapeXml.ts";
import { HATCHES } from "./partFigure.ts";
import { BANDS, type StressScale } from "./stressScale.ts";
import { INK, LETTERING, lineAt, num, SOFT_INK, textAt } from "./svg.ts";
import { bandColour } from "./temperRamp.ts";
import { fitText, textWidth, wrapText } from "./textWidth.ts";
import { figures } from "./units.ts";
import { SHEET_HEIGHT, SHEET_WIDTH } from "./view.ts";

/** Frame of the sheet: everything drawn lies inside. */
export const FRAME = { x: 14, y: 14, width: SHEET_WIDTH - 28, height: SHEET_HEIGHT - 28 };

/** The whole document round the drawn `content`. `title` is what a window or reader calls it. */
export function sheetDocument(title: string, content: string): string {
  return (
    '<?xml version="1.0" encoding="UTF-8"?>\n' +
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${SHEET_WIDTH} ${SHEET_HEIGHT}" width="100%" height="100%" ` +
    `font-family="${LETTERING}">\n<title>${escapeXml(title)}</title>\n` +
    "<style>@page{size:landscape;margin:8mm}</style>\n" +
    `<defs>${HATCHES}</defs>\n` +
    `<rect width="${SHEET_WIDTH}" height="${SHEET_HEIGHT}" fill="#fff"/>\n` +
    `<rect x="${FRAME.x}" y="${FRAME.y}" width="${FRAME.width}" height="${FRAME.height}" fill="none" stroke="${INK}" stroke-width="1.4"/>\n` +
    `${content}\n</svg>\n`
  );
}

/** One box of the title strip. */
export interface TitleCell {
  readonly caption: string;
  readonly value: string;
  /** Share of the row's width. */
  readonly width: number;
  readonly bold?: boolean;
}

const ROW = 34;

/** Title strip along the foot of the frame; returns its drawing and its upper edge. */
export function titleStrip(rows: readonly (readonly TitleCell[])[]): { svg: string; top: number } {
  const top = FRAME.y + FRAME.height - ROW * rows.length;
  let svg = "";
  for (const [r, cells] of rows.entries()) {
    const y = top + r * ROW;
    svg += lineAt(FRAME.x, y, FRAME.x + FRAME.width, y, r === 0 ? 1.4 : 0.7);
    const whole = cells.reduce((sum, cell) => sum + cell.width, 0);
    let x = FRAME.x;
    for (const [k, cell] of cells.entries()) {
      const width = (FRAME.width * cell.width) / whole;
      if (k > 0) svg += lineAt(x, y, x, y + ROW, 0.7);
      svg += textAt(x + 7, y + 12, cell.caption, { size: 8.5, colour: SOFT_INK });
      let size = cell.bold ? 13 : 11.5;
      while (size > 9 && textWidth(cell.value, size) > width - 14) size -= 0.5;
      const shown = fitText(cell.value, size, width - 14);
      const text = textAt(x + 7, y + 27, shown, { size, bold: cell.bold ?? false });
      // what had to be cut is still there for whoever points at it
      svg += shown === cell.value ? text : `<g><title>${escapeXml(cell.value)}</title>${text}</g>`;
      x += width;
    }
  }
  return { svg, top };
}

/**
 * The key to the colours, drawn as a shop rule: graduations in tenths of the limit, the share above, the
 * stress below in the user's units, hatched end pieces for what is beyond. `withStress` false leaves the
 * stresses out, where several steels share one key.
 */
export function stressRule(
  x: number,
  y: number,
  width: number,
  scale: StressScale,
  units: UnitChoice,
  withStress = true,
): string {
  const over = scale.tensile === null ? 1 : 2;
  const step = width / (BANDS + 1.3 * over);
  const tail = 1.3 * step;
  const height = 13;
  const top = y + 29; // clear of the heading
  const word = scale.basis === "yield" ? "yield" : "reference";
  const beyond = over === 2 ? "hatched over yield, cross-hatched over tensile" : `hatched over the ${word}`;
  const heading = ["von Mises stress as a share of the ", "share of the "]
    .map((lead) => `${lead}${scale.meaning}; ${beyond}`)
    .find((text, k) => k === 1 || textWidth(text, 9.5) <= width)!;
  let svg = textAt(x, y + 8, fitText(heading, 9.5, width), { size: 9.5 });
  for (let k = 0; k < BANDS; k++) {
    svg += `<rect x="${num(x + k * step)}" y="${top}" width="${num(step)}" height="${height}" fill="${bandColour(k, BANDS + 1)}"/>`;
  }
  const end = x + BANDS * step;
  svg += `<rect x="${num(end)}" y="${top}" width="${num(tail * over)}" height="${height}" fill="${bandColour(BANDS, BANDS + 1)}"/>`;
  svg += `<rect x="${num(end)}" y="${top}" width="${num(tail * over)}" height="${height}" fill="url(#nw-over)"/>`;
  if (over === 2) {
    svg += `<rect x="${num(end + tail)}" y="${top}" width="${num(tail)}" height="${height}" fill="url(#nw-beyond)"/>`;
  }
  svg += `<rect x="${num(x)}" y="${top}" width="${num(width)}" height="${height}" fill="none" stroke="${INK}" stroke-width=".9"/>`;
  const stress = (mpa: number) => ({
    metric: figures(mpa),
    inch: figures(mpa / MPA_PER_KSI),
  });
  for (let k = 1; k <= BANDS; k++) {
    const long = k % 5 === 0;
    svg += lineAt(x + k * step, top + (long ? -5 : 0), x + k * step, top + height + (long ? 5 : 2.5), 0.8);
  }
  const mark = (at: number, above: string, mpa: number, anchor: "start" | "middle") => {
    svg += textAt(at, top - 8, above, { size: 9, anchor });
    if (!withStress) return;
    const { metric, inch } = stress(mpa);
    const first = units === "inch" ? inch : metric;
    svg += textAt(at, top + height + 13, first, { size: 9, anchor });
    if (units === "both") svg += textAt(at, top + height + 24, inch, { size: 9, anchor });
  };
  mark(x, "0", 0, "start");
  for (const k of [2, 8]) mark(x + k * step, `${k * 10} %`, (scale.full * k) / BANDS, "middle");
  mark(x + 5 * step, `half ${word}`, scale.full / 2, "middle");
  mark(end, word, scale.full, "middle");
  if (scale.tensile !== null) {
    svg += lineAt(end + tail, top - 5, end + tail, top + height + 5, 0.8);
    mark(end + tail, "tensile", scale.tensile, "middle");
  }
  if (!withStress) return svg;
  const unitX = x + width + 6;
  svg += textAt(unitX, top + height + 13, units === "inch" ? "ksi" : "MPa", { size: 9, colour: SOFT_INK });
  if (units === "both") svg += textAt(unitX, top + height + 24, "ksi", { size: 9, colour: SOFT_INK });
  return svg;
}

/** The cautions, set in the given width. */
export function cautionsText(x: number, y: number, width: number): string {
  const size = 9.5;
  return wrapText(CAUTIONS.join(" "), size, width)
    .map((line, k) => textAt(x, y + 8 + 11.5 * k, line, { size, colour: INK }))
    .join("");
}

/** Scale bars: mm, inch, or both one under the other, starting at x. `scale` in sheet units per mm. */
export function scaleBar(x: number, y: number, scale: number, wanted: number, units: UnitChoice): string {
  let svg = "";
  let row = y;
  const bar = (unitMm: number, name: string) => {
    const length = roundLength(wanted / (scale * unitMm));
    const w = length * unitMm * scale;
    const left = x;
    // alternate halves filled, like a map's bar, with end ticks
    svg += `<rect x="${num(left)}" y="${num(row - 4)}" width="${num(w / 2)}" height="4" fill="${INK}"/>`;
    svg += `<rect x="${num(left)}" y="${num(row - 4)}" width="${num(w)}" height="4" fill="none" stroke="${INK}" stroke-width=".7"/>`;
    svg += textAt(left + w + 6, row, `${length} ${name}`, { size: 9.5 });
    row += 13;
  };
  if (units !== "inch") bar(1, "mm");
  if (units !== "metric") bar(MM_PER_INCH, "in");
  return svg;
}

/** 1, 2 or 5 times a power of ten, not above `value`. */
function roundLength(value: number): number {
  const decade = 10 ** Math.floor(Math.log10(value));
  for (const s of [5, 2, 1]) if (s * decade <= value) return Number((s * decade).toPrecision(1));
  return decade;
}
