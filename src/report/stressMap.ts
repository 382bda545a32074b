import type { VariantField, VariantResult } from "../answer/result.ts";
import { formatStress, type SplineProfile } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { callouts } from "./callouts.ts";
import { capacityText } from "./capacityText.ts";
import { contourLabels, type Disc } from "./contourLabels.ts";
import {
  BACK,
  errorText,
  ktText,
  loadText,
  modelLimits,
  profileText,
  rootText,
  sharingText,
  steelName,
  steelText,
} from "./describe.ts";
import { driveVerdict, partingText } from "./driveHoldText.ts";
import { clearance, type FlatOutline, flatOutline } from "./flatOutline.ts";
import { hoverScript } from "./hover.ts";
import { boreHigher, pushedHigher } from "./judged.ts";
import { loadArrows } from "./loadArrows.ts";
import { loadedEdges } from "./loadedEdges.ts";
import { wantedMargin, withWanted } from "./marginVerdict.ts";
import { nodalVonMises } from "./nodalVonMises.ts";
import { shortOverRunText } from "./overRunText.ts";
import { partFigure } from "./partFigure.ts";
import { rootStrip } from "./rootStrip.ts";
import { governingSpot, rootLines, rootWindow, spotBlock, windowReach } from "./rootWindow.ts";
import { cautionsText, scaleBar, sheetDocument, stressRule, titleStrip } from "./sheet.ts";
import type { StressScale } from "./stressScale.ts";
import { CHAIN, INK, lineAt, num, SOFT_INK, textAt } from "./svg.ts";
import { figures, lengthText, shareText } from "./units.ts";
import { ratioText, roundRatio, sheetX, sheetY, UNITS_PER_PAPER_MM, type View } from "./view.ts";

/** What one map is drawn from. */
export interface MapInput {
  readonly result: VariantResult;
  readonly field: VariantField;
  /** From `stressScale(result, run)`. */
  readonly scale: StressScale;
  /** The repeating sector the variant was made from: which edges carry pressure and reaction. */
  readonly profile: ProfileOutline;
}

/** Where the part may be drawn, and the round window, sheet units. */
const PART = { x0: 200, x1: 640, y0: 58, y1: 596 };
const WINDOW = { y: 262, radius: 205 };
/** Middle of the window when the block of figures stands to its right, and when it stands to its left. */
const WINDOW_X = { right: 866, left: 975 };

/** Tooth upright: a spline's +x axis (its tooth) points up the sheet; an unrolled tooth stands as it is. */
export function turnFor(result: VariantResult): { cos: number; sin: number } {
  return result.design.profile.kind === "face tooth" ? { cos: 1, sin: 0 } : { cos: 0, sin: 1 };
}

/**
 * One variant's stress map: a drawing sheet as a self-contained SVG document. The same input gives the same
 * bytes. All user text is escaped; the read-out under the pointer is optional decoration.
 * @throws Error when the stresses are not three per node.
 */
