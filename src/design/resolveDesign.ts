import type {
  Design,
  Fault,
  Load,
  OverRunChoice,
  Profile,
  SteelChoice,
  StrengthChoice,
  UnitChoice,
} from "./design.ts";
import { figure } from "./figures.ts";
import { Gather } from "./gather.ts";
import type { Merged } from "./merge.ts";
import { quote } from "./names.ts";
import { OILED_BAND } from "./overRunDefaults.ts";
import { overRunNotices } from "./overRunPlace.ts";
import { type FrictionOf, loadsOverRunFlank, ownFriction } from "./ownFriction.ts";
import { resolveFaceTooth, wideFaceNotices } from "./resolveFaceTooth.ts";
import { resolveOverRun } from "./resolveOverRun.ts";
import { pinNotices, resolvePins } from "./resolvePins.ts";
import { resolveSpline } from "./resolveSpline.ts";
import { checkGrade, checkSteel, findGrade, type SteelGrade, surfaceNotices } from "./steelGrades.ts";
import { formatLength, formatModulus, formatPercent, formatTorque } from "./units.ts";
import { checkSizes, sizeNotices } from "./unlikelySizes.ts";

const HANDBOOK = "common handbook value for steel, from memory";

/** What a design is called and where it belongs. */
export interface DesignLabel {
  readonly part: string;
  readonly variant: string;
  readonly note: string;
  readonly units: UnitChoice;
}

/**
 * Completes one design from its merged values: defaults are taken after merging, so that whatever follows from a
 * changed key follows the change. `design` is null when there are faults, or when a value was refused before.
 */
export function resolveDesign(
  merged: Merged,
  label: DesignLabel,
  own: readonly SteelGrade[] = [],
): { design: Design | null; faults: Fault[] } {
  const g = new Gather(merged, label.units);
  const profile = resolveProfile(g);
  const load = resolveLoad(g, profile);
  const steel = resolveSteel(g, own);
  // pins, springs and flanks that push the teeth apart are held to margin and required torque whatever the steel
  const bare = !g.hasSection("steel") && g.hasSection("strength");
  const withoutSteel = bare && (profile.value?.kind === "face tooth" || g.hasSection("over-run"));
  const strength = (steel || withoutSteel) && load ? resolveStrength(g, load) : null;
  const overRun = resolveOverRun(g, profile.value, load);
  const pins = resolvePins(g, profile.value, overRun?.meanRadius ?? Number.NaN);
  const notices = [
    ...(bare
      ? [
          withoutSteel
            ? "its strength section is used for pins, springs and what holds the teeth together only: without a steel nothing can be said of the root's strength"
            : "its strength section is not used: without a steel nothing can be said of strength",
        ]
      : []),
    ...(load ? brokenTooth(load, profile.teeth) : []),
    ...(load && strength ? lesserRequirement(load, strength, label.units) : []),
    ...(load ? lesserShock(load, label.units) : []),
    ...(profile.value && load && overRun ? lesserFriction(profile.value, load, overRun) : []),
    ...surfaceNotices(steel),
    ...wideFaceNotices(profile.value),
    ...sizeNotices(profile.value, label.units),
    ...overRunNotices(overRun, profile.value, label.units, {
      spline: g.has("over-run", "spline diameter"),
      ramps: g.has("over-run", "mean diameter"),
    }),
    ...pinNotices(pins, profile.value, label.units),
  ];
  const state =
    g.word("elastic", "state") ?? g.take("elastic.state", "plane stress", "plane stress", "project default");
  const material = {
    E:
      g.number("elastic", "modulus") ??
      g.take("elastic.modulus", 205_000, formatModulus(205_000, label.units), HANDBOOK),
    nu: g.number("elastic", "poisson") ?? g.take("elastic.poisson", 0.29, "0.29", HANDBOOK),
    state: state as Design["material"]["state"],
  };
  const averagingDistance =
    g.number("answer", "averaging distance") ??
    g.take(
      "answer.averaging distance",
      0.1,
      formatLength(0.1, label.units),
      "project default; common practice, no source",
    );
  const accuracy =
    g.number("answer", "accuracy") ?? g.take("answer.accuracy", 0.01, formatPercent(0.01), "project default");
  // a refused value anywhere leaves the design open, whether or not it was read above
  const refused = Object.values(merged).some((values) =>
    [...values.values()].some(({ value }) => value.as === "refused"),
  );
  if (g.faults.length > 0 || refused || g.blocked || !profile.value || !load)
    return { design: null, faults: g.faults };
  const design: Design = {
    part: label.part,
    variant: label.variant,
    note: label.note,
    profile: profile.value,
    load,
    steel,
    ...(strength && { strength }),
    ...(overRun && { overRun }),
    ...(pins && { pins }),
    ...(notices.length > 0 && { notices }),
    material,
    averagingDistance,
    accuracy,
    units: label.units,
    defaults: g.defaults,
  };
  return { design, faults: [] };
}

