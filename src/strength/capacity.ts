import type { Fault, LengthWords } from "../design/index.ts";
import { type Band, envelope, leastBand } from "./band.ts";
import { type Conditions, type Settled, type SteelQuery, settle } from "./conditions.ts";
import {
  criticalDistance,
  lineStress,
  pointStress,
  type RootPaths,
  type WorstPath,
} from "./criticalDistance.ts";
import {
  criticalDistanceLife,
  FATIGUE_FORMULA,
  FATIGUE_SOURCE,
  type LifeCurves,
  lifeTorque,
  MANY,
  notchFactorLife,
  PEENING_SOURCE,
  shocksAt,
} from "./fatigueLife.ts";
import { NOTCH_SENSITIVITY_SOURCE, SURFACE_SOURCE, surfaceFactors } from "./fatigueNotch.ts";
import {
  type FractureRegime,
  fractureRegime,
  PLASTIC_FORMULA,
  PLASTIC_SOURCE,
  plasticTooth,
  twoCriteria,
} from "./plasticLimit.ts";
import { BASE_SOURCE, WALL_FORMULA, WALL_SOURCE, wallsBand } from "./ringWall.ts";
import { cracksThrough, type RootField } from "./rootField.ts";
import { elasticTwist, plasticTwist, TWIST_SOURCE } from "./shaftTwist.ts";
import {
  allowableBearing,
  allowableShear,
  DUDLEY_SOURCE,
  fatigueLifeFactor,
  inRow,
  shaftShear,
} from "./splineAllowables.ts";
import { BUILT_IN, type SteelCatalogue } from "./steelCatalogue.ts";
import type { Property, SteelState } from "./steelState.ts";
import { FLAW_FORMULA, FLAW_SOURCE, flawUpTo, withFlaw } from "./surfaceFlaw.ts";

export type ModeId =
  | "first yield"
  | "plastic section"
  | "root fracture"
  | "root fracture by points"
  | "flaw fracture"
  | "cracked case"
  | "fatigue"
  | "fatigue by Kf"
  | "flank crushing"
  | "published shear"
  | "published bearing"
  | "published twist"
  | "rim burst"
  | "wall section"
  | "shaft twist";

/** One thing that can happen, and the torque on the whole part at which it does. */
export interface Mode {
  readonly id: ModeId;
  /** In shop words. */
  readonly title: string;
  /** N·mm of one shock; null when it cannot be said, which `note` explains. */
  readonly torque: Band | null;
  /**
   * True when reaching that torque breaks or spoils the part. First yield, published allowables, second estimates and fracture where
   * it does not hold are shown and do not govern.
   */
  readonly governs: boolean;
  readonly formula: string;
  readonly source: string;
  /** True when a number it rests on is from memory. */
  readonly memory: boolean;
  /** What must be said beside the number; empty when nothing. */
  readonly note: string;
  /** Fatigue only: number of shocks at the required torque. */
  readonly shocks?: Band;
}

/** One check of what linear fracture takes for granted. */
export interface Validity {
  readonly what: string;
  readonly holds: "yes" | "at the low end" | "no";
  readonly words: string;
}

/**
 * What may come first and has no torque: fracture and fatigue of the root, where no fracture toughness is known at that hardness; its
 * fatigue under more than one shock, where no fatigue limit or no threshold is known there; fracture of the core behind a cracked case,
 * where the case's depth or the core's toughness is not told; cracks in the shaft from twist, where the published allowable for as many
 * shocks is under the required torque with its margin.
 */
export type Uncounted = "root" | "root fatigue" | "core" | "twist";

/** What each of them is called. */
export const UNCOUNTED_NAMES: Readonly<Record<Uncounted, string>> = {
  root: "fracture or fatigue of the root",
  "root fatigue": "fatigue of the root",
  core: "fracture of the core behind a cracked case",
  twist: "cracks in the shaft from twist",
};

