import type { FaceToothProfile, Profile } from "./design.ts";
import { faceToothTaper, straightFlank } from "./faceToothDefaults.ts";
import type { Gather } from "./gather.ts";
import { lengthWords } from "./lengthWords.ts";
import { formatLength } from "./units.ts";

const PRACTICE = "common practice, no source";

/** The face tooth of one design, defaults filled in. Null when faults were found or a value was refused. */
export function resolveFaceTooth(g: Gather, teeth: number): FaceToothProfile | null {
  const { meanDiameter, faceWidth } = ringSize(g);
  const height = g.need("profile", "height");
  const backCut = g.number("profile", "back-cut");
  const driveAngle =
    (backCut === undefined ? g.number("profile", "drive flank angle") : -backCut) ??
    g.take("profile.drive flank angle", 0, "0°, a square face", PRACTICE);
  const overrunAngle =
    g.number("profile", "ramp angle") ??
    g.number("profile", "over-run flank angle") ??
    g.take("profile.over-run flank angle", 0, "0°, a square face", PRACTICE);

  // how much narrower the tooth is at its tip than at the root line
  const taper = faceToothTaper({ height, driveAngle, overrunAngle });
  const say = lengthWords(g.units);
  const pitch = (Math.PI * meanDiameter) / teeth;
  let tipLand = g.number("profile", "tip land");
  const given = tipLand !== undefined;
  tipLand ??= pitch / 2 - taper / 2;
  const widest = tipLand + Math.max(0, taper);
  if (tipLand <= 0)
    g.fault(
      "profile.tip land",
      "nothing is left of it: the flanks meet before the tip",
      `use a height below ${say.atMost((height * pitch) / taper)}, or flanks nearer the axis`,
    );
  else if (widest >= pitch)
    g.fault(
      given ? "profile.tip land" : "profile.height",
      `teeth ${say.length(widest)} wide do not fit a pitch of ${say.length(pitch)}`,
      given && taper < pitch
        ? `use a tip land below ${say.atMost(pitch - Math.max(0, taper))}`
        : given && tipLand >= pitch
          ? `use a tip land below ${say.atMost(pitch)}, and flanks nearer the axis`
          : `use a height below ${say.atMost((height * (given ? pitch - tipLand : pitch)) / Math.abs(taper))}`,
    );
  else if (tipLand + taper <= 0)
    g.fault(
      "profile.tip land",
      "the back-cut flanks leave no tooth at the root line",
      `use a tip land above ${say.atLeast(-taper)}`,
    );
  else if (!given && Number.isFinite(tipLand))
    g.note(
      "profile.tip land",
      formatLength(tipLand, g.units),
      `tooth half the pitch wide at half its height; ${PRACTICE}`,
    );

  const both = radiusOf(g, "root radius");
  const driveRootRadius = radiusOf(g, "drive root radius") ?? both;
  const overrunRootRadius = radiusOf(g, "over-run root radius") ?? both;
  if (driveRootRadius === undefined || overrunRootRadius === undefined)
    g.missing(
      "profile",
      driveRootRadius === undefined && overrunRootRadius === undefined
        ? "root radius"
        : driveRootRadius === undefined
          ? "drive root radius"
          : "over-run root radius",
      "there is no published default",
    );
  const tipChamfer = g.number("profile", "tip chamfer") ?? g.take("profile.tip chamfer", 0, "none", PRACTICE);
  let baseThickness = g.number("profile", "base thickness");
  if (baseThickness === undefined) {
    baseThickness = 2 * height;
    if (Number.isFinite(height))
      g.note("profile.base thickness", formatLength(baseThickness, g.units), `twice the height; ${PRACTICE}`);
  }
  const keptFlat = isKeptFlat(g);
  const loadedFlank = (g.word("profile", "loaded flank") ??
    (g.has("profile", "loaded flank")
      ? "drive"
      : g.take("profile.loaded flank", "drive", "drive", PRACTICE))) as FaceToothProfile["loadedFlank"];

  const angle = loadedFlank === "drive" ? driveAngle : overrunAngle;
  const radius = loadedFlank === "drive" ? driveRootRadius : overrunRootRadius;
  const contact = contactBand(g, height, tipChamfer, angle, radius);
  if (g.faults.length > 0 || g.blocked || !contact) return null;
  return {
    kind: "face tooth",
    teeth,
    meanDiameter,
    height,
    driveAngle,
    overrunAngle,
    tipLand,
    driveRootRadius: driveRootRadius!,
    overrunRootRadius: overrunRootRadius!,
    tipChamfer,
    baseThickness,
    faceWidth,
    ...(keptFlat && { keptFlat }),
    contact,
    contactGiven: g.has("profile", "contact"),
    loadedFlank,
  };
}

/** Width over mean diameter from which the pitch at either end is a quarter off that in the middle, which is computed. */
const WIDE = 0.25;

