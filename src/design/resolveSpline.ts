import { defaultBack, LEAST_BACK } from "./behindTeeth.ts";
import type { InvoluteFlank, SplineProfile, StraightFlank } from "./design.ts";
import type { Gather } from "./gather.ts";
import { lengthWords } from "./lengthWords.ts";
import { ansiB921, iso14, iso4156, type RootForm, type SplineProportions } from "./proportions.ts";
import { formatAngle, formatLength, formatSize } from "./units.ts";

const DEGREE = Math.PI / 180;
const INCH = 25.4;
const PRACTICE = "common practice, no source";

/**
 * The spline of one design, defaults filled in from the published proportions. Null when faults were found (they
 * are in `g`) or a value it needs was refused.
 */
export function resolveSpline(
  g: Gather,
  kind: SplineProfile["kind"],
  teeth: number,
  kindLayer: number,
): SplineProfile | null {
  const internal = kind === "internal spline";
  if (kindLayer === 1)
    // the other member's diameters are no diameters of this one
    for (const key of ["tip diameter", "root diameter", "contact"])
      if (g.entry("profile", key)?.layer === 0) g.drop("profile", key);
  const form =
    g.word("profile", "flank") ??
    (g.has("profile", "flank") ? undefined : g.take("profile.flank", "involute", "involute", PRACTICE));
  const flankLayer = g.entry("profile", "flank")?.layer ?? 0;
  const foreign =
    form === "straight" ? ["pressure angle", "root form"] : form === "involute" ? ["flank angle"] : [];
  for (const key of foreign) {
    const entry = g.entry("profile", key);
    if (!entry) continue;
    if (entry.layer >= flankLayer)
      g.fault(
        `profile.${key}`,
        `is for ${form === "straight" ? "involute" : "straight"} flanks, not for ${form} ones`,
        form === "straight"
          ? 'leave it out, or write "flank: involute"'
          : 'leave it out, or write "flank: straight"',
      );
    g.drop("profile", key);
  }

  const straight = form === "straight";
  const flank = straight ? straightFlank(g) : involuteFlank(g);
  let module = givenModule(g, teeth);
  const standard = straight ? null : proportions(g, module, teeth, flank);
  const side = standard?.[internal ? "internal" : "external"];
  const rows = straight && !internal ? iso14Rows(g, teeth) : [];
  const row = rows.length === 1 ? rows[0] : undefined;
  const source = standard ? standard.source + (standard.caveat && ` (${standard.caveat})`) : "";
  const why = straight
    ? rows.length > 1
      ? `ISO 14:1982 has ${rows.map((one) => `${one.teeth} × ${one.minorDiameter} × ${one.majorDiameter}`).join(" and ")}, and either would do`
      : internal
        ? "of the sizes of ISO 14:1982 only the shaft’s are filled in; write the hub’s own"
        : "a straight-sided spline that ISO 14:1982 does not list has no published default"
    : "no published standard covers this pressure angle and root form";

  /** A length given, or published, or missing. */
  const published = (key: string, fromInvolute: number | undefined, fromRow: number | undefined): number => {
    const given = g.number("profile", key);
    if (given !== undefined) return given;
    const value = fromInvolute ?? fromRow;
    if (value !== undefined)
      return g.take(
        `profile.${key}`,
        value,
        formatSize(value, g.units),
        fromInvolute !== undefined ? source : `ISO 14:1982, ${row!.series} series`,
      );
    // without a size or an angle there is nothing to look up: that alone is the fault then
    if (straight || (Number.isFinite(module) && Number.isFinite(teeth) && flank !== null && !g.blocked))
      g.missing("profile", key, why);
    return Number.NaN;
  };
  const tipDiameter = published("tip diameter", side?.tipDiameter, row?.majorDiameter);
  const rootDiameter = published("root diameter", side?.rootDiameter, row?.minorDiameter);

  let pitchDiameter = module * teeth;
  if (straight && Number.isNaN(module) && !sizeGiven(g) && !g.blocked) {
    pitchDiameter = (tipDiameter + rootDiameter) / 2;
    module = pitchDiameter / teeth;
    if (Number.isFinite(pitchDiameter))
      g.note(
        "profile.pitch diameter",
        formatSize(pitchDiameter, g.units),
        "halfway between tip and root diameter",
      );
  }

  const toothThickness = thickness(
    g,
    pitchDiameter,
    () => published("tooth thickness", side?.toothThickness, undefined),
    row?.keyWidth,
  );
  if (toothThickness >= Math.PI * module) {
    // a width is straight across, a thickness along the pitch circle
    const across = g.has("profile", "tooth width");
    const straight = (arc: number) => pitchDiameter * Math.sin(Math.min(Math.PI / 2, arc / pitchDiameter));
    g.fault(
      across ? "profile.tooth width" : "profile.tooth thickness",
      `${formatLength(across ? straight(toothThickness) : toothThickness, g.units)} leaves no space between teeth`,
      across
        ? `use less than the straight pitch, ${lengthWords(g.units).atMost(straight(Math.PI * module))}`
        : `use less than the circular pitch, ${lengthWords(g.units).atMost(Math.PI * module)}`,
    );
  }

  const backKey = internal ? "rim diameter" : "bore diameter";
  const small = internal ? tipDiameter : rootDiameter;
  const large = internal ? rootDiameter : tipDiameter;
  if (small >= large) {
    // told of the diameter that was written, where the other is a default
    const wrong = g.has("profile", "root diameter") && !g.has("profile", "tip diameter") ? "root" : "tip";
    const [its, other] = wrong === "tip" ? [tipDiameter, rootDiameter] : [rootDiameter, tipDiameter];
    const inside = internal === (wrong === "tip");
    g.fault(
      `profile.${wrong} diameter`,
      `${formatLength(its, g.units)} is not ${inside ? "less" : "more"} than the ${wrong === "tip" ? "root" : "tip"} diameter, ${formatLength(other, g.units)}`,
      `teeth of an ${internal ? "internal spline point inward" : "external spline point outward"}: make the ${wrong} diameter the ${inside ? "smaller" : "larger"} one`,
    );
  }
  let backDiameter = g.number("profile", backKey);
  if (backDiameter === undefined) {
    backDiameter = defaultBack({ kind, tipDiameter, rootDiameter });
    if (Number.isFinite(backDiameter) && backDiameter > 0)
      g.note(
        `profile.${backKey}`,
        formatSize(backDiameter, g.units),
        internal ? `two tooth heights behind the root; ${PRACTICE}` : `half the root diameter; ${PRACTICE}`,
      );
  } else if (internal ? backDiameter <= rootDiameter : backDiameter >= rootDiameter) {
    const apart = LEAST_BACK * (internal ? rootDiameter - tipDiameter : tipDiameter - rootDiameter);
    const say = lengthWords(g.units);
    g.fault(
      `profile.${backKey}`,
      `${formatLength(backDiameter, g.units)} leaves no metal behind the root diameter, ${formatLength(rootDiameter, g.units)}`,
      !(apart > 0)
        ? `make it ${internal ? "larger" : "smaller"} than the root diameter`
        : internal
          ? `use a rim of ${say.atLeast(rootDiameter + apart, 5)} or more`
          : `use a bore of ${say.atMost(rootDiameter - apart, 5)} or less`,
    );
  }

  let rootRadius: number | "full" | undefined =
    g.word("profile", "root radius") === "full" ? "full" : g.number("profile", "root radius");
  if (rootRadius === undefined) {
    const rack = standard?.rootRadius ?? null;
    if (rack !== null)
      rootRadius = g.take(
        "profile.root radius",
        rack,
        formatSize(rack, g.units),
        `basic rack of ${source}; measure the cutter`,
      );
    else {
      if (!g.blocked)
        g.missing(
          "profile",
          "root radius",
          standard ? "ANSI B92.1 gives no root radius" : "there is no published default",
        );
      rootRadius = Number.NaN;
    }
  }

  const tipChamfer = g.number("profile", "tip chamfer") ?? g.take("profile.tip chamfer", 0, "none", PRACTICE);
  const faceWidth = g.need("profile", "face width");
  const sizes = { internal, pitchDiameter, tipDiameter, rootDiameter, tipChamfer, flank };
  const contact = contactBand(g, sizes, standard);
  if (g.faults.length > 0 || g.blocked || !flank || !contact) return null;
  return {
    kind,
    teeth,
    flank,
    pitchDiameter,
    module,
    toothThickness,
    tipDiameter,
    rootDiameter,
    backDiameter,
    rootRadius,
    tipChamfer,
    contact,
    contactGiven: g.has("profile", "contact"),
    faceWidth,
  };
}