export interface Capacity {
  /** Lowest low end first; those without a torque last. */
  readonly modes: readonly Mode[];
  /** Lowest low end of the modes that govern. */
  readonly governing: Mode;
  /** The one after it. */
  readonly next: Mode | null;
  /** Torque at which the part breaks, N·mm: least low end, and least high end, of the modes that govern. */
  readonly stands: Band;
  /** The same over the required torque. */
  readonly margin: Band;
  /** What may come first and is not counted; what is left is then no answer to whether the part stands. */
  readonly uncounted: readonly Uncounted[];
  /** True where nothing is `uncounted`. */
  readonly vouched: boolean;
  readonly required: number;
  /** Critical distance of one shock, mm, over all its toughness and strength may be; null where no toughness is known. */
  readonly criticalDistance: Band | null;
  readonly regime: FractureRegime | null;
  readonly validity: readonly Validity[];
  readonly warnings: readonly string[];
  /** True where the low end of a band of friction breaks it first, which is then what all this tells of; absent otherwise. */
  readonly lowFriction?: true;
  /** The hardness it was worked out for, HRC, of what carries. */
  readonly hardness: readonly [number, number];
}

/**
 * All modes of one variant in one steel at one hardness window. Pure arithmetic on a root field: call it as often as a sweep wants.
 * @returns faults, and nothing computed, when steel and conditions make no sense together.
 * @throws TypeError for a root field that has been through JSON, which loses its typed arrays.
 */
export function assess(
  root: RootField,
  query: SteelQuery,
  conditions: Conditions,
  catalogue: SteelCatalogue = BUILT_IN,
): { readonly capacity: Capacity } | { readonly faults: readonly Fault[] } {
  if (!root.paths.every(({ distances }) => ArrayBuffer.isView(distances)))
    throw new TypeError(
      "assess: the root field's paths are no typed arrays; JSON loses them, structuredClone keeps them",
    );
  const read = settle(root.tooth, query, conditions, catalogue);
  if ("faults" in read) return read;
  if (read.settled.ratio < 0 && root.pushed === undefined)
    return {
      faults: [
        {
          key: "strength.torque ratio",
          problem: "the torque reverses, and what it pushes was not read with this root",
          remedy: "read the root of a design whose torque ratio is below 0, or ask for `pushed`",
        },
      ],
    };
  return { capacity: capacityOfAll(root, read.settled) };
}

/** Of whatever the root field holds beside itself the one that gives first. */
function capacityOfAll(root: RootField, how: Settled): Capacity {
  const own = capacity(root, how);
  const shaped = root.keptFlat ? sooner(own, capacity(root.keptFlat, how)) : own;
  return root.lowFriction
    ? sooner(shaped, { ...capacityOfAll(root.lowFriction, how), lowFriction: true })
    : shaped;
}

/** The one of two that breaks first, with each mode as soon as it comes in either. */
function sooner(a: Capacity, b: Capacity): Capacity {
  const [first, second] = b.stands.low < a.stands.low ? [b, a] : [a, b];
  const ranks = ranked(
    first.modes.map((mode) =>
      earlier(
        mode,
        second.modes.find(({ id }) => id === mode.id),
      ),
    ),
  );
  const { required } = first;
  const { low, high } = ranks.stands;
  return { ...first, ...ranks, margin: { low: low / required, high: high / required } };
}

/** One mode in two states of a part: as soon as it comes in either, in the words of that one. */
function earlier(mode: Mode, other: Mode | undefined): Mode {
  if (!other?.torque) return mode;
  const governs = mode.governs || other.governs;
  if (!mode.torque) return { ...other, governs };
  const words = other.torque.low < mode.torque.low ? other : mode;
  return { ...words, governs, torque: leastBand(mode.torque, other.torque) };
}

/** Modes in their order, and of those that govern the first, the next, and what all together let the part stand. */
function ranked(unsorted: readonly Mode[]): Pick<Capacity, "modes" | "governing" | "next" | "stands"> {
  const lowOf = (mode: Mode) => mode.torque?.low ?? Number.POSITIVE_INFINITY;
  const modes = [...unsorted].sort((a, b) => lowOf(a) - lowOf(b));
  const ruling = modes.filter((mode) => mode.governs && mode.torque !== null);
  return {
    modes,
    governing: ruling[0],
    next: ruling[1] ?? null,
    stands: {
      low: ruling[0].torque!.low,
      // at its best, too, the part stands no more than each of them lets it
      high: Math.min(...ruling.map(({ torque }) => torque!.high)),
    },
  };
}

