import type { VariantResult } from "../answer/index.ts";
import { type Design, formatAngle, significant } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { shaftShear, toothBearing, toothShear } from "../strength/modes/splineAllowables.ts";
import { type Arithmetic, arithmetic } from "./arithmetic.ts";
import { chartFormulas } from "./chartFormulas.ts";
import { BEAM_LENGTH, type FormulaId, GEAR_RANGE, ISO_RANGE, SHOULDER_RANGE } from "./formulaCards.ts";
import { type LoadedTooth, loadedTooth } from "./loadedTooth.ts";
import { type Reason, type ReasonKey, reasons } from "./reasons.ts";
import { cornerSection, lewisSection, type RootSection, tangentSection } from "./rootSections.ts";
import { agmaCoefficients, agmaKf, dolanBroghamer, isoYS } from "./toothFormulas.ts";

/** One hand formula put to one root. Stresses MPa. */
export interface HandCheck {
  readonly id: FormulaId;
  /** The formula's name, with what it was evaluated at where that may differ ("Dudley shear, Km 2"). */
  readonly name: string;
  /** The arithmetic with its numbers, in the first unit of the part file; in words where there is none to do. */
  readonly working: string;
  /** Null where the formula gives none: at a sharp root without limit, or where the load bends no section. */
  readonly stress: number | null;
  /** The formula's stress concentration factor, and the computed peak over the formula's own nominal stress. */
  readonly factor: number | null;
  readonly computedFactor: number | null;
  /** The computed value of the same kind; null where nothing of that kind is computed. */
  readonly beside: Beside | null;
  /** (formula − computed) / computed. */
  readonly difference: number | null;
  /** What of this root lies outside the range that the formula was made for; empty = inside. */
  readonly outside: readonly string[];
  /** Why formula and computed value disagree by more than a tenth: keys of `HandSheet.reasons`. */
  readonly why: readonly ReasonKey[];
}

export interface Beside {
  readonly what: "peak root stress" | "averaged root stress" | "contact pressure";
  readonly stress: number;
}

export type InputKind = "force" | "length" | "torque" | "angle" | "count";

/** One number that the formulas take; mm, N, N·mm, rad. */
export interface HandInput {
  readonly symbol: string;
  readonly meaning: string;
  readonly kind: InputKind;
  readonly value: number;
}

/** All hand formulas that can be put to the governing root of one variant, beside what was computed for it. */
export interface HandSheet {
  readonly inputs: readonly HandInput[];
  readonly checks: readonly HandCheck[];
  readonly reasons: readonly Reason[];
}

/** Formula and computed value are told to agree within this share. */
export const AGREEMENT = 0.1;

/** What every check is made from. */
interface Setting {
  readonly design: Design;
  readonly built: ProfileOutline;
  readonly result: VariantResult;
  readonly tooth: LoadedTooth;
  readonly write: Arithmetic;
  readonly beside: Beside;
}

/** A check before it is compared. `kinds` are the reasons that can part it from the computed value. */
interface Draft extends Pick<HandCheck, "id" | "name" | "working" | "stress" | "outside"> {
  readonly factor?: number | null;
  /** Nominal stress that the formula's factor multiplies. */
  readonly nominal?: number;
  readonly beside: Beside | null;
  readonly kinds: readonly ReasonKey[];
}

/**
 * Puts the hand formulas to the most loaded tooth of a solved variant. The formulas stand beside the computed values and
 * judge nothing: the engine is judged by the published cases of `src/verify`.
 */
export function handChecks(result: VariantResult, built: ProfileOutline): HandSheet {
  const { design, root, torque } = result;
  const tooth = loadedTooth(design, built, torque.perTooth);
  const beside: Beside = root.peakPrincipal
    ? { what: "peak root stress", stress: root.peakPrincipal.stress }
    : { what: "averaged root stress", stress: root.average.opening };
  const setting: Setting = { design, built, result, tooth, write: arithmetic(design.units), beside };
  const ring = ringTension(setting);
  const drafts = [
    shortBeam(setting),
    bendingLessPush(setting),
    meanRootShear(setting),
    ...gearRules(setting),
    isoRule(setting),
    shoulderChart(setting),
    ...splineRules(setting),
    ...(design.profile.kind === "face tooth" ? [plainBearing(setting)] : []),
    ...(ring ? [ring] : []),
    ...(design.profile.kind === "external spline" ? [shaftTorsion(setting)] : []),
  ];
  const told = reasons(result, built, tooth, ring?.stress ?? null);
  const checks = drafts.map((draft): HandCheck => {
    const { id, name, working, stress, outside, factor = null, nominal, beside: other, kinds } = draft;
    const difference = stress !== null && other ? stress / other.stress - 1 : null;
    const apart = other !== null && (difference === null || Math.abs(difference) > AGREEMENT);
    const peak = other?.what === "peak root stress" && nominal !== undefined && nominal > 0;
    return {
      id,
      name,
      working,
      stress,
      factor,
      computedFactor: peak ? other.stress / nominal : null,
      beside: other,
      difference,
      outside,
      why: apart ? told.map(({ key }) => key).filter((key) => kinds.includes(key)) : [],
    };
  });
  const used = new Set(checks.flatMap(({ why }) => why));
  return {
    inputs: inputsOf(setting),
    checks,
    reasons: told.filter(({ key, always }) => always === true || used.has(key)),
  };
}

