import { scaleLinear, scaleLog } from "d3-scale";
import { line } from "d3-shape";
import { INK, LETTERING, num, SOFT_INK, textAt } from "../report/svg.ts";

export interface Axis {
  readonly label: string;
  readonly from: number;
  readonly to: number;
  readonly log?: boolean;
  readonly ticks: readonly number[];
  readonly tickText?: (value: number) => string;
}

export interface Series {
  readonly name: string;
  readonly points: readonly (readonly [number, number])[];
  readonly draw: "line" | "dashed" | "dots" | "rings";
  readonly colour: string;
}

/** Dark to light, apart from each other also in grey. */
export const COLOURS = ["#1b2430", "#7a3b69", "#b5651d", "#3f6d8e", "#8a8f98"];

const WIDTH = 760;
const HEIGHT = 430;
const BOX = { x0: 74, x1: 550, y0: 24, y1: 370 };

/** A plain chart as a self-contained SVG: axes with ticks, lines and marks, names at the right. The same input gives the same bytes. */
export function plot(
  title: string,
  x: Axis,
  y: Axis,
  series: readonly Series[],
  notes: readonly string[] = [],
): string {
  const scale = (axis: Axis, range: [number, number]) =>
    axis.log
      ? scaleLog().domain([axis.from, axis.to]).range(range)
      : scaleLinear().domain([axis.from, axis.to]).range(range);
  const px = scale(x, [BOX.x0, BOX.x1]);
  const py = scale(y, [BOX.y1, BOX.y0]);
  const path = line<readonly [number, number]>()
    .x((p) => Number(num(px(p[0]))))
    .y((p) => Number(num(py(p[1]))));
  let svg = "";
  for (const t of x.ticks) {
    svg += `<path d="M${num(px(t))} ${BOX.y0}V${BOX.y1 + 5}" stroke="#d8dce2" stroke-width=".8"/>`;
    svg += textAt(px(t), BOX.y1 + 18, (x.tickText ?? String)(t), { anchor: "middle", colour: SOFT_INK });
  }
  for (const t of y.ticks) {
    svg += `<path d="M${BOX.x0 - 5} ${num(py(t))}H${BOX.x1}" stroke="#d8dce2" stroke-width=".8"/>`;
    svg += textAt(BOX.x0 - 9, py(t) + 4, (y.tickText ?? String)(t), { anchor: "end", colour: SOFT_INK });
  }
  svg += `<path d="M${BOX.x0} ${BOX.y0}V${BOX.y1}H${BOX.x1}" fill="none" stroke="${INK}" stroke-width="1.1"/>`;
  svg += textAt((BOX.x0 + BOX.x1) / 2, BOX.y1 + 40, x.label, { anchor: "middle", size: 12 });
  svg += textAt(18, (BOX.y0 + BOX.y1) / 2, y.label, { anchor: "middle", size: 12, turn: -90 });
  let row = BOX.y0 + 12;
  for (const { name, points, draw, colour } of series) {
    const shown = points.filter(([a, b]) => a >= x.from && a <= x.to && b >= y.from && b <= y.to);
    const key = BOX.x1 + 18;
    if (draw === "line" || draw === "dashed") {
      const dash = draw === "dashed" ? ' stroke-dasharray="5 4"' : "";
      const d = path(shown) ?? "";
      svg += `<path d="${d}" fill="none" stroke="${colour}" stroke-width="1.4"${dash}/>`;
      svg += `<path d="M${key} ${row - 4}h20" stroke="${colour}" stroke-width="1.4"${dash}/>`;
    } else {
      const mark = (cx: number, cy: number) =>
        `<circle cx="${num(cx)}" cy="${num(cy)}" r="3" ` +
        (draw === "dots" ? `fill="${colour}"/>` : `fill="#fff" stroke="${colour}" stroke-width="1.2"/>`);
      for (const [a, b] of shown) svg += mark(px(a), py(b));
      svg += mark(key + 10, row - 4);
    }
    svg += textAt(key + 27, row, name);
    row += 19;
  }
  row += 8;
  for (const note of notes) {
    svg += textAt(BOX.x1 + 18, row, note, { colour: SOFT_INK, size: 10.5 });
    row += 15;
  }
  return sheet(WIDTH, HEIGHT, title, svg);
}

/** An SVG document with a white ground and a spoken title. */
export function sheet(width: number, height: number, title: string, body: string): string {
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" ` +
    `role="img" font-family="${LETTERING}"><title>${title}</title>` +
    `<rect width="${width}" height="${height}" fill="#fff"/>${body}</svg>\n`
  );
}