function resolveProfile(g: Gather): { value: Profile | null; teeth: number } {
  const kind = g.word("profile", "kind") as Profile["kind"] | undefined;
  const teeth = g.need("profile", "teeth");
  if (kind === undefined) {
    if (!g.has("profile", "kind")) g.missing("profile", "kind");
    return { value: null, teeth };
  }
  const kindLayer = g.entry("profile", "kind")?.layer ?? 0;
  g.inapplicable("profile", kind, kindLayer);
  g.alternatives("profile", "module");
  const value = kind === "face tooth" ? resolveFaceTooth(g, teeth) : resolveSpline(g, kind, teeth, kindLayer);
  if (value) checkSizes(g, value);
  return { value, teeth };
}

function resolveLoad(
  g: Gather,
  { value: profile, teeth }: { readonly value: Profile | null; readonly teeth: number },
): Load | null {
  const torque = g.need("load", "torque");
  const shockFactor =
    g.number("load", "shock factor") ??
    g.take("load.shock factor", 1, "1", "none given: the torque is taken to hold the shock already");
  const friction = flankFriction(g, profile);
  const reaction =
    g.word("load", "reaction") ??
    g.take("load.reaction", "uniform shear", "uniform shear", "project default");
  g.alternatives("load", "");
  const sharing = resolveSharing(g, teeth);
  return sharing && { torque, shockFactor, ...friction, reaction: reaction as Load["reaction"], sharing };
}

function resolveSharing(g: Gather, teeth: number): Load["sharing"] | null {
  for (const key of ["loaded teeth", "tooth loads"]) {
    const value = g.read("load", key);
    if (value === undefined) continue;
    if (value.as !== "shares" || !Number.isFinite(teeth)) return null;
    const weights = new Array<number>(teeth).fill(0);
    for (const [tooth, share] of value.shares) {
      if (tooth > teeth) {
        g.fault(`load.${key}`, `there is no tooth ${tooth} of ${teeth}`, `name teeth from 1 to ${teeth}`);
        return null;
      }
      weights[tooth - 1] = share;
    }
    if (g.word("load", "which teeth") === "worst")
      g.fault("load.which teeth", `${key} names the teeth already`, `leave out "which teeth", or ${key}`);
    return { mode: "teeth", weights };
  }
  const which = g.word("load", "which teeth");
  const word = g.word("load", "teeth sharing");
  let fraction = word === "one tooth" ? 1 / teeth : g.number("load", "teeth sharing");
  fraction ??= g.take(
    "load.teeth sharing",
    0.5,
    "50 %",
    "half the teeth carry, as Dudley's tooth-shear formula (1957) counts",
  );
  if (fraction * teeth < 1 - 1e-9) {
    g.fault(
      "load.teeth sharing",
      `${formatPercent(fraction)} of ${teeth} teeth is less than one tooth`,
      `use ${formatPercent(Math.ceil(1e4 / teeth) / 1e4)} or more, or "one tooth"`,
    );
    return null;
  }
  // where all carry there is nothing to choose, and where one does every choice is the same part turned
  if (fraction > 1 - 1e-9 || which === "evenly") return { mode: "share", fraction };
  if (fraction * teeth < WHOLE_TOOTH)
    return { mode: "teeth", weights: Array.from({ length: teeth }, (_, k) => (k === 0 ? 1 : 0)) };
  return which === "worst" ? { mode: "teeth", weights: [], worstOf: fraction } : { mode: "share", fraction };
}