function inputsOf({ design, built, result, tooth }: Setting): HandInput[] {
  const { nominal } = result.root;
  const spline = design.profile.kind !== "face tooth";
  const list: HandInput[] = [];
  const put = (symbol: string, kind: InputKind, value: number, meaning: string) =>
    list.push({ symbol, kind, value, meaning });
  put("T", "torque", result.torque.shock, "shock torque of the part");
  put("N", "count", design.profile.teeth, "teeth");
  put("", "torque", result.torque.perTooth, "torque of the most loaded tooth");
  put(
    "W",
    "force",
    nominal.force,
    `that over ${spline ? "the radius of the band's middle, along its circle" : "the mean radius"}`,
  );
  put("", "angle", tooth.angle, "load, from square across the tooth towards the root");
  put("Wc", "force", tooth.across, "the load's part square across the tooth's middle line");
  put("Wr", "force", tooth.rootward, "the load's part along that line, into the root");
  put("h", "length", nominal.arm, `middle of the band to the root ${spline ? "circle" : "line"}`);
  put("t", "length", nominal.thickness, "tooth at the root, flanks run on without fillets");
  put("b", "length", nominal.width, "face width");
  put("r", "length", tooth.radius, "root radius of the loaded side");
  if (design.profile.kind !== "face tooth") {
    put("D", "length", design.profile.pitchDiameter, "pitch diameter");
    put("w", "length", ringThickness(design, built), "ring behind the root");
  }
  return list;
}

function shortBeam({ result, write: n, beside }: Setting): Draft {
  const { force: W, arm: h, width: b, thickness: t, stress } = result.root.nominal;
  return {
    id: "short beam",
    name: "short beam",
    working: `6 × ${n.force(W)} × ${n.length(h)} / (${n.length(b)} × ${n.length(t)}²)${n.end}`,
    stress,
    nominal: stress,
    beside,
    outside: beamOutside(h, t),
    kinds: ["sharp", "notch", "stubby", "push", "near", "ring"],
  };
}

function beamOutside(h: number, t: number): string[] {
  return h / t >= BEAM_LENGTH ? [] : [`h/t is ${significant(h / t)}, not ${BEAM_LENGTH} or more`];
}

/** Bending and direct stress of a section by the true line of the load, MPa, and how they are worked out. */
function sectionStress({ tooth, result, write: n }: Setting, { arm, thickness: t }: RootSection) {
  const { across, rootward } = tooth;
  const b = result.root.nominal.width;
  const bending = (6 * across * arm) / (b * t * t);
  const sign = rootward < 0 ? "+" : "−";
  return {
    bending,
    total: bending - rootward / (b * t),
    bendingText: `6 × ${n.force(across)} × ${n.length(arm)} / (${n.length(b)} × ${n.length(t)}²)`,
    pushText: `${sign} ${n.force(Math.abs(rootward))} / (${n.length(b)} × ${n.length(t)})`,
  };
}

function bendingLessPush(setting: Setting): Draft {
  const section = cornerSection(setting.tooth);
  const { total, bendingText, pushText } = sectionStress(setting, section);
  const { end } = setting.write;
  return {
    id: "bending less push",
    name: "bending less push",
    working: end ? `(${bendingText} ${pushText})${end}` : `${bendingText} ${pushText}`,
    stress: total,
    nominal: total,
    beside: setting.beside,
    outside: beamOutside(section.arm, section.thickness),
    kinds: ["sharp", "notch", "stubby", "line", "near", "ring"],
  };
}

function meanRootShear({ tooth, result, write: n }: Setting): Draft {
  const { width: b, thickness: t } = result.root.nominal;
  return {
    id: "mean root shear",
    name: "mean root shear",
    working: `${n.force(tooth.across)} / (${n.length(b)} × ${n.length(t)})${n.end}`,
    stress: tooth.across / (b * t),
    beside: null,
    outside: [],
    kinds: [],
  };
}

