import type { Design } from "../design/index.ts";
import { curvePoint, type Edge, type Outline, outlineEdges } from "../geometry/index.ts";
import { radiusText, rootText } from "./describe.ts";
import { spreadApart } from "./spreadApart.ts";
import { arrowHead, CHAIN, INK, lineAt, num, SOFT_INK, strokeAt, textAt } from "./svg.ts";
import { fitText } from "./textWidth.ts";
import { angleText, lengthText } from "./units.ts";
import { sheetX, sheetY, type View } from "./view.ts";

interface Callout {
  readonly text: string;
  /** Where the leader ends, sheet units. */
  readonly x: number;
  readonly y: number;
  /** Height on the sheet the lettering would like to stand at. */
  readonly wish: number;
  readonly arrow: boolean;
}

export interface CalloutInput {
  readonly design: Design;
  readonly outline: Outline;
  readonly view: View;
  readonly loadedEdges: readonly string[];
  readonly ring: boolean;
  /** Right end of the lettering column, and the heights between which it may stand. */
  readonly column: { readonly right: number; readonly top: number; readonly bottom: number };
}

/** Dimension call-outs with leaders, in one column left of the part, and the lines they refer to. */
export function callouts(input: CalloutInput): string {
  const { svg, list } =
    input.design.profile.kind === "face tooth" ? faceTooth(input) : spline(input, input.design.profile);
  const root = rootCallout(input);
  return svg + column(root ? [...list, root] : list, input.column);
}

/** Lettering set one under the other, as near as it can be to where each would like to stand. */
function column(list: readonly Callout[], at: CalloutInput["column"]): string {
  const sorted = [...list].sort((a, b) => a.wish - b.wish);
  const gap = 17;
  const ys = spreadApart(
    sorted.map((c) => c.wish),
    sorted.map(() => gap),
    { first: at.top, last: at.bottom },
  );
  let svg = "";
  for (const [k, c] of sorted.entries()) {
    const y = ys[k]!;
    svg += textAt(at.right, y + 4, fitText(c.text, 10.5, at.right - 20), { size: 10.5, anchor: "end" });
    const elbow = at.right + 12;
    svg += strokeAt(`M${num(at.right + 4)} ${num(y)}H${num(elbow)}L${num(c.x)} ${num(c.y)}`, 0.6);
    const length = Math.hypot(c.x - elbow, c.y - y) || 1;
    svg += c.arrow
      ? `<path d="${arrowHead(c.x, c.y, (c.x - elbow) / length, (c.y - y) / length)}" fill="${INK}"/>`
      : `<circle cx="${num(c.x)}" cy="${num(c.y)}" r="1.6" fill="${INK}"/>`;
  }
  return svg;
}

type Spline = Exclude<Design["profile"], { kind: "face tooth" }>;

function spline(input: CalloutInput, profile: Spline): { svg: string; list: Callout[] } {
  const { view, outline, ring, design } = input;
  const half = Math.PI / profile.teeth;
  const reach = 12 / view.scale; // how far extension lines stand out, mm
  const back = profile.kind === "internal spline" ? "outside" : "bore";
  const circles: { d: number; name: string; chain: boolean }[] = [
    { d: profile.backDiameter, name: back, chain: false },
    { d: profile.rootDiameter, name: "root", chain: false },
    { d: profile.pitchDiameter, name: "pitch", chain: true },
    { d: profile.tipDiameter, name: "tip", chain: false },
  ];
  let svg = "";
  const list: Callout[] = [];
  for (const [k, c] of circles.entries()) {
    const r = c.d / 2;
    // the model's +y side of the sector is the sheet's left; on a whole ring the marks fan out there
    const left = ring ? Math.PI / 2 + (k - 1.5) * 0.16 : half + reach / r;
    const from = ring ? left - 0.08 : c.chain ? -left : c.name === "tip" ? tipEdge(outline, r) : half;
    svg += strokeAt(circleArc(view, r, from, left), 0.6, SOFT_INK, c.chain ? CHAIN : "");
    if (ring && c.chain) svg += strokeAt(circleArc(view, r, left, left + 2 * Math.PI), 0.5, SOFT_INK, CHAIN);
    const x = sheetX(view, r * Math.cos(left), r * Math.sin(left));
    const y = sheetY(view, r * Math.cos(left), r * Math.sin(left));
    list.push({ text: `Ø${lengthText(c.d, design.units)} ${c.name}`, x, y, wish: y, arrow: false });
  }
  const point = flankPoint(
    outline,
    input.loadedEdges,
    (x, y) => Math.abs(Math.hypot(x, y) - profile.pitchDiameter / 2),
    view,
  );
  if (point) {
    const text =
      profile.flank.form === "involute"
        ? `${angleText(profile.flank.pressureAngle)} pressure angle`
        : profile.flank.angle === 0
          ? "parallel flanks"
          : `${angleText(profile.flank.angle)} flank`;
    list.push({ text, ...point, wish: point.y + 12, arrow: true });
  }
  return { svg, list };
}