/** Up to this many times a whole number of teeth is that number, written as a rounded percentage. */
const WHOLE_TOOTH = 1.02;

/** Below this many teeth carrying, a broken one among them is told. */
const FEW_CARRYING = 4;

/** A share that leaves a broken number of teeth means little where few carry: the whole ones may be alone. */
function brokenTooth({ sharing }: Load, teeth: number): string[] {
  if (sharing.mode !== "share") return [];
  const carrying = sharing.fraction * teeth;
  const whole = Math.floor(carrying + 1e-9);
  if (carrying >= FEW_CARRYING || carrying < WHOLE_TOOTH * whole) return [];
  const alone = whole === 1 ? "one tooth alone takes" : `${whole} teeth alone take`;
  const times = Number((carrying / whole).toPrecision(3));
  return [
    `${formatPercent(sharing.fraction)} of ${teeth} teeth is ${Number(carrying.toPrecision(3))} teeth; where ${alone} the shock, a tooth carries ${times} times what it does here${whole === 1 ? ", and its root may see more than that" : ""} (teeth sharing: ${whole === 1 ? "one tooth" : formatPercent(whole / teeth)})`,
  ];
}

function resolveSteel(g: Gather, own: readonly SteelGrade[]): SteelChoice | null {
  if (!g.hasSection("steel")) return null;
  const grade = g.word("steel", "grade");
  const hardness = g.read("steel", "hardness");
  if (!g.has("steel", "grade")) g.missing("steel", "grade");
  if (hardness === undefined) g.missing("steel", "hardness");
  if (grade !== undefined && hardness?.as !== "window") {
    const unknown = checkGrade(grade, own);
    if (unknown) g.faults.push(unknown);
  }
  if (grade === undefined || hardness?.as !== "window") return null;
  // a variant that turns to a through-hardened grade leaves the base's core behind
  const gradeLayer = g.entry("steel", "grade")!.layer;
  if (findGrade(grade, own)?.condition === "through hardened")
    for (const key of ["core hardness", "case depth"])
      if ((g.entry("steel", key)?.layer ?? 1) < gradeLayer) g.drop("steel", key);
  const core = g.read("steel", "core hardness");
  const given = g.read("steel", "case depth");
  const depth = given?.as === "window" ? given : null;
  if (core?.as === "refused") return null;
  const name = findGrade(grade, own)?.name ?? grade;
  // "SAE 4340" is 4340 by another name; "42CrMo4" is a steel of another standard
  if (!grade.toLowerCase().includes(name.toLowerCase()))
    g.note("steel.grade", name, `whose data ${quote(grade)} is judged by`);
  const choice: SteelChoice = {
    grade: name,
    hardnessLow: hardness.low,
    hardnessHigh: hardness.high,
    hardnessText: hardness.text,
    ...(core?.as === "window" && {
      core: {
        hardnessLow: core.low,
        hardnessHigh: core.high,
        hardnessText: core.text,
        caseDepthText: depth?.text ?? "",
        ...(depth && { caseDepth: [depth.low, depth.high] as const }),
      },
    }),
  };
  const records = findGrade(grade, own)?.records;
  if (depth && findGrade(grade, own)?.condition === "through hardened")
    g.fault(
      "steel.case depth",
      "a through-hardened steel has no case",
      'leave it out, or use grade "8620 case"',
    );
  g.faults.push(...checkSteel(choice, own));
  return records ? { ...choice, own: records } : choice;
}