/** A tooth wide in the radial direction is another one at its inside than at its outside, and the unrolled model knows only the middle. */
export function wideFaceNotices(profile: Profile | null): string[] {
  if (profile?.kind !== "face tooth") return [];
  const share = profile.faceWidth / profile.meanDiameter;
  if (!(share > WIDE)) return [];
  const percent = `${(100 * share).toFixed(0)} %`;
  return [
    `the teeth are wide for their mean diameter: their pitch is ${percent} less at the inside and ${percent} more at the outside, ` +
      "and only the tooth in the middle is computed; a slenderer one at the inside, and fillets that fit less there, can govern",
  ];
}

function radiusOf(g: Gather, key: string): number | "full" | undefined {
  return g.word("profile", key) === "full" ? "full" : g.number("profile", key);
}

/** A back that is held keeps its ring flat. What nobody says is kept flat may dish, and both are counted. */
function isKeptFlat(g: Gather): boolean {
  const held = g.word("load", "reaction") === "held";
  const ring = g.word("profile", "ring");
  if (held && ring === "free to dish")
    g.fault(
      "profile.ring",
      "the back is held (load.reaction), and a ring whose back is held does not dish",
      'leave it out, or use "reaction: uniform shear"',
    );
  if (!held && !g.has("profile", "ring"))
    g.note("profile.ring", "free to dish", "nothing is counted on to keep it flat; project default");
  return held || ring === "kept flat";
}

/** Mean diameter and radial width, given or from outside and inside diameter. */
function ringSize(g: Gather): { meanDiameter: number; faceWidth: number } {
  const outside = g.number("profile", "outside diameter");
  const inside = g.number("profile", "inside diameter");
  const mean = g.number("profile", "mean diameter");
  let width = g.number("profile", "radial width") ?? g.number("profile", "face width");
  if ((outside === undefined) !== (inside === undefined))
    g.missing(
      "profile",
      outside === undefined ? "outside diameter" : "inside diameter",
      "the other one is given",
    );
  if (outside === undefined || inside === undefined) {
    if (mean === undefined && outside === undefined && inside === undefined)
      g.missing("profile", "mean diameter", "neither it nor outside and inside diameter are given");
    if (width === undefined && outside === undefined && inside === undefined)
      g.missing("profile", "face width");
    if (mean !== undefined && width !== undefined && width >= mean)
      g.fault(
        g.has("profile", "radial width") ? "profile.radial width" : "profile.face width",
        `${formatLength(width, g.units)}, from the inside to the outside of the teeth, leaves nothing inside them at a mean diameter of ${formatLength(mean, g.units)}`,
        "look at its unit, or give outside and inside diameter",
      );
    return { meanDiameter: mean ?? Number.NaN, faceWidth: width ?? Number.NaN };
  }
  if (inside >= outside)
    g.fault(
      "profile.inside diameter",
      `${formatLength(inside, g.units)} is not less than the outside diameter`,
      `use less than ${formatLength(outside, g.units)}`,
    );
  const middle = (outside + inside) / 2;
  if (mean !== undefined && Math.abs(mean - middle) > 1e-3 * middle)
    g.fault(
      "profile.mean diameter",
      `${formatLength(mean, g.units)} is not halfway between outside and inside diameter`,
      `leave it out, or use ${formatLength(middle, g.units)}`,
    );
  const between = (outside - inside) / 2;
  if (width !== undefined && between > 0 && width > 1.001 * between)
    g.fault(
      g.has("profile", "radial width") ? "profile.radial width" : "profile.face width",
      `${formatLength(width, g.units)} is more than lies between inside and outside diameter, ${formatLength(between, g.units)}`,
      `leave it out, or use ${formatLength(between, g.units)} or less`,
    );
  if (width === undefined) {
    width = between;
    if (width > 0)
      g.note("profile.face width", formatLength(width, g.units), "half of outside minus inside diameter");
  }
  if (mean === undefined && Number.isFinite(middle))
    g.note(
      "profile.mean diameter",
      formatLength(middle, g.units),
      "halfway between outside and inside diameter",
    );
  return { meanDiameter: mean ?? middle, faceWidth: width };
}

function contactBand(
  g: Gather,
  height: number,
  tipChamfer: number,
  angle: number,
  radius: number | "full" | undefined,
): readonly [number, number] | null {
  const given = g.read("profile", "contact");
  if (given?.as === "refused") return null;
  if (given?.as === "band") {
    if (given.to > height + 1e-9)
      g.fault(
        "profile.contact",
        `reaches ${formatLength(given.to, g.units)} up a tooth ${formatLength(height, g.units)} high`,
        "give two heights above the root line, up to the height of the tooth",
      );
    return [given.from, given.to];
  }
  if (!Number.isFinite(height) || !Number.isFinite(angle)) return null;
  // a chamfer that takes the whole flank is refused with the outline, where all that limits it is known
  const band =
    straightFlank({ height, tipChamfer }, angle, radius) ??
    straightFlank({ height, tipChamfer: 0 }, angle, radius);
  if (!band) return null;
  g.note(
    "profile.contact",
    `${formatLength(band[0], g.units)} to ${formatLength(band[1], g.units)} above the root line`,
    "the straight flank from the end of the fillet to the tip",
  );
  return band;
}
