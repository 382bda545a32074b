import type { Outline } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";
import { type Polyline, regionsAbove } from "./bands.ts";
import { outlinePath } from "./outlinePath.ts";
import { pathData } from "./pathData.ts";
import { BANDS, bandLevels, type NamedStress, type StressScale } from "./stressScale.ts";
import { INK, strokeAt } from "./svg.ts";
import { bandColour } from "./temperRamp.ts";
import { type Tessellation, tessellate } from "./tessellate.ts";
import type { View } from "./view.ts";

export interface FigureInput {
  readonly outline: Outline;
  readonly mesh: Mesh;
  /** Von Mises stress per node, MPa. */
  readonly values: Float64Array;
  readonly view: View;
  readonly scale: StressScale;
  /** Round window of the sheet; nothing outside is drawn. `id` names its clip. */
  readonly window?: { readonly x: number; readonly y: number; readonly radius: number; readonly id: string };
  /** Class of the outline path, by which the read-out finds it. */
  readonly name: string;
}

export interface Figure {
  readonly svg: string;
  readonly tessellation: Tessellation;
  /** Contours that carry a name, for lettering. */
  readonly named: readonly { readonly line: NamedStress; readonly contours: readonly Polyline[] }[];
}

/** Farthest that colour edges and contours may lie from their true place, sheet units. */
const TRACE_TOLERANCE = 0.06;
const SIMPLIFY_TOLERANCE = 0.04;

/** Hatches for what lies beyond the limits; once per document. */
export const HATCHES =
  '<pattern id="nw-over" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">' +
  '<path d="M0 3H6" stroke="#fbf3dc" stroke-width="1.1"/></pattern>' +
  '<pattern id="nw-beyond" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)">' +
  '<path d="M0 3H6" stroke="#fbf3dc" stroke-width="1.1"/></pattern>';

/** The coloured part: bands from pale to dark, hatches beyond the limits, named contours, true outline. */
export function partFigure(input: FigureInput): Figure {
  const { outline, mesh, values, view, scale, window, name } = input;
  const levels = bandLevels(scale);
  const tessellation = tessellate(mesh, values, {
    view,
    levels,
    tolerance: TRACE_TOLERANCE,
    smallest: 0.8,
    ...(window ? { within: window } : {}),
  });
  const regions = regionsAbove(tessellation, levels, SIMPLIFY_TOLERANCE);
  const edge = outlinePath(outline, view);
  let svg = `<path class="${name}" d="${edge}" fill="${bandColour(0, BANDS + 1)}" fill-rule="evenodd"/>`;
  for (const [k, region] of regions.entries()) {
    const d = pathData(region.rings);
    if (d === "") continue;
    if (k < BANDS - 1) svg += `<path d="${d}" fill="${bandColour(k + 1, BANDS + 1)}"/>`;
    else if (k === BANDS - 1) {
      svg += `<path d="${d}" fill="${bandColour(BANDS, BANDS + 1)}"/><path d="${d}" fill="url(#nw-over)"/>`;
    } else svg += `<path d="${d}" fill="url(#nw-beyond)"/>`;
  }
  const named: { line: NamedStress; contours: readonly Polyline[] }[] = [];
  for (const line of scale.lines) {
    const region = regions.find((r) => Math.abs(r.level - line.stress) <= 1e-9 * line.stress);
    if (!region || region.contours.length === 0) continue;
    named.push({ line, contours: region.contours });
    const d = pathData(region.contours);
    svg += strokeAt(d, 2, "#fff", 'stroke-opacity=".7" stroke-linejoin="round"');
    svg += strokeAt(d, 0.9, INK, 'stroke-linejoin="round"');
  }
  svg += strokeAt(edge, window ? 1.3 : 1.1, INK, 'stroke-linejoin="round"');
  if (window) {
    const circle = `cx="${window.x}" cy="${window.y}" r="${window.radius}"`;
    svg =
      `<clipPath id="${window.id}"><circle ${circle}/></clipPath>` +
      `<g clip-path="url(#${window.id})">${svg}</g>` +
      `<circle ${circle} fill="none" stroke="${INK}" stroke-width="1.2"/>`;
  }
  return { svg, tessellation, named };
}
