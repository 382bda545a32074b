import type { VariantField, VariantResult } from "../answer/result.ts";
import { formatStress } from "../design/index.ts";
import { contourLabels, type Disc } from "./contourLabels.ts";
import { flatOutline } from "./flatOutline.ts";
import { type Figure, partFigure } from "./partFigure.ts";
import type { StressScale } from "./stressScale.ts";
import { INK, lineAt, num, strokeAt, textAt } from "./svg.ts";
import { lengthText, shareText, shortStressText } from "./units.ts";
import { sheetX, sheetY, type View } from "./view.ts";

export interface WindowInput {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly values: Float64Array;
  readonly scale: StressScale;
  /** Turn of the main view, kept. */
  readonly turn: { readonly cos: number; readonly sin: number };
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  /** Sheet units per mm inside the window. */
  readonly magnified: number;
  readonly id: string;
}

export interface RootWindow {
  readonly svg: string;
  readonly view: View;
  readonly figure: Figure;
  /** Governing spot on the sheet and the unit direction from it out of the material. */
  readonly spot: { readonly x: number; readonly y: number; readonly outX: number; readonly outY: number };
}

/** The governing spot: place of the von Mises peak on a rounded root, the corner itself when sharp. */
export function governingSpot(result: VariantResult): { x: number; y: number } {
  const { root } = result;
  return root.peakVonMises ?? { x: root.average.x, y: root.average.y };
}

/** Radius of part worth seeing round the governing root, mm. */
export function windowReach(result: VariantResult): number {
  const { profile, averagingDistance } = result.design;
  const { thickness } = result.root.nominal;
  const given =
    profile.kind === "face tooth"
      ? profile.loadedFlank === "drive"
        ? profile.driveRootRadius
        : profile.overrunRootRadius
      : profile.rootRadius;
  const radius = given === "full" ? 0.25 * thickness : given;
  return Math.min(0.6 * thickness, Math.max(1.7 * radius, 3.2 * averagingDistance, 0.08 * thickness));
}

/** Round magnified view of the governing root with its spot and averaging path marked. */
export function rootWindow(input: WindowInput): RootWindow {
  const { result, field, values, scale, turn, x, y, radius, magnified, id } = input;
  const { average } = result.root;
  const spot = governingSpot(result);
  const centre: View = { ...turn, scale: magnified, x: 0, y: 0 };
  const view: View = {
    ...centre,
    x: x - sheetX(centre, spot.x, spot.y),
    y: y - sheetY(centre, spot.x, spot.y),
  };
  const figure = partFigure({
    outline: field.outline,
    mesh: field.mesh,
    values,
    view,
    scale,
    window: { x, y, radius, id },
    name: id,
  });
  // the averaging path: from the surface inwards, with ticks at both ends
  const ax = sheetX(view, average.x, average.y);
  const ay = sheetY(view, average.x, average.y);
  const bx = sheetX(
    view,
    average.x + average.dx * average.distance,
    average.y + average.dy * average.distance,
  );
  const by = sheetY(
    view,
    average.x + average.dx * average.distance,
    average.y + average.dy * average.distance,
  );
  const length = Math.hypot(bx - ax, by - ay);
  const ux = (bx - ax) / length;
  const uy = (by - ay) / length;
  const path =
    `M${num(ax)} ${num(ay)}L${num(bx)} ${num(by)}` +
    `M${num(bx - 4 * uy)} ${num(by + 4 * ux)}L${num(bx + 4 * uy)} ${num(by - 4 * ux)}`;
  let svg = figure.svg + strokeAt(path, 3.4, "#fff") + strokeAt(path, 1.4);
  // the spot: an open ring, its cross hairs outside so that the place itself stays visible
  svg += `<circle cx="${num(x)}" cy="${num(y)}" r="4.2" fill="none" stroke="#fff" stroke-width="3"/>`;
  svg += `<circle cx="${num(x)}" cy="${num(y)}" r="4.2" fill="none" stroke="${INK}" stroke-width="1.2"/>`;

  const taken: Disc[] = [
    { x, y, radius: 10 },
    { x: (ax + bx) / 2, y: (ay + by) / 2, radius: length / 2 + 6 },
  ];
  const flat = flatOutline(field.outline, view);
  const jobs = figure.named.map(({ line, contours }) => ({
    text: radius < 150 ? line.name : `${line.name} ${shortStressText(line.stress, result.design.units)}`,
    contours,
  }));
  svg += contourLabels(jobs, flat, taken, (px, py) => Math.hypot(px - x, py - y) < radius - 8);

  // the path runs inwards along the normal (or the bisector), so its reverse looks out of the material
  return { svg, view, figure, spot: { x, y, outX: -ux, outY: -uy } };
}

/**
 * What the governing root answers, line by line; the first is the headline. `compact` keeps the average on one
 * line, its distance in one unit.
 */
export function rootLines(result: VariantResult, scale: StressScale, compact = false): string[] {
  const { root, design } = result;
  const { units } = design;
  const of = scale.basis === "yield" ? "yield" : "reference";
  const average = formatStress(root.average.opening, units);
  const distance = root.average.distance;
  const mean = compact
    ? [`over ${lengthText(distance, units === "inch" ? "inch" : "metric")}: ${average}`]
    : [`average over ${lengthText(distance, units)}:`, `${average} opening`];
  if (root.peakVonMises === null || root.peakPrincipal === null) {
    return [
      "unbounded (sharp)",
      ...mean,
      `average is ${shareText(root.average.opening / scale.full)} of ${of}`,
    ];
  }
  return [
    `peak ${formatStress(root.peakVonMises.stress, units)}`,
    `von Mises, ${shareText(root.peakVonMises.stress / scale.full)} of ${of}`,
    `${formatStress(root.peakPrincipal.stress, units)} principal`,
    ...mean,
  ];
}

/**
 * A block of lines outside a round window, in the corner the spot looks out to, on a leader from the spot.
 * The corner lies within 45° of straight out, so the leader crosses the open side and not the colours.
 */
export function spotBlock(window: RootWindow, radius: number, lines: readonly string[]): string {
  const { x, y, outX, outY } = window.spot;
  const pitch = 13.5;
  const right = outX >= -1e-9;
  const down = outY >= 0;
  const ux = (right ? 1 : -1) * Math.SQRT1_2;
  const uy = (down ? 1 : -1) * Math.SQRT1_2;
  const ex = x + ux * (radius + 4);
  const ey = y + uy * (radius + 4);
  let svg = lineAt(x + 6 * ux, y + 6 * uy, ex, ey, 2.4, "#fff") + lineAt(x + 6 * ux, y + 6 * uy, ex, ey, 0.8);
  const bx = ex + (right ? 5 : -5);
  const by = down ? ey + 9 : ey - (lines.length - 1) * pitch;
  for (const [k, text] of lines.entries()) {
    svg += textAt(bx, by + k * pitch, text, {
      size: k === 0 ? 12 : 10.5,
      bold: k === 0,
      anchor: right ? "start" : "end",
    });
  }
  return svg;
}