function straightFlank(g: Gather): StraightFlank | null {
  const angle =
    g.number("profile", "flank angle") ?? g.take("profile.flank angle", 0, "0°, a parallel tooth", PRACTICE);
  return Number.isNaN(angle) ? null : { form: "straight", angle };
}

function involuteFlank(g: Gather): InvoluteFlank | null {
  const pressureAngle =
    g.number("profile", "pressure angle") ??
    g.take(
      "profile.pressure angle",
      30 * DEGREE,
      "30.0°",
      `the most used angle of ISO 4156 and ANSI B92.1; ${PRACTICE}`,
    );
  return Number.isNaN(pressureAngle) ? null : { form: "involute", pressureAngle };
}

function sizeGiven(g: Gather): boolean {
  return ["module", "pitch diameter", "diametral pitch"].some((key) => g.has("profile", key));
}

/** Module from whichever of the three sizes is given; they must agree. NaN when none is (a fault for involutes). */
function givenModule(g: Gather, teeth: number): number {
  const found: { key: string; module: number; text: string }[] = [];
  const add = (key: string, toModule: (value: number) => number) => {
    const value = g.number("profile", key);
    if (value !== undefined)
      found.push({ key, module: toModule(value), text: formatLength(toModule(value), g.units) });
  };
  add("module", (value) => value);
  add("diametral pitch", (value) => INCH / value);
  add("pitch diameter", (value) => value / teeth);
  for (const other of found.slice(1))
    if (Math.abs(other.module - found[0]!.module) > 1e-4 * found[0]!.module)
      g.fault(
        `profile.${other.key}`,
        `makes the module ${other.text}, "${found[0]!.key}" makes it ${found[0]!.text}`,
        "give one of module, pitch diameter and diametral pitch, or make them agree",
      );
  if (found.length === 0 && g.word("profile", "flank") !== "straight" && !g.blocked) {
    g.fault(
      "profile.module",
      "missing",
      'add module, pitch diameter or diametral pitch under "profile", such as module: 2 mm',
    );
  }
  return found[0]?.module ?? Number.NaN;
}

