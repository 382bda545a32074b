import { type Fault, lengthWords } from "../../design/index.ts";
import { halveTo } from "../../numerics/index.ts";
import { tenths } from "../arithmetic/tenths.ts";
import type { RootField } from "../field/rootField.ts";
import type { Conditions, SteelQuery } from "../modes/conditions.ts";
import type { ModeId } from "../modes/mode.ts";
import type { Uncounted } from "../modes/uncounted.ts";
import { BUILT_IN, findSteel, type SteelCatalogue } from "../steel/steelCatalogue.ts";
import { rowEnds } from "../steel/steelState.ts";
import { assess, type Capacity } from "./capacity.ts";
import { firstChange, mayGain, ofRoot, wider } from "./firstChange.ts";
import { shaftRemedies } from "./shaftRemedies.ts";
import type { Levers } from "./tryLevers.ts";
import { whatLacks } from "./whatLacks.ts";

export interface WindowOptions {
  /** What the heat treater holds, ± HRC; default 2. */
  readonly tolerance?: number;
  /** Margin wanted over the required torque; default 1. */
  readonly margin?: number;
  /** True where no larger root radius fits than the root has, so that none is advised. */
  readonly atLargest?: boolean;
  /** What radius, wall and surface bring over that torque, N·mm; asked only where no hardness does and the root falls short. */
  readonly levers?: (now: number) => Levers;
  /** The part with another bore, mm, and with all of it but its face width so many times as large; null where it cannot be judged. */
  readonly shaft?: {
    readonly bore: (mm: number) => HardnessWindow | null;
    readonly thicker: (times: number) => HardnessWindow | null;
    /** Down to the next bore that a drawing tells, mm. */
    readonly round: (mm: number) => number;
  };
  /** Step of the sweep, HRC; default 0.5. */
  readonly step?: number;
  readonly catalogue?: SteelCatalogue;
}

/** One mode against hardness; null where it cannot be said. N·mm. */
export interface HardnessLine {
  readonly id: ModeId;
  readonly title: string;
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  /** Whether it governs at that hardness if it comes first. */
  readonly governs: readonly boolean[];
}

export interface UncountedRange {
  readonly of: Uncounted;
  /** HRC. */
  readonly ranges: readonly (readonly [number, number])[];
  readonly why: string;
}

