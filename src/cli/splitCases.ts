import { type Design, DesignError, type Fault, placeFaults } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";
import {
  addTo,
  capitalised,
  driveHolding,
  type HoldsWords,
  holdsWords,
  type LoadCase,
  pinGuardTurn,
  type VerdictTurn,
  verdictTurn,
} from "../report/index.ts";
import {
  type Band,
  type Capacity,
  type Change,
  designCapacity,
  designOverRun,
  type FairSplit,
  fairSplit,
  type OverRun,
  overRunCases,
  type RingOutcome,
  ringOutcome,
  subsets,
  UNCOUNTED_NAMES,
  type VariantChanges,
} from "../strength/index.ts";
import type { RootFields } from "./rootFields.ts";

/** One load case taken apart; `why` where it could not be. */
export interface CaseSplit {
  readonly of: LoadCase;
  readonly split: FairSplit | null;
  /** Why there is no split; empty when there is one. */
  readonly why: string;
  /** Changes that have no part in this load case. */
  readonly apart: readonly Change[];
  /** What may come first and is not in the torques split. */
  readonly notes: readonly string[];
  /** In drive: what turned the verdict on whether teeth that push apart stay together. */
  readonly staysTogether?: VerdictTurn<HoldsWords>;
  /** In over-running: what turned the verdict on whether the ring lets go. */
  readonly letsGo?: VerdictTurn<RingOutcome>;
}

/** Both load cases, drive first; over-running only where both say something of it. */
export function splitCases(
  before: Design,
  after: Design,
  changes: VariantChanges,
  roots: RootFields,
): CaseSplit[] {
  const drive = driveSplit(before, after, changes, roots);
  return before.overRun && after.overRun ? [drive, overRunSplit(before, after, changes, roots)] : [drive];
}

/** Empty where there is something to split. */
const nothingIn = (changes: readonly Change[]): string =>
  changes.length === 0 ? "they differ in nothing that bears on it" : "";

function driveSplit(
  before: Design,
  after: Design,
  { changes, mix, bearsOnDrive }: VariantChanges,
  roots: RootFields,
): CaseSplit {
  const steel = before.steel !== null && after.steel !== null;
  const own = changes.filter(({ id }) => bearsOnDrive(id));
  const counted = countedIn({ before, after, mix, steel }, own, (design) =>
    capacityIn(design, roots.of(design)),
  );
  const why = steel ? nothingIn(own) || counted.why : "no steel is named";
  const staysTogether = holdingTurn(before, after, changes, mix);
  return {
    of: "drive",
    apart: changes.filter((one) => !own.includes(one)),
    notes: counted.notes,
    ...(staysTogether && { staysTogether }),
    ...(why ? { split: null, why } : { split: fairSplit(own, (made) => counted.of(made).stands), why }),
  };
}

/** Why nothing is known of the root of one of the two in over-running; empty where it is. */
function rootGap(design: Design): string {
  if (!design.steel) return `"${design.variant}" names no steel`;
  const faults = overRunUncut(design);
  return faults.length === 0
    ? ""
    : `the over-run flank of "${design.variant}" cannot be loaded (${told(faults)})`;
}

/** What keeps over-running from loading its flank, which drive may not load at all. */
const overRunUncut = (design: Design): readonly Fault[] =>
  cuttingFaults(() => {
    buildProfile(overRunCases(design)[0].profile);
    return [];
  });

const told = (faults: readonly Fault[]): string =>
  faults.map(({ key, problem }) => `${key}: ${problem}`).join("; ");

