import { scaleLog } from "d3-scale";
import { line } from "d3-shape";
import type { VariantResult } from "../answer/result.ts";
import { INK, LETTERING, lineAt, num, SOFT_INK, strokeAt, textAt } from "./svg.ts";
import { figures } from "./units.ts";

const WIDTH = 360;
const HEIGHT = 150;
const BOX = { x0: 58, x1: 330, y0: 26, y1: 116 };

/**
 * How the estimated error of a variant's root stress came down: a point for each mesh solved, unknowns across and
 * estimate up, both by powers of ten, the target as a dashed line. A small SVG to stand in a page.
 */
export function passesChart({ design, passes, accuracy }: VariantResult): string {
  const unknowns = passes.map((pass) => pass.unknowns);
  const estimates = [...passes.map((pass) => pass.estimate), accuracy.target].filter((e) => e > 0);
  const x = scaleLog()
    .domain([Math.min(...unknowns) / 1.5, Math.max(...unknowns) * 1.5])
    .range([BOX.x0, BOX.x1]);
  const y = scaleLog()
    .domain([Math.min(...estimates) / 1.6, Math.max(...estimates) * 1.6])
    .range([BOX.y1, BOX.y0]);
  const percent = (fraction: number) => `${figures(100 * fraction, 2)} %`;
  let svg = textAt(8, 15, design.variant, { size: 11, bold: true });
  svg += strokeAt(`M${BOX.x0} ${BOX.y0}V${BOX.y1}H${BOX.x1}`, 0.8);
  const target = y(accuracy.target);
  svg += lineAt(BOX.x0, target, BOX.x1, target, 0.8, SOFT_INK, 'stroke-dasharray="5 3"');
  svg += textAt(BOX.x0 - 5, target + 3, percent(accuracy.target), {
    size: 9,
    anchor: "end",
    colour: SOFT_INK,
  });
  const path = line<(typeof passes)[number]>()
    .x((pass) => x(pass.unknowns))
    .y((pass) => y(pass.estimate))
    .digits(2);
  svg += strokeAt(path([...passes])!, 1.2);
  for (const [k, pass] of passes.entries()) {
    const [px, py] = [x(pass.unknowns), y(pass.estimate)];
    svg += `<circle cx="${num(px)}" cy="${num(py)}" r="2.6" fill="${INK}"/>`;
    // labels over falling points, so that the line stays clear of them
    if (k === 0 || k === passes.length - 1 || passes.length <= 4) {
      svg += textAt(px + 5, py - 5, percent(pass.estimate), { size: 9 });
      svg += textAt(px, BOX.y1 + 12, String(pass.unknowns), { size: 9, anchor: "middle" });
    }
  }
  svg += textAt((BOX.x0 + BOX.x1) / 2, HEIGHT - 6, "unknowns", {
    size: 9,
    anchor: "middle",
    colour: SOFT_INK,
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" ` +
    `font-family="${LETTERING}" role="img">${svg}</svg>`
  );
}