export function stressMap(input: MapInput): string {
  const { result, field, scale, profile } = input;
  const { outline, mesh, stress } = field;
  if (stress.length * 2 !== mesh.xy.length * 3) {
    throw new Error(
      `stress map: ${stress.length} stress entries for ${mesh.xy.length / 2} nodes, 3 each wanted`,
    );
  }
  const { design } = result;
  const { units } = design;
  const values = nodalVonMises(stress, design.material);
  const ring = result.model === "whole ring";
  const turn = turnFor(result);

  const view = fitted(outline, turn);
  const main = partFigure({ outline, mesh, values, view, scale, name: "nw-part" });
  const flat = flatOutline(outline, view);
  const edges = loadedEdges(result, profile);
  const arrows = loadArrows(
    outline,
    view,
    edges.pressure,
    edges.reaction,
    design.profile.kind === "face tooth",
    design.load.reaction === "held",
  );

  // the window's scale is round too, and never smaller than the main view's
  const magnified =
    UNITS_PER_PAPER_MM *
    Math.max(
      roundRatio(WINDOW.radius / windowReach(result) / UNITS_PER_PAPER_MM),
      roundRatio(view.scale / UNITS_PER_PAPER_MM),
    );
  const { average } = result.root;
  const outX = turn.sin * average.dy - turn.cos * average.dx; // out of the material, on the sheet
  const circle = { ...WINDOW, x: outX >= -1e-9 ? WINDOW_X.right : WINDOW_X.left };
  const window = rootWindow({ result, field, values, scale, turn, ...circle, magnified, id: "nw-root" });

  const spot = governingSpot(result);
  const sx = sheetX(view, spot.x, spot.y);
  const sy = sheetY(view, spot.x, spot.y);
  const sr = Math.max(7, (WINDOW.radius / magnified) * view.scale);
  const taken: Disc[] = arrows.spots.map((s) => ({ ...s, radius: 8 }));

  let svg = main.svg;
  svg += centreLine(view, flat.box, ring);
  svg += arrows.svg;
  svg += callouts({
    design,
    outline,
    view,
    loadedEdges: edges.pressure,
    ring,
    column: { right: 168, top: 60, bottom: 610 },
  });
  // ring A: what the window magnifies
  svg += `<circle cx="${num(sx)}" cy="${num(sy)}" r="${num(sr)}" fill="none" stroke="#fff" stroke-width="2.6"/>`;
  svg += `<circle cx="${num(sx)}" cy="${num(sy)}" r="${num(sr)}" fill="none" stroke="${INK}" stroke-width="1"/>`;
  const unjudged =
    design.profile.kind !== "face tooth" && boreHigher(result) && !ring
      ? boreNote(design.profile, view, flat)
      : null;
  const letter = letterPlace(sx, sy, sr + 11, taken, flat);
  svg += textAt(letter.x, letter.y + 4.5, "A", { size: 13, bold: true, halo: true, anchor: "middle" });
  taken.push({ ...letter, radius: 9 }, { x: sx, y: sy, radius: sr + 2 });
  svg += contourLabels(
    main.named.map(({ line, contours }) => ({ text: line.name, contours })),
    flat,
    taken,
    (x, y) => x > PART.x0 - 10 && x < PART.x1 + 10 && y > 30 && y < (unjudged?.top ?? 640),
  );
  if (unjudged) svg += unjudged.svg;
  const name = ring
    ? "whole ring"
    : design.profile.kind === "face tooth"
      ? "one pitch, unrolled"
      : "one tooth";
  const mainRatio = ratioText(view.scale / UNITS_PER_PAPER_MM);
  const middle = (PART.x0 + PART.x1) / 2;
  svg += textAt(middle - 8, 631, `${name}, ${mainRatio}`, { size: 11, anchor: "end" });
  svg += scaleBar(middle + 20, 631, view.scale, 84, units);

  const back = BACK[design.profile.kind];
  const taking = design.load.reaction === "held" ? `ticks: ${back} held` : `reaction on the ${back}`;
  svg += textAt(30, 631, `arrows: pressure on the flank, ${taking}`, { size: 9.5, colour: SOFT_INK });
  if (boreHigher(result) && ring)
    svg += textAt(30, 643, "stress at the bore is the reaction's, in place of the shaft's: not judged", {
      size: 9.5,
      colour: SOFT_INK,
    });

  svg += window.svg;
  svg += spotBlock(window, WINDOW.radius, rootLines(result, scale));
  const inside = ratioText(magnified / UNITS_PER_PAPER_MM);
  const times = figures(magnified / view.scale, 2);
  const headY = circle.x === WINDOW_X.left && window.spot.outY < 0 ? 436 : 40;
  svg += textAt(664, headY, `A: governing root, ${inside}`, { size: 11, bold: true });
  svg += textAt(664, headY + 14, `${times} × the view at left`, { size: 10, colour: SOFT_INK });
  svg += scaleBar(664, headY + 32, magnified, 60, units);

  svg += rootStrip(result, field, scale, { x: 664, y: 500, width: 514, height: 160 });

  const strip = titleStrip(titleRows(result, mainRatio, inside));
  svg += strip.svg;
  svg += stressRule(30, strip.top - 79, 610, scale, units);
  svg += cautionsText(726, strip.top - 66, 448);
  svg += hoverScript(
    [
      { name: "nw-part", tessellation: main.tessellation, box: flat.box, ...sharpSpot(result, view) },
      {
        name: "nw-root",
        tessellation: window.figure.tessellation,
        box: {
          x0: circle.x - circle.radius,
          x1: circle.x + circle.radius,
          y0: circle.y - circle.radius,
          y1: circle.y + circle.radius,
        },
        window: circle,
        ...sharpSpot(result, window.view),
      },
    ],
    scale,
    units,
  );
  return sheetDocument(`${design.part}: ${design.variant}`, svg);
}

/** Words beside the bore of a shaft's sector, whose stress is the model's own, and the height on the sheet under which no level is named. */
function boreNote(
  { backDiameter, rootDiameter, teeth }: SplineProfile,
  view: View,
  { box }: FlatOutline,
): { readonly svg: string; readonly top: number } {
  const middle = (PART.x0 + PART.x1) / 2;
  const edge = middle + (view.scale * backDiameter * Math.sin(Math.PI / teeth)) / 2;
  const y = box.y1 - 12;
  const x = Math.max(edge + 26, middle + 60);
  const words = ["stress of the reaction,", "put here in place of the", "shaft: not judged"];
  return {
    svg:
      lineAt(edge - 2, y, x - 4, y, 0.6, SOFT_INK) +
      words.map((text, k) => textAt(x, y - 8 + 11 * k, text, { size: 9.5, colour: SOFT_INK })).join(""),
    top: box.y1 - (view.scale * (rootDiameter - backDiameter)) / 4,
  };
}

/** A place on a circle for its letter, as far from everything else as can be. */
function letterPlace(
  x: number,
  y: number,
  radius: number,
  taken: readonly Disc[],
  flat: FlatOutline,
): { x: number; y: number } {
  let best = { x: x + radius, y };
  let room = -Infinity;
  for (let k = 0; k < 12; k++) {
    const at = { x: x + radius * Math.cos((k * Math.PI) / 6), y: y + radius * Math.sin((k * Math.PI) / 6) };
    const free = Math.min(
      30,
      clearance(flat, at.x, at.y) - 9,
      ...taken.map((d) => Math.hypot(d.x - at.x, d.y - at.y) - d.radius),
    );
    if (free > room + 1e-6) {
      room = free;
      best = at;
    }
  }
  return best;
}