/** A required torque that is rounded down a little is no lesser one. */
const LESSER = 0.99;

/** A torque to stand that is less than the file's own shocks: every margin looks better than they leave it. */
function lesserRequirement(load: Load, { requiredTorque }: StrengthChoice, units: UnitChoice): string[] {
  const shock = load.torque * load.shockFactor;
  return requiredTorque < shock * LESSER
    ? [
        `its required torque of ${formatTorque(requiredTorque, units)} is less than the shock torque of its load, ` +
          `${formatTorque(shock, units)}: margins are over the required torque alone`,
      ]
    : [];
}

/** A shock that is less than the working torque is more often a slip than meant. */
function lesserShock({ torque, shockFactor }: Load, units: UnitChoice): string[] {
  return shockFactor < LESSER
    ? [
        `its shock torque, ${formatTorque(torque * shockFactor, units)}, is less than its working torque, ${formatTorque(torque, units)}: ` +
          `a shock factor of ${shockFactor} lowers it`,
      ]
    : [];
}

/** That of the loaded flank; of face teeth that over-run see `ownFriction`. */
function flankFriction(g: Gather, profile: Profile | null): FrictionOf {
  const given = g.number("load", "friction");
  if (given !== undefined) return { friction: given };
  const band = g.read("over-run", "friction");
  const own = ownFriction(
    profile,
    !g.hasSection("over-run") ? undefined : band?.as === "window" ? [band.low, band.high] : OILED_BAND,
  );
  const { friction, frictionLow = friction } = own;
  // told as a part file that is given it comes to the same
  const told = (mu: number) => figure(mu, 4);
  if (friction === 0) g.take("load.friction", 0, "0", "frictionless flank; project default");
  else
    g.take(
      "load.friction",
      friction,
      frictionLow < friction ? `${told(frictionLow)} and ${told(friction)}` : told(friction),
      profile && loadsOverRunFlank(profile)
        ? "both ends of over-run.friction: the over-run flank is loaded"
        : "drive flanks that lean: none, and what holds the teeth together, their slope, at most over-run.friction",
    );
  return own;
}

function lesserFriction(profile: Profile, load: Load, { friction: [low, high] }: OverRunChoice): string[] {
  return loadsOverRunFlank(profile) && !(load.friction >= low && load.friction <= high)
    ? [
        `its over-run flank is loaded with a friction of ${load.friction}, and over-running has ${low}..${high}: of the two margins that of over-running counts`,
      ]
    : [];
}

/** A refused number comes out as NaN; the design is then not completed. */
function resolveStrength(g: Gather, load: Load): StrengthChoice {
  const own = "project default; common practice, no source";
  const number = (key: string, value: number, text: string, source: string) =>
    g.number("strength", key) ?? g.take(`strength.${key}`, value, text, source);
  const word = (key: string, value: string, source: string) =>
    g.word("strength", key) ?? g.take(`strength.${key}`, value, value, source);
  const shock = load.torque * load.shockFactor;
  return {
    requiredTorque: number("required torque", shock, formatTorque(shock, g.units), "torque × shock factor"),
    margin: number("margin", 1, "1", "the low end of every band must reach the required torque"),
    shocks: number("shocks", 10_000, "10000", own),
    torqueRatio: number("torque ratio", 0, "0", "shocks come one way"),
    finish: word("finish", "machined", own) as StrengthChoice["finish"],
    peened: word("peened", "no", "nothing is counted that was not asked for") === "yes",
    flawDepth: number("flaw depth", 0, "0", "none stated: a root without tool marks or cracks"),
    tolerance: number("tolerance", 2, "± 2 HRC", own),
    distributionFactor: number("distribution factor", 1, "1", "hub and shaft in line"),
  };
}