/** What one shock does, under a torque of one sense. */
function staticModes(root: RootField, how: Settled) {
  const { surface, body } = how;
  const { torque: section, section: weakest } = plasticTooth(root.tooth, body.yield);
  const ring = root.tooth.kind !== "face tooth";
  const wall = wallsBand(root.walls, root.tooth.faceWidth, body.yield, ring);
  // whichever of tooth and wall gives in first is where the root is pulled open
  const plastic = leastBand(section, wall);
  const fracture = rootFracture(root, surface, plastic);
  const modes: Mode[] = [
    firstYield(root, surface, how.cased),
    {
      id: "plastic section",
      title: "tooth section fully plastic",
      torque: section,
      governs: true,
      formula: PLASTIC_FORMULA,
      source: `${PLASTIC_SOURCE}; yield: ${sources(body.yield)}`,
      memory: true,
      note:
        weakest.height > 0
          ? `weakest ${how.say.length(weakest.height, 3)} above the root line, where it is ${how.say.length(weakest.thickness, 3)} thick`
          : "",
    },
    ...fracture.modes(how.cased),
    {
      id: "wall section",
      title: `${ring ? "wall" : "base"} between the teeth fully plastic`,
      torque: wall,
      governs: true,
      formula: WALL_FORMULA,
      source: `${ring ? WALL_SOURCE : BASE_SOURCE}; yield: ${sources(body.yield)}`,
      memory: true,
      note: ring
        ? "the first section of the ring; others take over some of it before the ring collapses"
        : "the base as thick as the part file has it, held evenly along its back; what stiffens it behind is not counted",
    },
    crushing(root, surface),
  ];
  if (how.flaw > 0) modes.push(flawMode(root, how, surface, how.flaw, fracture.linear, false));
  if (how.cased && how.caseDepth) {
    const core = rootFracture(root, body, plastic);
    modes.push(flawMode(root, how, body, how.caseDepth[1], core.linear, true));
  }
  const flawed = modes.find((mode) => mode.id === "flaw fracture")?.torque;
  return { modes, fracture, once: flawed ?? fracture.torque ?? plastic };
}

/** A mode under the torque, or under its share that comes back on the other flank where that does it sooner. */
function eitherWay(mode: Mode, back: Mode | undefined, share: number): Mode {
  if (!back?.torque) return mode;
  return earlier(mode, {
    ...back,
    torque: { low: back.torque.low / share, high: back.torque.high / share },
    note: [back.note, "under the torque turned round"].filter(Boolean).join("; "),
  });
}

/** The same for conditions already settled. */
export function capacity(root: RootField, how: Settled): Capacity {
  const { surface, body } = how;
  const { fracture, ...own } = staticModes(root, how);
  const back = root.reverse && how.ratio < 0 ? staticModes(root.reverse, how) : null;
  const share = -how.ratio;
  const modes = own.modes.map((mode) =>
    eitherWay(
      mode,
      back?.modes.find(({ id }) => id === mode.id),
      share,
    ),
  );
  const once = back
    ? leastBand(own.once, { low: back.once.low / share, high: back.once.high / share })
    : own.once;
  modes.push(
    ...fatigueModes(root, how, once),
    ...published(root, how),
    rimBurst(root, body),
    shaftTwist(root, body, how.shocks),
  );

  // a stress that grows with depth can turn a band round
  for (const [k, { torque }] of modes.entries())
    if (torque && torque.low > torque.high)
      modes[k] = { ...modes[k], torque: { low: torque.high, high: torque.low } };
  const ranks = ranked(modes);
  const { stands } = ranks;
  const twist = allowedTwist(root, how, modes);
  const gaps = untold(how);
  const uncounted: Uncounted[] = [
    ...new Set(gaps.map(({ uncounted: part }) => part)),
    ...(twist !== null && twist < how.margin * how.required ? (["twist"] as const) : []),
  ];
  return {
    ...ranks,
    margin: { low: stands.low / how.required, high: stands.high / how.required },
    uncounted,
    vouched: uncounted.length === 0,
    required: how.required,
    criticalDistance: fracture.distance,
    regime: fracture.regime,
    validity: validity(root, surface, fracture.distance, how.say),
    warnings: [
      ...new Set([
        ...surface.warnings,
        ...body.warnings,
        ...gaps.map(({ words }) => words),
        ...twistFatigue(how, ranks, twist),
        ...(stands.low > FAR_TOO_STRONG * how.required
          ? [
              `It stands more than ${FAR_TOO_STRONG} times the required torque: look at the units of torque and sizes`,
            ]
          : []),
        ...repeated(how),
      ]),
    ],
    hardness: [body.hardnessLow, body.hardnessHigh],
  };
}

/** No part is made this much stronger than it must be. */
const FAR_TOO_STRONG = 100;