/** Capacity against hardness, from the softest to the hardest that the steel's data carry. */
export interface HardnessWindow {
  /** Of a case-hardened steel the core is swept and the case stays as asked. */
  readonly swept: "hardness" | "core hardness";
  readonly hardness: readonly number[];
  readonly lines: readonly HardnessLine[];
  /** Governing mode at each hardness, and its torque. */
  readonly governing: readonly ModeId[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** Required torque times the margin, N·mm. */
  readonly required: number;
  readonly tolerance: number;
  /** Hardness at which the low end of every governing band is at least the required torque. */
  readonly satisfying: readonly (readonly [number, number])[];
  /** Hardness to aim at, so that the whole tolerance satisfies; the widest such range, null when there is none. */
  readonly aim: readonly [number, number] | null;
  /** False where something that may come first is not counted at any hardness, so that none can be vouched for. */
  readonly vouched: boolean;
  /** What may come first and is not counted: at which hardness, and why. Nothing there satisfies. */
  readonly uncounted: readonly UncountedRange[];
  /** Largest low end of the sweep. */
  readonly best: { readonly hardness: number; readonly torque: number; readonly mode: ModeId };
  /** True where the low end is the same at every hardness: what governs knows nothing of what is swept. */
  readonly flat: boolean;
  /** True where every hardness for which the steel has figures satisfies, few as they may be. */
  readonly whole: boolean;
  /** Only when there is nothing to aim at: why, and what to change first. */
  readonly none: { readonly why: string; readonly change: string } | null;
  /** What is to be watched for between the ends of what to aim at, tolerance included, or at the best hardness where there is nothing. */
  readonly warnings: readonly string[];
}

/** Sweeps hardness over one root field; nothing is solved again. */
export function hardnessWindow(
  root: RootField,
  query: SteelQuery,
  conditions: Conditions,
  options: WindowOptions = {},
): { readonly window: HardnessWindow } | { readonly faults: readonly Fault[] } {
  const { tolerance = 2, margin = 1, step = 0.5, catalogue = BUILT_IN } = options;
  if (!(tolerance >= 0))
    return {
      faults: [
        { key: "strength.tolerance", problem: `${tolerance} HRC`, remedy: "use 2 HRC, or what is agreed" },
      ],
    };
  const found = findSteel(query.grade, catalogue);
  if ("fault" in found) return { faults: [found.fault] };
  const core = found.steel.core ? findSteel(found.steel.core, catalogue) : null;
  if (core && "fault" in core) return { faults: [core.fault] };
  const [softest, hardest] = (core ?? found).steel.hrc;
  const between = (low: number, high: number) =>
    assess(
      root,
      core
        ? { ...query, core: { hardnessLow: low, hardnessHigh: high } }
        : { ...query, hardnessLow: low, hardnessHigh: high },
      { ...conditions, margin },
      catalogue,
    );
  const at = (hrc: number) => between(hrc, hrc);

  const hardness: number[] = [];
  const capacities: Capacity[] = [];
  /** Of the whole sweep; null where there are no figures. */
  const everywhere: (Capacity | null)[] = [];
  let faults: readonly Fault[] = [];
  const steps = Math.floor((hardest - softest) / step + 1e-9);
  const places = [
    ...Array.from({ length: steps + 1 }, (_, k) => softest + k * step),
    hardest,
    ...rowEnds((core ?? found).steel).filter((hrc) => hrc > softest && hrc < hardest),
  ];
  const swept = [...new Set(places)].sort((a, b) => a - b);
  /** What no figure is known at, between others that are: nothing satisfies across it. */
  const sure: number[] = [];
  for (const hrc of swept) {
    const one = at(hrc);
    // peening is refused on soft steel, and a steel's own rows of tensile strength may have holes
    if ("faults" in one) faults = one.faults;
    else {
      hardness.push(hrc);
      capacities.push(one.capacity);
    }
    everywhere.push("faults" in one ? null : one.capacity);
    sure.push("faults" in one ? Number.NEGATIVE_INFINITY : vouched(one.capacity));
  }
  if (capacities.length === 0) return { faults };

  const required = margin * capacities[0].required;
  const lowAt = (hrc: number): number => {
    const one = at(hrc);
    return "faults" in one ? Number.NEGATIVE_INFINITY : vouched(one.capacity);
  };
  const low = capacities.map((one) => one.stands.low);
  const satisfying = intervals(swept, sure, required, lowAt);
  const widest = [...satisfying].sort((a, b) => b[1] - b[0] - (a[1] - a[0]))[0];
  const aim: [number, number] | null =
    widest && widest[1] - widest[0] >= 2 * tolerance ? [widest[0] + tolerance, widest[1] - tolerance] : null;
  const known = sure.some(Number.isFinite);
  const uncounted = uncountedRanges(hardness, capacities, at);
  const lows = known ? capacities.map(vouched) : low;
  const top = lows.indexOf(Math.max(...lows));
  const best = { hardness: hardness[top], torque: low[top], mode: capacities[top].governing.id };
  const flat = hardness.length > 1 && low.every((torque) => torque > (1 - FLAT) * best.torque);
  const flawed = (conditions.flawDepth ?? 0) > 0;
  // the best may lie where one mode hands over to another
  const short = widest
    ? modesBeyond(hardness, capacities, widest, required)
    : [
        best.mode,
        ...modesBeyond(hardness, capacities, [best.hardness, best.hardness], required).filter(
          (mode) => ofRoot(mode) || capacities.some((one) => withoutMode(one, mode) >= required),
        ),
      ];
  // of unlike roots any may be the sharp one
  const anySharp = { tooth: root.tooth, sharp: root.sharp || root.highestVonMises === null };
  const { atLargest = false, levers, shaft } = options;
  const judgedAt = new Map<number, Capacity | null>(swept.map((hrc, k) => [hrc, everywhere[k]!]));
  const capacityAt = (hrc: number): Capacity | null => {
    const known = judgedAt.get(hrc);
    if (known !== undefined) return known;
    const one = at(hrc);
    const found = "faults" in one ? null : one.capacity;
    judgedAt.set(hrc, found);
    return found;
  };
  const { lacking, room } = whatLacks(swept, capacityAt, required, tolerance);
  const of = core ? " in the core" : "";
  const tried = !aim && known && short.some(mayGain) ? levers?.(best.torque) : undefined;
  const enough = (made: HardnessWindow | null): boolean =>
    made !== null && (room ? made.aim !== null || made.whole : made.satisfying.length > 0);
  const remedies =
    shaft &&
    once(() =>
      shaftRemedies(root.tooth.shaft, lacking, {
        bore: (mm) => enough(shaft.bore(mm)),
        thicker: (times) => enough(shaft.thicker(times)),
        round: shaft.round,
      }),
    );
  const say = lengthWords(conditions.units ?? "metric");
  const changeOf = (mode: ModeId) =>
    firstChange(mode, anySharp, {
      flawed,
      atLargest,
      levers: tried,
      lacking,
      shaft: remedies,
      of,
      say,
    });
  const changeFor = (part: Uncounted): string =>
    part === "core"
      ? conditions.caseDepth
        ? "give the core its toughness rows"
        : "give steel.case depth, for which ask the heat treater"
      : UNKNOWN[part].change || changeOf("published twist");
  const whole = widest !== undefined && widest[0] === hardness[0] && widest[1] === hardness.at(-1);
  // no other geometry widens what ends with the data, or where they begin to have gaps
  const atData = widest !== undefined && short.length === 0 && endsWithData(swept, everywhere, widest);
  const changes = [
    ...(whole || atData ? [BEYOND_DATA] : short.map(changeOf)),
    // what is not counted is worth counting where all else stands the torque
    ...ways(capacities.filter(({ stands }) => stands.low >= required)).map((parts) =>
      parts.map(changeFor).join(" and "),
    ),
  ];
  // what asks for a wider face only where no radius helps leaves nothing for that alone to say
  const told = [...new Set(changes)].filter(
    (one, _k, all) =>
      one !== wider(root.tooth, "alone", lacking) ||
      !all.some((other) => other.endsWith(wider(root.tooth, "else", lacking))),
  );
  const judged = aim ? between(aim[0] - tolerance, aim[1] + tolerance) : at(best.hardness);
  return {
    window: {
      swept: core ? "core hardness" : "hardness",
      hardness,
      lines: lines(capacities),
      governing: capacities.map((one) => one.governing.id),
      low,
      high: capacities.map((one) => one.stands.high),
      required,
      tolerance,
      satisfying,
      aim,
      vouched: known,
      uncounted,
      best,
      flat,
      whole,
      none: aim
        ? null
        : !known
          ? {
              why: `${whyUnknown(uncounted, hardness)}: no hardness can be vouched for`,
              change:
                ways(capacities)
                  .map((parts) => parts.map(changeFor).join("; and "))
                  .join("; or ") + (room ? "" : `; and ${CLOSER}`),
            }
          : {
              why: widest
                ? `${tenths(widest)} HRC would do${whole ? ", where the figures of this steel end" : ""}, which is narrower than ± ${tolerance} HRC`
                : `${flat ? "at every hardness" : `at best, ${best.hardness} HRC`}, the low end of the ${best.mode} band is ${shareUnder(best.torque / required)} of the required torque${margin === 1 ? "" : " with its margin"}`,
              change:
                (told.join("; or ") || BEYOND_DATA) + (room || whole || atData ? "" : `; and ${CLOSER}`),
            },
      warnings: "faults" in judged ? [] : judged.capacity.warnings,
    },
  };
}

const CLOSER =
  "a closer tolerance, another steel or more figures of your own, whatever the part: those of this one span less than the tolerance takes";

const BEYOND_DATA =
  "the tolerance, for which ask the heat treater, or the steel: another one, or figures of your own beyond these";

/** Low ends that differ by less than this share are the same. */
const FLAT = 1e-6;

/**
 * What would let a hardness be vouched for: each way all that is not counted at some hardness, of which no other hardness lacks less.
 */
function ways(capacities: readonly Capacity[]): (readonly Uncounted[])[] {
  const lacking = new Map(capacities.map(({ uncounted }) => [[...uncounted].sort().join(), uncounted]));
  const all = [...lacking.values()].filter((parts) => parts.length > 0);
  return all.filter(
    (parts) =>
      !all.some((fewer) => fewer.length < parts.length && fewer.every((part) => parts.includes(part))),
  );
}

/** Whether a stretch of hardness has no figures on either side, or such as leave out more than twist: no shaft fills these. */
function endsWithData(
  swept: readonly number[],
  everywhere: readonly (Capacity | null)[],
  [softest, hardest]: readonly [number, number],
): boolean {
  const beyond = [swept.findLastIndex((hrc) => hrc < softest), swept.findIndex((hrc) => hrc > hardest)];
  return beyond.every(
    (k) => k < 0 || !everywhere[k] || everywhere[k].uncounted.some((part) => part !== "twist"),
  );
}

/** Why a hardness cannot be vouched for, and what would help; empty where that has a size, or hangs on the part file. */
const UNKNOWN: Record<Uncounted, { readonly why: string; readonly change: string }> = {
  root: {
    why: "no fracture toughness is known for this steel",
    change: "give the steel its toughness rows",
  },
  "root fatigue": {
    why: "no fatigue limit or no threshold is known for this steel",
    change: "give the steel its fatigueLimit and threshold rows",
  },
  core: {
    why: "fracture of the core behind a cracked case is not counted, the case’s depth or the core’s toughness not being told",
    change: "",
  },
  twist: {
    why: "cracks in the shaft from twist are not counted, and the published allowable twist for that many shocks is under the required torque with its margin",
    change: "",
  },
};

/** Where each thing that is not counted is not, over the sweep. */
function uncountedRanges(
  hardness: readonly number[],
  capacities: readonly Capacity[],
  at: (hrc: number) => ReturnType<typeof assess>,
): UncountedRange[] {
  return (Object.keys(UNKNOWN) as Uncounted[])
    .map((of) => {
      const missing = ({ uncounted }: Capacity) => (uncounted.includes(of) ? 1 : 0);
      const ranges = intervals(hardness, capacities.map(missing), 1, (hrc) => {
        const one = at(hrc);
        return "faults" in one ? 0 : missing(one.capacity);
      });
      return { of, ranges, why: UNKNOWN[of].why };
    })
    .filter(({ ranges }) => ranges.length > 0);
}

/** Why no hardness at all can be vouched for: what holds at every hardness, and what else at some. */
function whyUnknown(uncounted: readonly UncountedRange[], hardness: readonly number[]): string {
  return uncounted
    .map(({ ranges, why }) => {
      const [[from, to] = []] = ranges;
      const whole = from === hardness[0] && to === hardness.at(-1);
      return `at ${whole ? "any" : "some"} hardness ${why}`;
    })
    .join("; ");
}

/** Low end of what governs; nothing where something that may come first is not counted. */
function vouched(one: Capacity): number {
  return one.vouched ? one.stands.low : Number.NEGATIVE_INFINITY;
}

/** Low end of what would be left to govern if a mode did not; nothing where something that may come first is not counted. */
const withoutMode = ({ modes, vouched: sure }: Capacity, mode: ModeId): number =>
  sure
    ? Math.min(
        ...modes
          .filter(({ id, governs, torque }) => governs && torque !== null && id !== mode)
          .map(({ torque }) => torque!.low),
      )
    : Number.NEGATIVE_INFINITY;

/**
 * What falls short first below a stretch of hardness and above it: at the nearest step on either side that has figures. Nothing where another
 * geometry brings nothing there.
 */
function modesBeyond(
  hardness: readonly number[],
  capacities: readonly Capacity[],
  [softest, hardest]: readonly [number, number],
  required: number,
): ModeId[] {
  const below = hardness.findLastIndex((hrc) => hrc < softest);
  const above = hardness.findIndex((hrc) => hrc > hardest);
  return [below, above].flatMap((k) =>
    k >= 0 && geometryHelps(capacities[k]!, required) ? [capacities[k]!.governing.id] : [],
  );
}

/** Where all that is counted stands the torque, or more than twist is not counted, another geometry brings nothing. */
const geometryHelps = ({ stands, uncounted }: Capacity, required: number): boolean =>
  stands.low < required && uncounted.every((part) => part === "twist");

/** What is worked out when first asked for. */
function once<T>(work: () => T): () => T {
  let done: { readonly value: T } | null = null;
  return () => {
    done ??= { value: work() };
    return done.value;
  };
}

/** Stretches of the sweep where the low end is at least the required torque, their ends sought between the steps. */
function intervals(
  hardness: readonly number[],
  low: readonly number[],
  required: number,
  lowAt: (hrc: number) => number,
): [number, number][] {
  const found: [number, number][] = [];
  const edge = (inside: number, outside: number): number =>
    halveTo((hrc) => lowAt(hrc) >= required, inside, outside, 0.02)[0];
  for (let k = 0; k < hardness.length; k++) {
    if (!(low[k] >= required)) continue;
    const first = k;
    while (k + 1 < hardness.length && low[k + 1] >= required) k++;
    found.push([
      first === 0 ? hardness[0] : edge(hardness[first], hardness[first - 1]),
      k === hardness.length - 1 ? hardness[k] : edge(hardness[k], hardness[k + 1]),
    ]);
  }
  return found;
}

function lines(capacities: readonly Capacity[]): HardnessLine[] {
  const titles = new Map<ModeId, string>();
  for (const one of capacities) for (const mode of one.modes) titles.set(mode.id, mode.title);
  return [...titles].map(([id, title]) => {
    const modes = capacities.map((one) => one.modes.find((mode) => mode.id === id));
    const finite = (x: number | undefined) => (x !== undefined && Number.isFinite(x) ? x : null);
    return {
      id,
      title,
      low: modes.map((mode) => finite(mode?.torque?.low)),
      high: modes.map((mode) => finite(mode?.torque?.high)),
      governs: modes.map((mode) => mode?.governs === true),
    };
  });
}

/** "96 %" of a share under 1, never rounded up to all of it: "99.7 %". */
function shareUnder(share: number): string {
  const places = share < 0.99 ? 0 : share < 0.999 ? 1 : 2;
  return `${(Math.floor(100 * share * 10 ** places) / 10 ** places).toFixed(places)} %`;
}
