import { lengthWords, type UnitChoice } from "../../design/index.ts";
import { tenths } from "../arithmetic/tenths.ts";
import type { RootField } from "../field/rootField.ts";
import type { ModeId } from "../modes/mode.ts";
import type { Uncounted } from "../modes/uncounted.ts";
import type { Capacity } from "./capacity.ts";
import { firstChange, mayGain, ofRoot, wider } from "./firstChange.ts";
import { type ShaftTrials, shaftRemedies } from "./shaftRemedies.ts";
import type { Levers } from "./tryLevers.ts";
import { type UncountedRange, whyUnknown } from "./uncountedRanges.ts";
import { type CapacityAt, whatLacks } from "./whatLacks.ts";

/** A sweep of hardness that has nothing to order. HRC, N·mm. */
export interface Sweep {
  readonly swept: readonly number[];
  readonly at: CapacityAt;
  /** Those that have figures, and what is stood there. */
  readonly hardness: readonly number[];
  readonly capacities: readonly Capacity[];
  /** With its margin. */
  readonly required: number;
  readonly margin: number;
  readonly tolerance: number;
  /** The widest stretch that satisfies. */
  readonly widest: readonly [number, number] | undefined;
  readonly best: { readonly hardness: number; readonly torque: number; readonly mode: ModeId };
  /** See `HardnessWindow`, where `known` is `vouched`. */
  readonly known: boolean;
  readonly flat: boolean;
  readonly whole: boolean;
  readonly uncounted: readonly UncountedRange[];
}

/** What can be changed, and what is known of the part beside its root. */
export interface Changeable {
  /** True where no larger root radius fits than the root has, so that none is advised. */
  readonly atLargest?: boolean;
  /** What radius, wall and surface bring over that torque, N·mm; asked only where the root or the rim falls short. */
  readonly levers?: (now: number) => Levers;
  /** The part made with another shaft. `room`: see `whatLacks`; without any, a part is enough that stands at some hardness what is asked. */
  readonly shaft?: (room: boolean) => ShaftTrials;
  readonly flawDepth?: number;
  readonly caseDepth?: unknown;
  readonly units?: UnitChoice;
  /** What is ordered: "" or " in the core". */
  readonly of: string;
}

/** Why there is no hardness to order, and what to change first. */
export function noOrder(
  root: RootField,
  sweep: Sweep,
  { atLargest = false, levers, shaft, flawDepth = 0, caseDepth, units = "metric", of }: Changeable,
): { readonly why: string; readonly change: string } {
  const { capacities, required, widest, best, known, whole } = sweep;
  const { lacking, room } = whatLacks(sweep.swept, sweep.at, required, sweep.tolerance);
  // the best may lie where one mode hands over to another
  const beside = widest
    ? modesBeyond(sweep, widest)
    : [
        best.mode,
        ...modesBeyond(sweep, [best.hardness, best.hardness]).filter(
          (mode) => ofRoot(mode) || capacities.some((one) => withoutMode(one, mode) >= required),
        ),
      ];
  // of unlike roots any may be the sharp one
  const anySharp = { tooth: root.tooth, sharp: root.sharp || root.highestVonMises === null };
  // a stretch that ends with its figures leaves another, weaker and wider, to be made to stand
  const other = room && beside.length === 0 ? bestShort(sweep) : [];
  const short = beside.length > 0 ? beside : other;
  const tried = known && short.some(mayGain) ? levers?.(best.torque) : undefined;
  const remedies = shaft && once(() => shaftRemedies(root.tooth.shaft, lacking, shaft(room)));
  const say = lengthWords(units);
  const changeOf = (mode: ModeId) =>
    firstChange(mode, anySharp, {
      flawed: flawDepth > 0,
      atLargest,
      levers: tried,
      lacking,
      shaft: remedies,
      of,
      say,
    });
  const changeFor = (part: Uncounted): string =>
    part === "core"
      ? caseDepth
        ? "give the core its toughness rows"
        : "give steel.case depth, for which ask the heat treater"
      : ROWS[part] || changeOf("published twist");
  if (!known)
    return {
      why: `${whyUnknown(sweep.uncounted, sweep.hardness)}: no hardness can be vouched for`,
      change:
        ways(capacities)
          .map((parts) => parts.map(changeFor).join("; and "))
          .join("; or ") + (room ? "" : `; and ${CLOSER}`),
    };
  // no other geometry widens what ends with the data, or where they begin to have gaps
  const atData = widest !== undefined && beside.length === 0 && endsWithData(sweep, widest);
  const changes = [
    ...(whole ? [] : short.map(changeOf)),
    ...(whole || atData ? [BEYOND_DATA] : []),
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
  return {
    why: widest
      ? `${tenths(widest)} HRC would do${whole ? ", where the figures of this steel end" : ""}, which is narrower than ± ${sweep.tolerance} HRC`
      : `${sweep.flat ? "at every hardness" : `at best, ${best.hardness} HRC`}, the low end of the ${best.mode} band is ${shareUnder(best.torque / required)} of the required torque${sweep.margin === 1 ? "" : " with its margin"}`,
    change: (told.join("; or ") || BEYOND_DATA) + (room || whole || atData ? "" : `; and ${CLOSER}`),
  };
}

const CLOSER =
  "a closer tolerance, another steel or more figures of your own, whatever the part: those of this one span less than the tolerance takes";

const BEYOND_DATA =
  "the tolerance, for which ask the heat treater, or the steel: another one, or figures of your own beyond these";

/** What lets it be counted; empty where that has a size, or hangs on the part file. */
const ROWS: Readonly<Record<Uncounted, string>> = {
  root: "give the steel its toughness rows",
  "root fatigue": "give the steel its fatigueLimit and threshold rows",
  core: "",
  twist: "",
};

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
function endsWithData({ swept, at }: Sweep, [softest, hardest]: readonly [number, number]): boolean {
  const beyond = [swept.findLast((hrc) => hrc < softest), swept.find((hrc) => hrc > hardest)];
  return beyond.every((hrc) => {
    const one = hrc === undefined ? null : at(hrc);
    return one === null || one.uncounted.some((part) => part !== "twist");
  });
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
  { hardness, capacities, required }: Sweep,
  [softest, hardest]: readonly [number, number],
): ModeId[] {
  const below = hardness.findLastIndex((hrc) => hrc < softest);
  const above = hardness.findIndex((hrc) => hrc > hardest);
  return [below, above].flatMap((k) =>
    k >= 0 && geometryHelps(capacities[k]!, required) ? [capacities[k]!.governing.id] : [],
  );
}

/** What falls short first where least is lacking, of what another geometry helps. */
function bestShort({ capacities, required }: Sweep): ModeId[] {
  const [most] = capacities
    .filter((one) => geometryHelps(one, required))
    .sort((a, b) => b.stands.low - a.stands.low);
  return most ? [most.governing.id] : [];
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

/** "96 %" of a share under 1, never rounded up to all of it: "99.7 %". */
function shareUnder(share: number): string {
  const places = share < 0.99 ? 0 : share < 0.999 ? 1 : 2;
  return `${(Math.floor(100 * share * 10 ** places) / 10 ** places).toFixed(places)} %`;
}