/** Without its data the ways in which a hard part breaks are left out, and what is left looks strong. */
function untold({ surface, body, cased, caseDepth, shocks }: Settled): Gap[] {
  const { name, toughness, fatigueLimit, threshold } = surface;
  const gaps: Gap[] = [];
  if (!toughness)
    gaps.push({
      uncounted: "root",
      words: `No fracture toughness is known for ${name} at this hardness: brittle fracture and fatigue from the root are not counted, though they may come first`,
    });
  else if (shocks > 1 && !(fatigueLimit && threshold))
    gaps.push({
      uncounted: "root fatigue",
      words: `No ${[fatigueLimit ? "" : "fatigue limit", threshold ? "" : "threshold"].filter(Boolean).join(" and no ")} is known for ${name} at this hardness: fatigue from the root is not counted, though it may come first`,
    });
  if (cased && !caseDepth)
    gaps.push({
      uncounted: "core",
      words:
        "No case depth is told: fracture of the core behind a cracked case is not counted, though it may come first; give steel.case depth",
    });
  else if (cased && !body.toughness)
    gaps.push({
      uncounted: "core",
      words: `No fracture toughness is known for ${body.name} at this hardness: fracture of the core behind a cracked case is not counted, though it may come first`,
    });
  return gaps;
}

interface Gap {
  readonly uncounted: Exclude<Uncounted, "twist">;
  readonly words: string;
}

/**
 * Torque that the shaft in twist is not vouched for above, N·mm: no mode counts its fatigue, nor brittle fracture from roots that are
 * notches in twist too or from a flaw in them, but the published allowable, with its life factor, leaves room for both. Null where there is
 * no shaft, or where one shock on a ductile shaft without a flaw only yields it.
 */
function allowedTwist(root: RootField, how: Settled, modes: readonly Mode[]): number | null {
  const published = modes.find(({ id }) => id === "published twist")?.torque ?? null;
  if (!published) return null;
  const { hardest, flaw, shocks } = how;
  // a window of hardness is no more ductile than its hard end
  const breaks = () =>
    rootFracture(root, hardest, plasticTooth(root.tooth, hardest.yield).torque).regime !== "plastic limit";
  return shocks > 1 || flaw > 0 || breaks() ? published.low : null;
}

function twistFatigue(
  { required, margin }: Settled,
  { governing, next }: Pick<Capacity, "governing" | "next">,
  allowed: number | null,
): string[] {
  if (allowed === null) return [];
  const wanted = margin * required;
  if (allowed < wanted) {
    // an allowable torque grows with the cube of a shaft's diameter
    const thicker = (wanted / allowed) ** (1 / 3);
    const size =
      thicker < 10
        ? `some ${(Math.ceil(10 * thicker) / 10).toFixed(1)} times as thick, bore and all,`
        : "far thicker";
    return [
      `Cracks in the shaft from twist are not counted, and the published allowable twist for that many shocks is ${Math.floor((100 * allowed) / wanted)} % of the required torque${margin === 1 ? "" : " with its margin"}: ` +
        `nothing here says that the shaft stands them. One ${size} does, else have it judged`,
    ];
  }
  return [governing, next].some((mode) => mode?.id === "shaft twist")
    ? [
        "The shaft’s twist is among what comes first, and cracks are not counted in it: from the roots they can end it well under the torque told",
      ]
    : [];
}

/** What repeated shocks do that no mode counts. */
const repeated = ({ shocks, cased }: Settled): string[] => [
  ...(shocks > 1 && cased
    ? [
        "Fatigue of the core under the case is not counted: a thin case on a soft core can fail from beneath, under the torque told",
      ]
    : []),
  ...(shocks > MANY
    ? [
        "Fatigue is counted as level beyond 10⁶ shocks; hard steel goes on falling, from flaws within, and there is no number here for that",
      ]
    : []),
];

const sources = (...of: (Property | null)[]): string =>
  [...new Set(of.flatMap((one) => one?.sources ?? []))].join("; ");
const remembered = (...of: (Property | null)[]): boolean => of.some((one) => one?.memory === true);

function firstYield(root: RootField, steel: SteelState, cased: boolean): Mode {
  const peak = root.highestVonMises;
  return {
    id: "first yield",
    title: "first yield at the root",
    torque: peak === null ? null : { low: steel.yield.low / peak, high: steel.yield.high / peak },
    governs: false,
    formula: "T = Sy / (highest von Mises stress of any root, per torque)",
    source: `finite elements; yield: ${sources(steel.yield)}`,
    memory: remembered(steel.yield),
    note:
      peak === null
        ? "a sharp corner yields at its tip under any torque; that is not yet failure"
        : cased
          ? "a spot of the case yields; the shares of yield in tables are of the softer core"
          : "a spot of the root yields; in a ductile steel that is not yet failure",
  };
}