function faceTooth(input: CalloutInput): { svg: string; list: Callout[] } {
  const { view, design, outline } = input;
  const { profile } = design;
  if (profile.kind !== "face tooth") return { svg: "", list: [] };
  const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
  const left = -pitch / 2;
  const reach = 12 / view.scale;
  let svg = "";
  const list: Callout[] = [];
  const level = (y: number, from: number, text: string) => {
    const sx = sheetX(view, left - reach, y);
    const sy = sheetY(view, left - reach, y);
    svg += lineAt(sheetX(view, from, y), sy, sx, sy, 0.6, SOFT_INK);
    list.push({ text, x: sx, y: sy, wish: sy, arrow: false });
  };
  level(profile.height, -profile.tipLand / 2, `height ${lengthText(profile.height, design.units)}`);
  level(0, left, "root line");
  level(-profile.baseThickness, left, `base ${lengthText(profile.baseThickness, design.units)}`);
  const middle = profile.height / 2;
  const flank = (side: 1 | -1) =>
    flankPoint(outline, [], (x, y) => Math.abs(y - middle) + (Math.sign(x) === side ? 0 : 1e6), view);
  const over = flank(-1);
  if (over)
    list.push({
      text: `over-run flank ${angleText(profile.overrunAngle)}`,
      ...over,
      wish: over.y,
      arrow: true,
    });
  const drive = flank(1);
  if (drive) {
    const text =
      profile.driveAngle < 0
        ? `drive flank ${angleText(-profile.driveAngle)} back-cut`
        : `drive flank ${angleText(profile.driveAngle)}`;
    const x = drive.x + 34;
    const y = sheetY(view, 0, profile.height) - 44;
    svg += strokeAt(`M${num(x + 4)} ${num(y)}H${num(x - 4)}L${num(drive.x)} ${num(drive.y)}`, 0.6);
    const length = Math.hypot(drive.x - x + 4, drive.y - y);
    svg += `<path d="${arrowHead(drive.x, drive.y, (drive.x - x + 4) / length, (drive.y - y) / length)}" fill="${INK}"/>`;
    svg += textAt(x + 7, y + 4, text, { size: 10.5 });
    // its root is told here, on its own side: the leader in the column ends at the other one. In short lines, for the window
    // of the root stands on the right
    svg += textAt(x + 7, y + 18, "its root", { size: 10.5 });
    svg += textAt(x + 7, y + 32, radiusText(profile.driveRootRadius, design.units), { size: 10.5 });
  }
  return { svg, list };
}

/**
 * Leader to a root: the fillet, or the corner, that stands farthest left on the sheet; of a face tooth the over-run flank's, the
 * drive flank's being told beside that flank.
 */
function rootCallout({ design, outline, view }: CalloutInput): Callout | null {
  const { profile } = design;
  const face = profile.kind === "face tooth";
  const words = face ? radiusText(profile.overrunRootRadius, design.units) : rootText(design);
  const sharp = words === "sharp";
  const own = (edge: Edge) => !face || edge.name.includes("over-run");
  let best: { x: number; y: number } | null = null;
  const consider = (mx: number, my: number) => {
    const x = sheetX(view, mx, my);
    const y = sheetY(view, mx, my);
    if (!best || x < best.x - 1e-6) best = { x, y };
  };
  for (const loop of outline.loops) {
    for (const [k, edge] of loop.entries()) {
      const next = loop[(k + 1) % loop.length]!;
      if (sharp) {
        const pair = [edge.zone, next.zone].sort().join();
        if (pair === "flank,root" && own(edge) && own(next)) consider(...curvePoint(edge.curve, 1, [0, 0]));
      } else if (isFillet(edge, design) && own(edge)) consider(...curvePoint(edge.curve, 0.5, [0, 0]));
    }
  }
  if (!best) return null;
  const spot: { x: number; y: number } = best;
  // internal roots lie above their space on the sheet, external and face roots below it
  const way = profile.kind === "internal spline" ? 1 : -1;
  return {
    text: sharp ? "root sharp" : `${words} root`,
    ...spot,
    wish: spot.y + way * 24,
    arrow: true,
  };
}

/** A root edge that is not the root circle or line itself. */
function isFillet(edge: Edge, design: Design): boolean {
  if (edge.zone !== "root" || edge.curve.kind !== "arc") return false;
  const { profile } = design;
  return profile.kind === "face tooth" || Math.abs(edge.curve.radius - profile.rootDiameter / 2) > 1e-9;
}

/** Point of a flank that is not loaded (farthest left when several tie) where `miss` is least. */
function flankPoint(
  outline: Outline,
  loaded: readonly string[],
  miss: (x: number, y: number) => number,
  view: View,
): { x: number; y: number } | null {
  let best = Infinity;
  let at: { x: number; y: number } | null = null;
  for (const edge of outlineEdges(outline)) {
    if (edge.zone !== "flank" || loaded.includes(edge.name)) continue;
    for (let k = 0; k <= 40; k++) {
      const [x, y] = curvePoint(edge.curve, k / 40, [0, 0]);
      const sx = sheetX(view, x, y);
      const score = miss(x, y) + 1e-4 * sx;
      if (score < best) {
        best = score;
        at = { x: sx, y: sheetY(view, x, y) };
      }
    }
  }
  return at;
}

/** Polar angle at which the tooth's tip land ends on the sheet's left; 0 when there is none. */
function tipEdge(outline: Outline, radius: number): number {
  let angle = 0;
  for (const edge of outlineEdges(outline)) {
    if (edge.zone !== "tip") continue;
    for (const u of [0, 1]) {
      const [x, y] = curvePoint(edge.curve, u, [0, 0]);
      if (Math.abs(Math.hypot(x, y) - radius) < 1e-6 * radius) angle = Math.max(angle, Math.atan2(y, x));
    }
  }
  return angle;
}

/** Path of a circle about the model's origin, counter-clockwise from one polar angle to another. */
function circleArc(view: View, r: number, from: number, to: number): string {
  const pieces = Math.max(1, Math.ceil((to - from) / 3));
  const at = (a: number) =>
    `${num(sheetX(view, r * Math.cos(a), r * Math.sin(a)))} ${num(sheetY(view, r * Math.cos(a), r * Math.sin(a)))}`;
  let d = `M${at(from)}`;
  for (let k = 1; k <= pieces; k++) {
    d += `A${num(r * view.scale)} ${num(r * view.scale)} 0 0 0 ${at(from + ((to - from) * k) / pieces)}`;
  }
  return d;
}