/** A root radius so small that a factor's growth without limit shows, mm. */
const SHRINKING = [0.1, 0.01, 0.001];

/** Says how a factor grows as the radius of a sharp root shrinks. */
function withoutLimit(symbol: string, factorAt: (radius: number) => number, n: Arithmetic): string {
  const lengths = SHRINKING.map((r) => n.length(r)).join(", ");
  const factors = SHRINKING.map((r) => significant(factorAt(r))).join(", ");
  return `no value: ${symbol} at r = ${lengths} would be ${factors}, and so on: without limit at a sharp root`;
}

/** A gear's arm is 0.4 to 1.4 of its thickness; below this share of it a factor made for gears multiplies next to nothing. */
const LEAST_ARM = 0.05;

/** Why a formula of bending has nothing to say of a section; null where it has. */
function noBending(section: RootSection | null, n: Arithmetic): string | null {
  if (!section || section.arm <= 0)
    return "no value: the load's line passes below the root section, so the formula sees no bending";
  const share = section.arm / section.thickness;
  if (share >= LEAST_ARM) return null;
  return (
    `no value: the load's line cuts the tooth's middle only ${n.length(section.arm)} above the root section, ` +
    `${significant(share)} of its thickness; the formula would multiply next to no bending by a factor that grows without limit as h shrinks`
  );
}

const GEAR_REASONS: readonly ReasonKey[] = ["sharp", "internal", "stubby", "line", "near", "ring"];

function gearRules(setting: Setting): Draft[] {
  const { design, tooth, beside, write: n } = setting;
  const { profile } = design;
  const alpha =
    profile.kind !== "face tooth" && profile.flank.form === "involute"
      ? profile.flank.pressureAngle
      : tooth.flankAngle;
  const degrees = (alpha * 180) / Math.PI;
  const tabulated = degrees < 17.25 ? 14.5 : 20;
  const section = lewisSection(tooth);
  const rules = [
    {
      id: "Dolan-Broghamer",
      name: "Dolan-Broghamer",
      symbol: "K",
      fits: Math.min(Math.abs(degrees - 14.5), Math.abs(degrees - 20)) < 0.5,
      made: "14.5 or 20°",
      coefficients: tabulated === 20 ? { H: 0.18, L: 0.15, M: 0.45 } : { H: 0.22, L: 0.2, M: 0.4 },
      factor: (t: number, r: number, h: number) => dolanBroghamer(tabulated, t, r, h),
    },
    {
      id: "AGMA Kf",
      name: "AGMA Kf",
      symbol: "Kf",
      fits: degrees > 14 && degrees < 20.5,
      made: "14.5 to 20°",
      coefficients: agmaCoefficients(alpha),
      factor: (t: number, r: number, h: number) => agmaKf(alpha, t, r, h),
    },
  ] as const;
  return rules.map(({ id, name, symbol, fits, made, coefficients: { H, L, M }, factor }): Draft => {
    const outside = gearOutside(setting, section);
    if (!fits) outside.push(`${formatAngle(alpha)}, made for ${made}`);
    const draft = { id, name, beside, outside, kinds: GEAR_REASONS };
    if (!section) return { ...draft, working: noBending(section, n) ?? "", stress: null };
    const { thickness: t, arm: h, radius: r } = section;
    const none = r === 0 ? withoutLimit(symbol, (radius) => factor(t, radius, h), n) : noBending(section, n);
    if (none) return { ...draft, working: none, stress: null };
    const { total, bendingText, pushText } = sectionStress(setting, section);
    const k = factor(t, r, h);
    const powers = `(${n.length(t)} / ${n.length(r)})^${significant(L)} × (${n.length(t)} / ${n.length(h)})^${significant(M)}`;
    return {
      ...draft,
      working: `${symbol} = ${significant(H)} + ${powers} = ${n.number(k)}; times (${bendingText} ${pushText})${n.end}`,
      stress: k * total,
      factor: k,
      nominal: total,
    };
  });
}

/** What of a section the gear rules were not made for. */
function gearOutside({ design }: Setting, section: RootSection | null): string[] {
  const outside: string[] = [];
  const { profile } = design;
  if (profile.kind !== "external spline") outside.push(`${profile.kind}, made for external gears`);
  else if (profile.flank.form === "straight") outside.push("straight flanks, made for involute teeth");
  if (!section) return outside;
  const { thickness: t, arm: h, radius: r } = section;
  if (r > 0) outOf(outside, "t/r", t / r, GEAR_RANGE.thicknessOverRadius);
  outOf(outside, "t/h", t / h, GEAR_RANGE.thicknessOverArm);
  if (r === 0) outside.push("no root radius");
  return outside;
}