/**
 * Fracture from the root: linear, then with the plastic limit. The line criterion governs: its torque rises with the root radius all
 * the way from the sharp corner. The point criterion's does not (for a radius near L/2 it falls below the sharp corner's) and stands beside it.
 */
function rootFracture(root: RootField, steel: SteelState, plastic: Band) {
  const { toughness, inherent } = steel;
  if (!toughness) {
    return {
      distance: null,
      linear: null,
      torque: null,
      regime: null,
      modes: (cased: boolean): Mode[] => [
        {
          ...fractureWords(steel, cased),
          torque: null,
          governs: false,
          note: `no fracture toughness is known for ${steel.name} at this hardness`,
        },
      ],
    };
  }
  const at = (end: "low" | "high", strength: number) => {
    const L = criticalDistance(toughness[end], strength);
    const line = lineStress(root, L, "fading");
    return { line: torqueOf(line, strength), angle: line.angle, elsewhere: line.elsewhere };
  };
  // where stress falls off faster than a crack's does, a higher strength breaks sooner: it counts over less of the path; the least may lie
  // anywhere in the band
  const ratio = inherent.high / inherent.low;
  const strengths = Array.from(
    { length: STRENGTHS },
    (_, k) => inherent.low * ratio ** (k / (STRENGTHS - 1)),
  );
  const over = (end: "low" | "high") => strengths.map((strength) => at(end, strength));
  const [least, most] = [over("low"), over("high")];
  const low = least.reduce((a, b) => (b.line < a.line ? b : a));
  const linear: Band = { low: low.line, high: Math.max(...most.map((one) => one.line)) };
  const points = (end: "low" | "high") =>
    [inherent.low, inherent.high].map((strength) =>
      torqueOf(pointStress(root, criticalDistance(toughness[end], strength), "fading"), strength),
    );
  const linearPoint: Band = { low: Math.min(...points("low")), high: Math.max(...points("high")) };
  const under = (by: Band): Band => ({
    low: bounded(by.low, plastic.low),
    high: bounded(by.high, plastic.high),
  });
  const torque = under(linear);
  const regime = fractureRegime(linear.low, plastic.low);
  // of any toughness with any strength of their bands: wider than between the ends that the torques are of
  const distance: Band = {
    low: criticalDistance(toughness.low, inherent.high),
    high: criticalDistance(toughness.high, inherent.low),
  };
  const degrees = Math.abs((low.angle * 180) / Math.PI);
  const path = low.elsewhere
    ? "worst path from another place of the roots than where the averaged stress is read"
    : `worst path ${degrees < 0.5 ? "along" : `${degrees.toFixed(0)}° off`} the ${root.sharp ? "corner's bisector" : "normal to the root"}`;
  return {
    distance,
    linear,
    torque,
    regime,
    modes: (cased: boolean): Mode[] => [
      {
        ...fractureWords(steel, cased),
        torque,
        governs: regime !== "plastic limit",
        note:
          regime === "plastic limit"
            ? "linear fracture no longer holds at this toughness: the section's plastic limit governs"
            : `${path}; ${regime === "linear fracture" ? "linear fracture holds" : "near the plastic limit: lowered for yielding by the two-criteria rule"}`,
      },
      {
        ...fractureWords(steel, cased),
        id: "root fracture by points",
        title: `${fractureWords(steel, cased).title}, point criterion`,
        torque: under(linearPoint),
        governs: false,
        note: "second estimate; near a radius of L/2 it is lower than for the sharp corner",
      },
    ],
  };
}

/** Over a path whose mean has come down to nothing no crack runs. */
const torqueOf = ({ stress }: WorstPath, strength: number): number =>
  stress > 0 ? strength / stress : Number.POSITIVE_INFINITY;

/** So many strengths of the inherent strength's band are looked at, in even ratio. */
const STRENGTHS = 9;

/** Above this many times the plastic limit the two-criteria rule takes 3 parts in 10,000 off it, and the limit itself is what is told. */
const FAR_ABOVE = 2.5;

const bounded = (linear: number, plastic: number): number =>
  linear < FAR_ABOVE * plastic ? twoCriteria(linear, plastic) : plastic;