function overRunSplit(
  before: Design,
  after: Design,
  { changes, mix, bearsOnRelease }: VariantChanges,
  roots: RootFields,
): CaseSplit {
  const gaps = [before, after].map(rootGap);
  const rootless = gaps.every(Boolean) ? gaps.join(", and ") : "";
  const entry = (design: Design, overRun: OverRun) => ({ name: design.variant, design, overRun });
  // as run tells them, each under its own torque
  const ends = [before, after].map((design, k) =>
    entry(design, designOverRun(design, gaps[k] ? null : roots.ofOverRun(design))!),
  );
  const turn = { before: ringOutcome(ends[0]!.overRun), after: ringOutcome(ends[1]!.overRun), changes: [] };
  // with nothing known of either root, what bears on that alone has no part
  const own = changes.filter(({ id }) => !rootless || bearsOnRelease(id));
  const apart = changes.filter((one) => !own.includes(one));
  const amiss =
    gaps.find(Boolean) && !rootless
      ? `${gaps.find(Boolean)}: nothing is known of its root, and that of the other may give first`
      : mixAmiss(own, mix, !rootless);
  if (amiss || own.length === 0) {
    const nothing = rootless
      ? `${rootless}, so nothing is known of the roots, and in nothing else that bears on it they differ`
      : nothingIn(own);
    const differ = own.length > 0 || turn.before !== turn.after;
    return {
      of: "over-run",
      split: null,
      why: amiss || nothing,
      apart,
      notes: pinGuardTurn(ends[0]!, ends[1]!),
      ...(differ && { letsGo: turn }),
    };
  }

  const steel = before.steel !== null || after.steel !== null;
  const judged = (design: Design): OverRun =>
    rootless
      ? designOverRun({ ...design, steel: null }, null, steel ? rootless : "")!
      : designOverRun(design, roots.ofOverRun(design))!;
  const underAfters = (design: Design): Design => ({
    ...design,
    overRun: { ...design.overRun!, torque: after.overRun!.torque },
  });
  const value = (made: ReadonlySet<string>): Band => judged(mix(made)).value;
  const counted = countedIn({ before, after, mix, steel: !rootless }, own, (design) =>
    capacityIn(design, roots.ofOverRun(design), design.overRun!.torque),
  );
  return {
    of: "over-run",
    apart,
    notes: [
      ...(rootless && steel
        ? [`${capitalised(rootless)}: nothing is known of the roots, which are left out`]
        : []),
      ...counted.notes,
      ...pinGuardTurn(ends[0]!, ends[1]!),
    ],
    ...(counted.why
      ? { split: null, why: counted.why }
      : rootless
        ? boundedSplit(own, value)
        : { split: fairSplit(own, value), why: "" }),
    letsGo: verdictTurn(own, (made) => ringOutcome(judged(underAfters(mix(made))))),
  };
}

/** Why what lies between the two cannot be made, or over-running cannot load it; empty where all of it can. */
function mixAmiss(own: readonly Change[], mix: VariantChanges["mix"], rooted: boolean): string {
  const between = [...subsets(own)].slice(1, -1);
  const amiss = firstAmiss(between, own, mix, (design) => [
    ...placeFaults(design),
    ...(rooted ? overRunUncut(design) : []),
  ]);
  return amiss ? `${amiss.where}, ${told(amiss.faults)}` : "";
}

/** The first of some mixes that has faults, and which it is: "with root radius changed and face width left". */
export function firstAmiss(
  mixes: Iterable<readonly Change[]>,
  all: readonly Change[],
  mix: VariantChanges["mix"],
  faultsOf: (design: Design) => readonly Fault[],
): { readonly faults: readonly Fault[]; readonly where: string } | null {
  for (const made of mixes) {
    const faults = faultsOf(mix(new Set(made.map(({ id }) => id))));
    if (faults.length === 0) continue;
    const left = all.filter((one) => !made.includes(one));
    return {
      faults,
      where: `with ${titles(made) || "nothing"} changed and ${titles(left) || "nothing"} left`,
    };
  }
  return null;
}

/**
 * The capacity of every mix of two variants, and why they cannot be split: what may come first and is not counted in the first, the second
 * or any between them. Twist that is not counted leaves the split of all else standing, with a note.
 */