function outOf(
  outside: string[],
  symbol: string,
  value: number,
  [low, high]: readonly [number, number],
): void {
  if (!(value >= low && value <= high))
    outside.push(`${symbol} is ${significant(value)}, made for ${low} to ${high}`);
}

function isoRule(setting: Setting): Draft {
  const { design, tooth, beside, write: n } = setting;
  const tilt = design.profile.kind === "internal spline" ? 60 : 30;
  const section = tangentSection(tooth, (tilt * Math.PI) / 180);
  const outside: string[] = [];
  const { profile } = design;
  if (profile.kind !== "external spline") outside.push(`${profile.kind}, made for external gears`);
  if (!(profile.kind !== "face tooth" && profile.flank.form === "involute"))
    outside.push("straight flanks, made for involute teeth");
  else if (Math.abs(profile.flank.pressureAngle - Math.PI / 9) > 0.01)
    outside.push(`${formatAngle(profile.flank.pressureAngle)}, made for a 20° rack`);
  const draft = {
    id: "ISO YF YS",
    name: `ISO YF YS at ${tilt}°`,
    beside,
    outside,
    kinds: GEAR_REASONS,
  } as const;
  if (!section || section.arm <= 0) return { ...draft, working: noBending(section, n) ?? "", stress: null };
  const { thickness: s, arm: h, radius, end } = section;
  const L = s / h;
  outOf(outside, "s/h", L, GEAR_RANGE.thicknessOverArm);
  if (radius === 0) outside.push("no root radius");
  const none = radius === 0 ? withoutLimit("YS", (rho) => isoYS(L, s / (2 * rho)), n) : noBending(section, n);
  if (none) return { ...draft, working: none, stress: null };
  const qs = s / (2 * radius);
  outOf(outside, "qs", qs, ISO_RANGE);
  if (end) outside.push(`no point of the fillet stands at ${tilt}°; its ${end} was taken`);
  const ys = isoYS(L, qs);
  const { bending, bendingText } = sectionStress(setting, section);
  const exponent = `1/(1.21 + 2.3/${n.number(L)})`;
  return {
    ...draft,
    working: `YS = (1.2 + 0.13 × ${n.number(L)}) × ${n.number(qs)}^(${exponent}) = ${n.number(ys)}; times ${bendingText}${n.end}`,
    stress: ys * bending,
    factor: ys,
    nominal: bending,
  };
}

function shoulderChart(setting: Setting): Draft {
  const { design, built, tooth, beside, write: n } = setting;
  const section = cornerSection(tooth);
  const { thickness: d, arm, radius: r } = section;
  const { profile } = design;
  const H =
    profile.kind === "face tooth"
      ? (Math.PI * profile.meanDiameter) / profile.teeth
      : 2 * built.rootRadiusPosition * Math.sin(Math.PI / profile.teeth);
  const step = (H - d) / 2;
  const outside: string[] = [];
  if (arm / d < 1) outside.push(`load ${significant(arm / d)} d from the step, not far from it`);
  const draft = {
    id: "shoulder chart",
    name: "shoulder in bending",
    beside,
    outside,
    kinds: ["sharp", "stubby", "line", "near", "ring"],
  } as const;
  if (r === 0) {
    outside.push("no root radius");
    const working = `no value: the chart ends at step/r ${SHOULDER_RANGE[1]}, r = ${n.length(step / SHOULDER_RANGE[1])}; Kt grows without limit as r shrinks`;
    return { ...draft, working, stress: null };
  }
  outOf(outside, "step/r", step / r, SHOULDER_RANGE);
  if (arm <= 0) return { ...draft, working: noBending(section, n) ?? "", stress: null };
  if (outside.some((text) => text.startsWith("step/r"))) {
    // a polynomial means nothing beyond the points it was drawn through
    return {
      ...draft,
      working: "no value: the chart does not reach this step/r, so nothing is read from it",
      stress: null,
    };
  }
  const { bending, bendingText } = sectionStress(setting, section);
  const kt = chartFormulas["shoulder-bending"]!.chart((2 * step) / H, step / r);
  return {
    ...draft,
    working: `H = ${n.length(H)}, step/r = ${n.number(step / r)}: Kt = ${n.number(kt)}; times ${bendingText}${n.end}`,
    stress: kt * bending,
    factor: kt,
    nominal: bending,
  };
}

