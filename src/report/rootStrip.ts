import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import type { VariantField, VariantResult } from "../answer/result.ts";
import { formatLength, formatStress } from "../design/index.ts";
import { rootProfile } from "./rootProfile.ts";
import type { StressScale } from "./stressScale.ts";
import { INK, lineAt, num, SOFT_INK, strokeAt, textAt } from "./svg.ts";
import { shortStressText } from "./units.ts";

/**
 * First principal stress along the root line, loaded flank through the fillet to the root land, in the box
 * at (x, y). Where the corner is sharp the curve leaves the top of the chart and is marked unbounded. `top`
 * is the stress at the chart's upper end, MPa, so that several charts can share it.
 */
export function rootStrip(
  result: VariantResult,
  field: VariantField,
  scale: StressScale,
  box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  top = stripTop(result),
): string {
  const { units } = result.design;
  const { root } = result;
  const reach = Math.max(0.45 * root.nominal.thickness, 4 * root.average.distance);
  const profile = rootProfile(result, field, reach);
  if (!profile) return "";
  const { s, stress } = profile;
  const from = s[0]!;
  const to = s[s.length - 1]!;
  const peak = root.peakPrincipal?.stress ?? null;
  const bottom = -0.18 * top; // the pushed flank; deeper is cut off, so that charts with one top share one scale
  const left = box.x + 6;
  const right = box.x + box.width - 104;
  const upper = box.y + 18;
  const lower = box.y + box.height - 24;
  const x = scaleLinear([from, to], [left, right]);
  const y = scaleLinear([bottom, top], [lower, upper]);
  let svg = textAt(box.x, box.y + 8, "First principal stress along the root line", {
    size: 10.5,
    bold: true,
  });

  // zones passed through, named under the line; breaks as thin uprights
  const spans = mergedZones(profile.zones);
  for (const [k, z] of spans.entries()) {
    const a = x(Math.max(z.from, from));
    const b = x(Math.min(z.to, to));
    if (k > 0) svg += lineAt(a, upper, a, lower + 4, 0.5, SOFT_INK, 'stroke-dasharray="2 2"');
    if (b - a > 30)
      svg += textAt((a + b) / 2, lower + 12, z.name, { size: 9, anchor: "middle", colour: SOFT_INK });
  }
  svg += lineAt(left, y(0), right, y(0), 0.9);

  // stresses that mean something, lettered at the right; pushed apart where close
  const marks = scale.lines
    .filter((l) => l.stress < top)
    .map((l) => ({ at: y(l.stress), text: `${l.name} ${shortStressText(l.stress, units)}` }));
  marks.push({ at: y(0), text: "0" });
  marks.sort((a, b) => b.at - a.at);
  let last = Infinity;
  for (const m of marks) {
    if (m.text !== "0") svg += lineAt(left, m.at, right, m.at, 0.6, SOFT_INK, 'stroke-dasharray="6 3"');
    const at = Math.min(m.at, last - 11);
    svg += textAt(right + 6, at + 3.5, m.text, { size: 9 });
    last = at;
  }
  const trace = line<number>()
    .x((k) => Number(num(x(s[k]!))))
    .y((k) => Number(num(y(Math.min(top, Math.max(bottom, stress[k]!))))))
    .defined((k) => stress[k]! <= top)
    .digits(2);
  svg += strokeAt(trace(Array.from(s, (_, k) => k)) ?? "", 1.5, INK, 'stroke-linejoin="round"');
  // lettered towards the roomier side
  const early = x(0) < (left + right) / 2;
  const aside = (gap: number) => x(0) + (early ? gap : -gap);
  const style = { size: 10, bold: true, halo: true, anchor: early ? "start" : "end" } as const;
  if (peak !== null) {
    svg += `<circle cx="${num(x(0))}" cy="${num(y(peak))}" r="2.4" fill="#fff" stroke="${INK}" stroke-width="1"/>`;
    svg += textAt(aside(6), Math.max(y(peak) - 4, upper + 5), formatStress(peak, units), style);
  } else {
    svg += textAt(aside(8), upper + 6, "unbounded (sharp)", style);
    svg += lineAt(x(0), lower, x(0), upper - 4, 0.6, INK, 'stroke-dasharray="1.5 2"');
  }
  svg += textAt(
    left,
    lower + 22,
    `0 = governing spot; ${formatLength(-from, units)} to the left, ${formatLength(to, units)} to the right`,
    {
      size: 9,
      colour: SOFT_INK,
    },
  );
  return svg;
}

/** Stress at the chart's upper end, MPa: a sharp corner's curve has no top, so it ends well above the average. */
export function stripTop({ root }: VariantResult): number {
  if (root.peakPrincipal !== null) return 1.12 * root.peakPrincipal.stress;
  return 1.8 * Math.max(root.average.principal, root.average.opening);
}

/** Neighbouring edges of one zone as one span; a root's arcs and its land are told apart. */
function mergedZones(zones: readonly { zone: string; kind: string; from: number; to: number }[]) {
  const spans: { name: string; from: number; to: number }[] = [];
  for (const z of zones) {
    const previous = spans.at(-1);
    if (previous && previous.name === z.zone) previous.to = z.to;
    else spans.push({ name: z.zone, from: z.from, to: z.to });
  }
  return spans;
}