function fractureWords(steel: SteelState, cased: boolean) {
  return {
    id: "root fracture" as const,
    title: cased ? "case cracks at the root" : "brittle fracture from the root",
    formula:
      "T_K = σ0 / s̄, s̄ the worst path's opening stress per torque, mean over 0 … 2L (line) or at L/2 (point), L = (1/π)(K_Ic/σ0)²; T = T_p (2/π) acos exp(−π²/8 (T_K/T_p)²)",
    source: `critical distances (Taylor 2007); strip yield (Dowling & Townley 1975, from memory); K_Ic: ${sources(steel.toughness)}; σ0: ${sources(steel.inherent)}`,
    memory: true,
  };
}

function flawMode(
  root: RootField,
  how: Settled,
  steel: SteelState,
  depth: number,
  linear: Band | null,
  fromCase: boolean,
): Mode {
  const intensity = flawUpTo(root, depth, cracksThrough(root.tooth));
  // what the crack leaves of the section is all that can yield
  const { tooth } = root;
  const { torque: left } = plasticTooth(tooth, how.body.yield, depth);
  // and of the wall
  const wallLeft = wallsBand(root.walls, tooth.faceWidth, how.body.yield, tooth.kind !== "face tooth", depth);
  const plastic = leastBand(left, wallLeft);
  const words = {
    id: fromCase ? ("cracked case" as const) : ("flaw fracture" as const),
    title: fromCase
      ? `core breaks behind a case cracked ${how.say.length(depth)} deep`
      : `brittle fracture from a flaw ${how.say.length(depth)} deep in the root`,
    formula: FLAW_FORMULA,
    source: `${FLAW_SOURCE}; K_Ic: ${sources(steel.toughness)}`,
    memory: true,
  };
  const { toughness } = steel;
  if (!(intensity > 0) || !toughness || !linear) {
    const why = toughness ? "nothing pulls a flaw open up to that depth" : "no toughness is known";
    return {
      ...words,
      torque: plastic,
      governs: true,
      note: `${why}: the plastic limit of the section left`,
    };
  }
  const at = (end: "low" | "high") => withFlaw(toughness[end] / intensity, linear[end]);
  const torque = { low: bounded(at("low"), plastic.low), high: bounded(at("high"), plastic.high) };
  const regime = fractureRegime(at("low"), plastic.low);
  return {
    ...words,
    torque,
    // in either regime: the plastic limit of the whole section is not that of what is left
    governs: true,
    note:
      regime === "plastic limit"
        ? "linear fracture no longer holds at this toughness: the plastic limit of the section left governs"
        : root.sharp
          ? "on the safe side for a crack out of a sharp corner"
          : how.cased && !fromCase
            ? "the case's own compression is not counted"
            : "",
  };
}