/** Published proportions of this size, or null where there are none (or not enough is known to look). */
function proportions(
  g: Gather,
  module: number,
  teeth: number,
  flank: InvoluteFlank | StraightFlank | null,
): SplineProportions | null {
  if (flank?.form !== "involute" || !(module > 0) || !(teeth > 0)) return null;
  const { pressureAngle } = flank;
  const thirty = Math.abs(pressureAngle - 30 * DEGREE) < 1e-9;
  const given = g.word("profile", "root form") as RootForm | undefined;
  const root = given ?? (thirty ? "flat" : "fillet");
  const inch = g.has("profile", "diametral pitch") && !g.has("profile", "module");
  const found = inch
    ? ansiB921({ diametralPitch: INCH / module, teeth, pressureAngle, root })
    : iso4156({ module, teeth, pressureAngle, root });
  if (!found && given !== undefined)
    g.fault(
      "profile.root form",
      `no published standard has a ${given} root at ${formatAngle(pressureAngle)}`,
      "leave it out, or use 30 deg (flat, fillet), 37.5 deg or 45 deg (fillet)",
    );
  if (found && given === undefined && !g.has("profile", "root form"))
    g.note("profile.root form", root, thirty ? PRACTICE : "the only root form published at this angle");
  return found;
}

/** External splines of ISO 14 with these teeth and whichever diameters are given, parallel teeth only. */
function iso14Rows(g: Gather, teeth: number) {
  if ((g.number("profile", "flank angle") ?? 0) !== 0) return [];
  const tip = g.number("profile", "tip diameter");
  const root = g.number("profile", "root diameter");
  if (tip === undefined && root === undefined) return [];
  const same = (a: number | undefined, b: number) => a === undefined || Math.abs(a - b) < 1e-6;
  return iso14.filter(
    (row) => row.teeth === teeth && same(tip, row.majorDiameter) && same(root, row.minorDiameter),
  );
}