/** Zone round a sharp corner where a single value would depend on the mesh: the averaging distance. */
function sharpSpot(result: VariantResult, view: View) {
  const { sharp, average } = result.root;
  if (!sharp) return {};
  return {
    sharp: {
      x: sheetX(view, average.x, average.y),
      y: sheetY(view, average.x, average.y),
      radius: Math.max(2, average.distance * view.scale),
    },
  };
}

/** Largest round scale at which the outline fits its place, centred there. */
function fitted(outline: VariantField["outline"], turn: { cos: number; sin: number }): View {
  const unit: View = { ...turn, scale: 1, x: 0, y: 0 };
  const { box } = flatOutline(outline, unit);
  const fit = Math.min((PART.x1 - PART.x0) / (box.x1 - box.x0), (PART.y1 - PART.y0) / (box.y1 - box.y0));
  const scale = UNITS_PER_PAPER_MM * roundRatio(fit / UNITS_PER_PAPER_MM);
  return {
    ...turn,
    scale,
    x: (PART.x0 + PART.x1) / 2 - (scale * (box.x0 + box.x1)) / 2,
    y: (PART.y0 + PART.y1) / 2 - (scale * (box.y0 + box.y1)) / 2,
  };
}

/** Chain line along the tooth's axis (through the part's centre, both ways, on a whole ring). */
function centreLine(
  view: View,
  box: { x0: number; x1: number; y0: number; y1: number },
  ring: boolean,
): string {
  const x = sheetX(view, 0, 0);
  let svg = lineAt(x, box.y0 - 18, x, box.y1 + 18, 0.7, SOFT_INK, CHAIN);
  if (ring) {
    const y = sheetY(view, 0, 0);
    svg += lineAt(box.x0 - 14, y, box.x1 + 14, y, 0.7, SOFT_INK, CHAIN);
  }
  return svg;
}

function titleRows(result: VariantResult, mainRatio: string, windowRatio: string) {
  const { design, root, steel } = result;
  const { units } = design;
  const error = errorText(result);
  const full = steel?.yieldLow ?? null;
  const share = (stress: number) => (full === null ? "" : `, ${shareText(stress / full)} of yield`);
  const peak =
    root.peakPrincipal === null || root.peakVonMises === null
      ? "unbounded (sharp)"
      : `${formatStress(root.peakVonMises.stress, units)}${share(root.peakVonMises.stress)}`;
  const highest = root.highestVonMises
    ? `${formatStress(root.highestVonMises.stress, units)}${share(root.highestVonMises.stress)}`
    : "";
  const kt = ktText(result);
  return [
    [
      { caption: "part", value: design.part, width: 30, bold: true },
      { caption: "variant", value: design.variant, width: 34, bold: true },
      { caption: "profile", value: profileText(design), width: 38 },
      { caption: "root", value: rootText(design), width: 16 },
    ],
    [
      { caption: "torque × shock factor", value: loadText(result), width: result.overRun ? 31 : 40 },
      { caption: "teeth sharing load", value: sharingText(design), width: result.overRun ? 20 : 26 },
      {
        caption: "steel and hardness",
        // two hardnesses take the room; the key to the colours has the yield
        value: steel && design.steel?.core ? steelName(steel) : steelText(result),
        width: result.overRun ? 31 : 38,
      },
      ...(result.overRun
        ? [{ caption: "in over-running", value: shortOverRunText(result.overRun, units), width: 36 }]
        : []),
      { caption: "face width", value: lengthText(design.profile.faceWidth, units), width: 14 },
    ],
    [
      { caption: "root peak, von Mises", value: peak, width: 30, bold: true },
      {
        caption: `average over ${lengthText(root.average.distance, units)}, opening`,
        value: `${formatStress(root.average.opening, units)}${share(root.average.opening)}`,
        width: 30,
      },
      ...(pushedHigher(result) ? [{ caption: "any root, von Mises", value: highest, width: 30 }] : []),
      { caption: "Kt", value: kt, width: 13 },
      { caption: "contact pressure", value: formatStress(root.contactPressure, units), width: 20 },
      { caption: root.sharp ? "mesh error of average" : "mesh error of peak", value: error, width: 12 },
      {
        caption: "scale on A4; go by the bars",
        value: `${mainRatio}, root ${windowRatio}`,
        width: 17,
      },
    ],
    [
      ...(result.capacity
        ? [
            {
              caption: `breaks first (estimate); enough? ${withWanted(driveVerdict(result.capacity, design), design, wantedMargin(design) === 1)}`,
              value: [partingText(design), capacityText(result)].filter(Boolean).join("; "),
              width: 35,
            },
          ]
        : []),
      { caption: "model limits", value: modelLimits(result), width: 71 },
    ],
  ];
}