function fatigueModes(root: RootField, how: Settled, once: Band): Mode[] {
  const steel = how.surface;
  const words = how.shocks === 1 ? "1 shock" : `${how.shocks} shocks`;
  const beyond = surfaceFactors(how.finish, steel.tensile).beyond
    ? "; surface factor read beyond its 400 to 1600 MPa"
    : "";
  const { pushOverPull: push } = root;
  const pushed =
    how.ratio < 0 && push !== null && push > 1.005
      ? `; a root is pushed ${push.toFixed(2)} times as hard as this one is pulled, and the range counts that`
      : "";
  const few = how.shocks < 1000 ? "; under 1000 shocks the line runs straight to the static strength" : "";
  const shared = {
    source: [
      FATIGUE_SOURCE,
      SURFACE_SOURCE,
      ...(how.peened ? [PEENING_SOURCE] : []),
      `fatigue limit: ${sources(steel.fatigueLimit)}; threshold: ${sources(steel.threshold)}`,
    ].join("; "),
    memory: true,
  };
  const filled = (life: LifeCurves) => ({
    torque: lifeTorque(life, how.shocks),
    shocks: { low: shocksAt(life.low, how.required), high: shocksAt(life.high, how.required) },
  });
  const { flaw: depth, ...bare } = how;
  const pulls = (of: RootPaths | null | undefined) =>
    of ? flawUpTo(of, depth, cracksThrough(root.tooth)) : 0;
  const { reverse = root } = root;
  const given =
    depth > 0
      ? {
          ...bare,
          flaw: {
            pull: pulls(root),
            push: pulls(root.pushed),
            pullBack: pulls(reverse),
            pushBack: pulls(reverse.pushed),
          },
        }
      : bare;
  const byDistance = criticalDistanceLife(root, [steel, ...how.within], given, once);
  // one Kt knows neither another root under the torque turned round nor a push that is not told against the pull
  const unlike =
    how.ratio < 0 && (root.reverse !== undefined || push === null)
      ? `not stated where the torque reverses: ${root.reverse ? "turned round it loads another root" : "what pushes the root is not told against what pulls it"}`
      : "";
  const byKf = unlike ? null : notchFactorLife(root, steel, bare, once);
  return [
    {
      id: "fatigue",
      title: how.flaw > 0 ? `fatigue from the flaw in the root, ${words}` : `fatigue from the root, ${words}`,
      torque: null,
      governs: byDistance !== null,
      formula: FATIGUE_FORMULA,
      ...shared,
      note: byDistance
        ? `critical distance; scatter of life is far wider than that of torque${pushed}${beyond}${few}`
        : `no fatigue data for ${steel.name} at this hardness`,
      ...(byDistance ? filled(byDistance) : {}),
    },
    {
      id: "fatigue by Kf",
      title: `fatigue by Kf, ${words}`,
      torque: null,
      governs: false,
      formula: "Δσ(N) = (1 − R) T Kf s_nom, Kf = 1 + q (Kt − 1), R of the stress",
      source: `${NOTCH_SENSITIVITY_SOURCE}; ${shared.source}`,
      memory: true,
      note: byKf
        ? `second estimate, Kf ${byKf.kf.low.toFixed(2)} to ${byKf.kf.high.toFixed(2)} at every life (on the safe side below 10⁶ shocks)${pushed}${beyond}${few}`
        : root.sharp
          ? "a sharp root has no Kt"
          : unlike ||
            "notch sensitivity is not stated for this tensile strength (340 to 1700 MPa) or radius (0.1 mm and more)",
      ...(byKf ? filled(byKf) : {}),
    },
  ];
}

/** Bearing strength of a flank over its yield strength. */
const BEARING: Band = { low: 0.9, high: 1.5 };

function crushing(root: RootField, steel: SteelState): Mode {
  return {
    id: "flank crushing",
    title: "flanks crush",
    torque: {
      low: (BEARING.low * steel.yield.low) / root.pressure,
      high: (BEARING.high * steel.yield.high) / root.pressure,
    },
    governs: true,
    formula: "T = 0.9 to 1.5 Sy / (contact pressure per torque)",
    source: `uniform contact pressure; bearing strength 0.9 to 1.5 of yield (common practice, from memory); yield: ${sources(steel.yield)}`,
    memory: true,
    note: "even contact over the band; edge contact crushes sooner",
  };
}

function published(root: RootField, { surface, shocks, ratio, distribution, cased }: Settled): Mode[] {
  const { tooth } = root;
  const hard = surface.hardnessLow;
  const shear = allowableShear(hard, cased);
  const bearing = allowableBearing(hard);
  const life = fatigueLifeFactor(shocks, ratio < 0);
  const spline = tooth.kind !== "face tooth";
  const { pitchDiameter: D, teeth: N, faceWidth: F, overload } = tooth;
  const torque = (allowable: number, size: number, counted: number): Band => {
    // the formula counts half the teeth in shear, all in bearing; the stated sharing counts its own
    const by = (share: number) => (allowable * life * D * N * F * size) / (2 * share * distribution);
    return envelope([counted, overload].map((share) => ({ low: by(share), high: by(share) })))!;
  };
  const unit = { torque: 1, ka: 1, km: 1, kf: life };
  const twist = tooth.shaft && shear.shear / shaftShear(unit, tooth.shaft.diameter, tooth.shaft.bore);
  const words = (row: { steel: string; hrc: readonly [number, number] }) =>
    spline
      ? `allowable of ${row.steel}${inRow(hard, { ...shear, hrc: row.hrc }) ? "" : ", the nearest softer row"}; a design limit, not a breaking torque`
      : "published for splines only";
  const shared = { governs: false, source: DUDLEY_SOURCE, memory: false };
  return [
    {
      id: "published shear",
      title: "published allowable shear of the teeth",
      torque: spline ? torque(shear.shear, tooth.pitchThickness, 2) : null,
      formula: "T = Ss D N F t Kf / (4 Km); half the teeth carry, or as many as stated",
      ...shared,
      note: words(shear),
    },
    {
      id: "published bearing",
      title: "published allowable pressure on the flanks",
      torque: spline ? torque(bearing.bearing, tooth.contactHeight, 1) : null,
      formula: "T = Sc D N F h Kf / (2 Km); all teeth carry, or as many as stated",
      ...shared,
      note: words(bearing),
    },
    {
      id: "published twist",
      title: "published allowable twist of the shaft",
      torque: twist === null ? null : { low: twist, high: twist },
      formula: "T = π (D⁴ − d⁴) Ss Kf / (16 D), D at the roots",
      ...shared,
      note: tooth.shaft ? words(shear) : "no shaft inside the teeth",
    },
  ];
}