/** Arc on the pitch circle, from the thickness or the width straight across. */
function thickness(
  g: Gather,
  pitchDiameter: number,
  otherwise: () => number,
  keyWidth: number | undefined,
): number {
  const across = (width: number) => pitchDiameter * Math.asin(width / pitchDiameter);
  const width = g.number("profile", "tooth width");
  if (width !== undefined) {
    if (width >= pitchDiameter)
      g.fault(
        "profile.tooth width",
        `${formatLength(width, g.units)} is wider than the pitch circle`,
        `use less than ${formatLength(pitchDiameter, g.units)}`,
      );
    return across(width);
  }
  if (!g.has("profile", "tooth thickness") && keyWidth !== undefined) {
    g.note("profile.tooth width", formatSize(keyWidth, g.units), "ISO 14:1982");
    return across(keyWidth);
  }
  return otherwise();
}

function contactBand(
  g: Gather,
  sizes: {
    readonly internal: boolean;
    readonly pitchDiameter: number;
    readonly tipDiameter: number;
    readonly rootDiameter: number;
    readonly tipChamfer: number;
    readonly flank: InvoluteFlank | StraightFlank | null;
  },
  standard: SplineProportions | null,
): readonly [number, number] | null {
  const { internal, tipDiameter, rootDiameter, tipChamfer, flank } = sizes;
  const say = lengthWords(g.units);
  const given = g.read("profile", "contact");
  const low = Math.min(tipDiameter, rootDiameter);
  const high = Math.max(tipDiameter, rootDiameter);
  if (given?.as === "refused") return null;
  if (given?.as === "band") {
    if (given.from < low - 1e-9 || given.to > high + 1e-9)
      g.fault(
        "profile.contact",
        `${say.range(given.from, given.to)} reaches beyond the tooth`,
        `keep it within ${say.limits(low, high)}, tip and root diameter`,
      );
    return [given.from, given.to];
  }
  if (!Number.isFinite(low) || !Number.isFinite(high) || !flank) return null;
  // told already where tip and root lie the wrong way round
  if (internal ? tipDiameter >= rootDiameter : tipDiameter <= rootDiameter) return null;
  // slope of the flank at the tip: how much diameter a chamfer measured along the flank takes away
  const slope =
    flank.form === "straight"
      ? Math.cos(flank.angle)
      : Math.min(1, (sizes.pitchDiameter * Math.cos(flank.pressureAngle)) / tipDiameter);
  const lost = 2 * tipChamfer * slope;
  const own = internal ? tipDiameter + lost : tipDiameter - lost;
  const mate = standard
    ? internal
      ? standard.external.tipDiameter
      : standard.internal.tipDiameter
    : tipDiameter + 0.75 * (rootDiameter - tipDiameter);
  let from = internal ? own : Math.max(mate, rootDiameter);
  let to = internal ? Math.min(mate, rootDiameter) : own;
  // a chamfer that takes all of it away is refused with the outline, where all that limits it is known
  if (!(from < to)) {
    if (internal) from = tipDiameter;
    else to = tipDiameter;
  }
  if (!(from < to)) {
    g.fault(
      "profile.contact",
      "missing: the published mating tooth would not touch this flank",
      `give the contact as two diameters within ${say.limits(low, high)}`,
    );
    return null;
  }
  g.note(
    "profile.contact",
    `${formatSize(from, g.units)} to ${formatSize(to, g.units)}`,
    `${
      standard
        ? `own tip${tipChamfer > 0 ? " less its chamfer" : ""} to the mating tip of ${standard.source}`
        : `three quarters of the tooth height from the tip; ${PRACTICE}`
    }; less where a fillet takes some of it, which a note tells`,
  );
  return [from, to];
}
