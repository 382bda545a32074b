import type { Fault } from "../../design/index.ts";
import { intervals } from "../arithmetic/intervals.ts";
import type { RootField } from "../field/rootField.ts";
import { type Conditions, SOFTEST_PEENED, type SteelQuery } from "../modes/conditions.ts";
import type { ModeId } from "../modes/mode.ts";
import { BUILT_IN, findSteel, type SteelCatalogue } from "../steel/steelCatalogue.ts";
import { rowEnds } from "../steel/steelState.ts";
import { TABLE_ENDS } from "../steel/tensileFromHardness.ts";
import { assess, type Capacity } from "./capacity.ts";
import { type Changeable, noOrder } from "./noOrder.ts";
import { type UncountedRange, uncountedRanges } from "./uncountedRanges.ts";

export interface WindowOptions extends Pick<Changeable, "atLargest" | "levers" | "shaft"> {
  /** What the heat treater holds, ± HRC; default 2. */
  readonly tolerance?: number;
  /** Margin wanted over the required torque; default 1. */
  readonly margin?: number;
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
  // peening is refused on soft steel, and a steel's own rows of tensile strength may have holes
  let faults: readonly Fault[] = [];
  const judgedAt = new Map<number, Capacity | null>();
  const at = (hrc: number): Capacity | null => {
    const before = judgedAt.get(hrc);
    if (before !== undefined) return before;
    const one = between(hrc, hrc);
    if ("faults" in one) faults = one.faults;
    const capacity = "faults" in one ? null : one.capacity;
    judgedAt.set(hrc, capacity);
    return capacity;
  };

  const steps = Math.floor((hardest - softest) / step + 1e-9);
  const places = [
    ...Array.from({ length: steps + 1 }, (_, k) => softest + k * step),
    hardest,
    ...[...rowEnds((core ?? found).steel), ...TABLE_ENDS, SOFTEST_PEENED].filter(
      (hrc) => hrc > softest && hrc < hardest,
    ),
  ];
  const swept = [...new Set(places)].sort((a, b) => a - b);
  const hardness = swept.filter((hrc) => at(hrc) !== null);
  const capacities = hardness.map((hrc) => at(hrc)!);
  if (capacities.length === 0) return { faults };

  const required = margin * capacities[0]!.required;
  /** Nothing satisfies where no figure is known, nor across it. */
  const sureAt = (hrc: number): number => {
    const one = at(hrc);
    return one ? vouched(one) : Number.NEGATIVE_INFINITY;
  };
  const sure = swept.map(sureAt);
  const low = capacities.map((one) => one.stands.low);
  const satisfying = intervals(swept, sure, required, sureAt);
  const widest = [...satisfying].sort((a, b) => b[1] - b[0] - (a[1] - a[0]))[0];
  const aim = widest ? aimWithin(widest, tolerance) : null;
  const known = sure.some(Number.isFinite);
  const uncounted = uncountedRanges(hardness, capacities, at);
  const lows = known ? capacities.map(vouched) : low;
  const top = lows.indexOf(Math.max(...lows));
  const best = { hardness: hardness[top], torque: low[top], mode: capacities[top].governing.id };
  const flat = hardness.length > 1 && low.every((torque) => torque > (1 - FLAT) * best.torque);
  const whole = widest !== undefined && widest[0] === hardness[0] && widest[1] === hardness.at(-1);
  const aimed = aim && between(aim[0] - tolerance, aim[1] + tolerance);
  const judged = aimed ? ("faults" in aimed ? null : aimed.capacity) : at(best.hardness);
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
        : noOrder(
            root,
            {
              swept,
              at,
              hardness,
              capacities,
              required,
              margin,
              tolerance,
              widest,
              best,
              known,
              flat,
              whole,
              uncounted,
            },
            { ...options, ...conditions, of: core ? " in the core" : "" },
          ),
      warnings: judged?.warnings ?? [],
    },
  };
}

/** What stays of a range at both ends of which the tolerance is taken off: null where that is nothing, one hardness where it just fits. */
function aimWithin([low, high]: readonly [number, number], tolerance: number): [number, number] | null {
  const aim: [number, number] = [low + tolerance, high - tolerance];
  if (aim[0] <= aim[1]) return aim;
  const middle = (low + high) / 2;
  return aim[0] - aim[1] <= ROUNDING ? [middle, middle] : null;
}

/** Hardnesses nearer than this are one, HRC. */
const ROUNDING = 1e-9;

/** Low ends that differ by less than this share are the same. */
const FLAT = 1e-6;

/** Low end of what governs; nothing where something that may come first is not counted. */
function vouched(one: Capacity): number {
  return one.vouched ? one.stands.low : Number.NEGATIVE_INFINITY;
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