function rimBurst({ tooth }: RootField, steel: SteelState): Mode {
  const { hoopPerTorque } = tooth;
  const applies = hoopPerTorque > 1e-9;
  const per = (strength: number) => (strength * tooth.wall * tooth.faceWidth) / hoopPerTorque;
  return {
    id: "rim burst",
    title: "rim bursts through the root",
    torque: applies ? { low: per(steel.yield.low), high: per(steel.tensile.high) } : null,
    governs: applies,
    formula:
      "T = S w b / N₁: mean hoop stress in the wall w behind the root, from yield to tensile strength; " +
      "N₁ = W sin γ / (2 sin(π/z)) the hoop tension between two teeth under unit torque",
    source: `statics of a tooth's sector; ${sources(steel.tensile, steel.yield)}`,
    memory: remembered(steel.tensile, steel.yield),
    note: applies
      ? ""
      : tooth.kind === "internal spline"
        ? "flanks that do not spread the rim"
        : "no rim behind the root",
  };
}

/** The teeth may hold and the shaft behind them not: a plane model knows no twist along the axis. */
function shaftTwist({ tooth: { shaft } }: RootField, steel: SteelState, shocks: number): Mode {
  const shear = (strength: number) => strength / Math.sqrt(3);
  // a shaft that is to stand many shocks is not to be twisted further by each
  const least = (strength: number) =>
    shocks > 1 ? elasticTwist(shear(strength), shaft!) : plasticTwist(shear(strength), shaft!);
  return {
    id: "shaft twist",
    title: "shaft twists off at the roots",
    torque: shaft && { low: least(steel.yield.low), high: plasticTwist(shear(steel.tensile.high), shaft) },
    governs: shaft !== null,
    formula:
      "T = π τ (D³ − d³) / 12, D at the roots: twisted fully plastic, τ from yield to tensile strength over √3; " +
      "low end of more than one shock: first yield, π τ (D⁴ − d⁴) / (16 D)",
    source: `${TWIST_SOURCE}; ${sources(steel.tensile, steel.yield)}`,
    memory: true,
    note: shaft
      ? "as a smooth round shaft: the roots are notches in twist too, and cracks from twist are not counted"
      : "no shaft inside the teeth",
  };
}

/** What linear fracture takes for granted, checked and in words. */
function validity(root: RootField, steel: SteelState, distance: Band | null, say: LengthWords): Validity[] {
  const { toughness, yield: sy } = steel;
  if (!toughness || !distance) return [];
  const { rootThickness: t, faceWidth: b } = root.tooth;
  const mm = (x: number) => say.length(x, 2);
  const need = { low: 2.5 * (toughness.low / sy.high) ** 2, high: 2.5 * (toughness.high / sy.low) ** 2 };
  const holds = (size: number, of: Band): Validity["holds"] =>
    size >= of.high ? "yes" : size >= of.low ? "at the low end" : "no";
  const said = {
    yes: "holds",
    "at the low end": "holds only at the low end of toughness",
    no: "does not hold",
  };
  const line = { low: 4 * distance.low, high: 4 * distance.high };
  const check = (what: string, size: number, of: Band, words: string): Validity => {
    const verdict = holds(size, of);
    return { what, holds: verdict, words: `${words}: ${said[verdict]}` };
  };
  return [
    check(
      "critical distance against the tooth",
      t,
      line,
      `the line 2L of ${mm(2 * distance.low)} to ${mm(2 * distance.high)} should stay within half the root thickness of ${mm(t)}`,
    ),
    check(
      "small-scale yielding",
      t,
      need,
      `a root thickness of ${mm(t)} against 2.5 (K_Ic/Sy)² of ${mm(need.low)} to ${mm(need.high)} (ASTM E399 size rule, from memory)`,
    ),
    check(
      "plane strain",
      b,
      need,
      `a face width of ${mm(b)} against the same; where it is less the steel is tougher than K_Ic says, and K_Ic is on the safe side`,
    ),
  ];
}