function countedIn(
  {
    before,
    after,
    mix,
    steel,
  }: Pick<VariantChanges, "mix"> & { before: Design; after: Design; steel: boolean },
  changes: readonly Change[],
  judge: (design: Design) => Capacity,
) {
  const keyOf = (made: ReadonlySet<string>) => changes.map(({ id }) => Number(made.has(id))).join("");
  const known = new Map<string, Capacity>();
  const of = (made: ReadonlySet<string>): Capacity => {
    const key = keyOf(made);
    const capacity = known.get(key) ?? judge(mix(made));
    known.set(key, capacity);
    return capacity;
  };
  const missing = new Map<string, string[]>();
  // each end under what it must stand itself
  const twisted = !steel
    ? []
    : [before, after]
        .filter((design) => judge(design).uncounted.includes("twist"))
        .map(({ variant }) => `"${variant}"`);
  for (const made of steel ? subsets(changes) : []) {
    const name =
      made.length === 0
        ? `"${before.variant}"`
        : made.length === changes.length
          ? `"${after.variant}"`
          : `"${before.variant}" with ${titles(made)} changed`;
    for (const one of of(new Set(made.map(({ id }) => id))).uncounted)
      if (one !== "twist") addTo(missing, UNCOUNTED_NAMES[one], name);
  }
  return {
    of,
    why: [...missing].map(([what, names]) => `${what} is not counted in ${nameSome(names)}`).join("; "),
    notes:
      twisted.length === 0
        ? []
        : [
            `Cracks in the shaft from twist are not counted in ${twisted.join(" and ")}, and may come first: what is split is all else, and no answer to whether the shaft stands`,
          ],
  };
}

/** The ends of a split come first; of what lies between them one is enough. */
const nameSome = (names: readonly string[]): string => {
  const ends = names.filter((name) => name.endsWith('"'));
  const [first] = names;
  return ends.length > 0 ? ends.join(" and ") : names.length > 1 ? `${first} and others between` : first!;
};

/**
 * What turned the verdict on whether the teeth stay together, all judged under the second variant's torque; null where both do, or where
 * it does not turn. Without causes where the changes do not make the second of the first, one of them having no springs told.
 */
export function holdingTurn(
  before: Design,
  after: Design,
  changes: readonly Change[],
  mix: VariantChanges["mix"],
): VerdictTurn<HoldsWords> | null {
  const untold: VerdictTurn<HoldsWords> = {
    before: holdsWords(before),
    after: holdsWords(after),
    changes: [],
  };
  if (changes.length === 0) return untold.before === untold.after ? null : untold;
  const underAfters = (design: Design): Design => ({
    ...design,
    load: { ...design.load, torque: after.load.torque, shockFactor: after.load.shockFactor },
    ...(after.strength && {
      strength: {
        ...(design.strength ?? after.strength),
        requiredTorque: after.strength.requiredTorque,
        margin: after.strength.margin,
      },
    }),
  });
  const turn = verdictTurn(changes, (made) => holdsWords(underAfters(mix(made))));
  const both = [before, after].every((design) => driveHolding(design) === "together");
  if (both && turn.before === turn.after) return null;
  // one of them has no springs told, say: what was given is not what made the second of the first
  return turn.after === untold.after ? turn : untold.before === untold.after ? null : untold;
}

/** Faults that work tells, or those for which a profile cannot be cut in it. */
export function cuttingFaults(work: () => readonly Fault[]): readonly Fault[] {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof DesignError)) throw error;
    return error.faults;
  }
}

/** Without a root that is known, the split or why not: where nothing known breaks, there is no torque to split. */
function boundedSplit(
  changes: readonly Change[],
  value: (made: ReadonlySet<string>) => Band,
): Pick<CaseSplit, "split" | "why"> {
  for (const made of subsets(changes)) {
    const { low, high } = value(new Set(made.map(({ id }) => id)));
    if (Number.isFinite(high)) continue;
    const which = made.length === 0 ? "before any change" : `with ${titles(made)} changed`;
    // at the highest friction, and with weak pins, they may shear all the same
    const what = Number.isFinite(low)
      ? "at the lowest friction nothing known breaks: the ring lets go there before its pins shear"
      : "nothing known breaks: the ring lets go or has no pins";
    return { split: null, why: `${which} ${what}, and nothing is known of the root` };
  }
  return { split: fairSplit(changes, value), why: "" };
}

function capacityIn(design: Design, root: Parameters<typeof designCapacity>[0], required?: number): Capacity {
  const found = designCapacity(root, design, required);
  // every mix was checked before anything was solved
  if (!found || "faults" in found) throw new Error("no capacity for a variant between the two");
  return found.capacity;
}

const titles = (changes: readonly Change[]): string => changes.map(({ title }) => title).join(", ");