/** "2", "1.33". */
const plain = (x: number): string => String(Number(significant(x)));

/** Dudley's shear for good and poor alignment and for worse sharing where the part file gives it, and his bearing for the share that the part file gives and for all teeth. */
function splineRules({ design, built, result, write: n }: Setting): Draft[] {
  const { profile } = design;
  if (profile.kind === "face tooth") return [];
  const { teeth, pitchDiameter: D, faceWidth } = profile;
  const T = result.torque.shock;
  const chord = D * Math.sin(profile.toothThickness / D);
  const height = (built.contact[1] - built.contact[0]) / 2;
  const below = (size: number) =>
    `(${n.length(D)} × ${teeth} × ${n.length(faceWidth)} × ${n.length(size)})${n.end}`;
  const load = (km: number) => ({ torque: T, ka: 1, km, kf: 1 });
  // worst tooth's share of the torque, over the even share of all teeth
  const crowding = (result.torque.perTooth * teeth) / T;
  const pressure: Beside = { what: "contact pressure", stress: result.root.contactPressure };
  const bearing = (km: number): Draft => ({
    id: "Dudley bearing",
    name: `Dudley bearing, Km ${plain(km)}`,
    working: `2 × ${n.torque(T)} × ${plain(km)} / ${below(height)}`,
    stress: toothBearing(load(km), profile, height),
    beside: pressure,
    outside: [],
    kinds: ["sharing"],
  });
  const kms = Math.abs(crowding - 1) > 0.01 ? [1, crowding] : [1];
  // his formula has half of the teeth carry already
  const ofShear = crowding / 2 > 2.02 ? [1, 2, crowding / 2] : [1, 2];
  return [
    ...ofShear.map(
      (km): Draft => ({
        id: "Dudley shear",
        name: `Dudley shear, Km ${plain(km)}`,
        working: `4 × ${n.torque(T)} × ${plain(km)} / ${below(chord)}`,
        stress: toothShear(load(km), profile, chord),
        beside: null,
        outside: [],
        kinds: [],
      }),
    ),
    ...kms.map(bearing),
  ];
}

function plainBearing({ built, result, write: n }: Setting): Draft {
  const { force: W, width: b } = result.root.nominal;
  const h = built.contact[1] - built.contact[0];
  return {
    id: "plain bearing",
    name: "plain bearing",
    working: `${n.force(W)} / (${n.length(b)} × ${n.length(h)})${n.end}`,
    stress: W / (b * h),
    beside: { what: "contact pressure", stress: result.root.contactPressure },
    outside: [],
    kinds: [],
  };
}

/** Material behind the root of a spline, mm. */
function ringThickness({ profile }: Design, built: ProfileOutline): number {
  return profile.kind === "face tooth" ? 0 : Math.abs(profile.backDiameter / 2 - built.rootRadiusPosition);
}

/** Null where the teeth carry unequally, where the rim is held, and for face teeth. */
function ringTension(setting: Setting): Draft | null {
  const { design, tooth, write: n } = setting;
  const { profile, load } = design;
  if (profile.kind === "face tooth" || load.sharing.mode !== "share" || load.reaction === "held") return null;
  const w = ringThickness(design, setting.built);
  const b = profile.faceWidth;
  const S = profile.teeth * tooth.rootward;
  const outward = profile.kind === "internal spline" ? 1 : -1;
  const sum = `${profile.teeth} × ${n.force(tooth.rootward)}`;
  return {
    id: "ring tension",
    name: outward > 0 ? "ring tension" : "ring compression",
    working: `${outward > 0 ? "" : "−"}${sum} / (2 × 3.142 × ${n.length(b)} × ${n.length(w)})${n.end}`,
    stress: (outward * S) / (2 * Math.PI * b * w),
    beside: null,
    outside: [],
    kinds: [],
  };
}

function shaftTorsion({ design, result, write: n }: Setting): Draft {
  const profile = design.profile as Extract<Design["profile"], { kind: "external spline" }>;
  const { rootDiameter: D, backDiameter: d } = profile;
  const T = result.torque.shock;
  return {
    id: "shaft torsion",
    name: "shaft torsion",
    working: `16 × ${n.torque(T)} × ${n.length(D)} / (3.142 × (${n.length(D)}⁴ − ${n.length(d)}⁴))${n.end}`,
    stress: shaftShear({ torque: T, ka: 1, km: 1, kf: 1 }, D, d),
    beside: null,
    outside: [],
    kinds: [],
  };
}
