import { type Design, DesignError, type Fault, fileStem } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";
import {
  addTo,
  capitalised,
  cautionsBlock,
  changesChart,
  driveHolding,
  driveHoldRecord,
  type HoldsWords,
  holdsWords,
  type LoadCase,
  noPart,
  partingText,
  pinGuardTurn,
  STAYS_TOGETHER,
  type VerdictTurn,
  verdictTurn,
  verdictTurnText,
} from "../report/index.ts";
import {
  type Band,
  type Capacity,
  type Change,
  checkStrength,
  designCapacity,
  designOverRun,
  type FairSplit,
  fairSplit,
  overRunCases,
  type RingOutcome,
  ringOutcome,
  subsets,
  UNCOUNTED_NAMES,
  type VariantChanges,
  variantChanges,
} from "../strength/index.ts";
import { askedVariants } from "./askedVariants.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import type { SplitOptions } from "./commands/split.ts";
import { eachSolved } from "./eachSolved.ts";
import { endWithJson } from "./endWithJson.ts";
import { exitCode } from "./exitCode.ts";
import { jsonDocument, jsonTargetFault } from "./jsonFile.ts";
import { closeOutput, inspectOutput, openOutput, solvedFolder } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { type RootFields, rootFields } from "./rootFields.ts";
import { out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { sharedNotices } from "./sharedNotices.ts";
import { partingNotes, splitBlock } from "./splitBlock.ts";
import { wrapWords } from "./wrapWords.ts";
import { writeCharts } from "./writeCharts.ts";

/** More would be 2^n variants between the two. */
const MOST_CHANGES = 10;
const FORMAT = "notchwright split";

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

/** The `split` command. @returns the exit code. */
export function splitVariants(
  file: string,
  from: string,
  to: string,
  options: SplitOptions,
  programUrl: string,
): number {
  const { variants, solve, faults } = askedVariants([file], [from, to], "variant", options, false);
  const [before, after] = [from, to].map((name) => variants.find(({ design }) => design.variant === name));
  const stem = `changes/${fileStem(from)}-to-${fileStem(to)}`;
  const charts: Record<LoadCase, string> = { drive: `${stem}.svg`, "over-run": `${stem}-over-run.svg` };
  if (from === to)
    faults.push({
      key: "variant",
      problem: `"${printable(from)}" is given twice`,
      remedy: "name two variants",
    });
  if (options.out !== undefined)
    faults.push(...inspectOutput(options.out, Object.values(charts), options.intoExisting === true));
  const target = options.json === undefined ? null : jsonTargetFault(options.json, FORMAT);
  if (target) faults.push(target);
  if (before && after) faults.push(...steelFaults([before, after]));
  let changes: VariantChanges | null = null;
  if (before && after && faults.length === 0) {
    changes = variantChanges(before.design, after.design);
    faults.push(...betweenFaults(changes));
  }
  if (faults.length > 0 || !before || !after || !changes) return sayFaults(faults);
  const torques = [before, after].map(({ design }) => design.overRun?.torque);
  // more torque in over-running may be what lets the ring go, though they differ in nothing
  if (changes.changes.length === 0 && options.json === undefined && torques[0] === torques[1]) {
    out(`"${before.label}" and "${after.label}" differ in nothing that bears on the torque they stand.`);
    const turn = holdingTurn(before.design, after.design, [], changes.mix);
    if (turn) out(verdictTurnText(STAYS_TOGETHER, printable(from), printable(to), turn));
    for (const text of partingNotes(before.design, after.design))
      for (const line of wrapWords("  - ", text, outWidth())) out(line);
    return exitCode.ok;
  }
  const folder = options.out === undefined ? null : openOutput(options.out);
  const shown = options.json !== "-";
  try {
    const roots = rootFields(solve, programUrl, folder && solvedFolder(folder));
    let drawn = new Map<string, { text: string }>();
    const { code, done } = eachSolved(
      [changes],
      () => [before, after],
      (found) => {
        const cases = splitCases(before.design, after.design, found, roots);
        if (shown) {
          for (const one of cases)
            out(`${splitBlock(before.design, after.design, one, outWidth()).join("\n")}\n`);
          out(cautionsBlock(outWidth()));
        }
        drawn = chartsOf(before.design, after.design, cases, charts);
        if (options.json === undefined) return;
        const text = jsonDocument(FORMAT, [file], {
          part: before.design.part,
          from,
          to,
          notices: sharedNotices([before.design, after.design]),
          driveHold: { before: driveHoldRecord(before.design), after: driveHoldRecord(after.design) },
          ...Object.fromEntries(
            cases.map(({ of, split, why, apart, notes, staysTogether, letsGo }) => [
              of === "drive" ? "drive" : "overRun",
              {
                ...(split ?? { changes: null }),
                why,
                apart: apart.map(({ title }) => title),
                notes,
                ...(staysTogether && { staysTogether }),
                ...(letsGo && { letsGo }),
              },
            ]),
          ),
        });
        endWithJson(options.json, text);
      },
    );
    if (!folder || done === 0) return code;
    return writeCharts(folder, drawn, (name) => Object.values(charts).includes(name), shown);
  } finally {
    if (folder) closeOutput(folder);
  }
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

function overRunSplit(
  before: Design,
  after: Design,
  { changes, mix, bearsOnRelease }: VariantChanges,
  roots: RootFields,
): CaseSplit {
  const bare = [before, after].filter((design) => !design.steel).map(({ variant }) => `"${variant}"`);
  const uncut = bare.length === 0 ? overRunUncut(changes, mix) : "";
  // without a steel, of one of them too, nothing is known of the root, and what bears on it alone has no part
  const rooted = bare.length === 0 && uncut === "";
  const rootless = bare.length === 1 ? `${bare[0]} names no steel` : uncut;
  const own = changes.filter(({ id }) => rooted || bearsOnRelease(id));
  const judged = (design: Design) =>
    rooted
      ? designOverRun(design, roots.ofOverRun(design))!
      : designOverRun({ ...design, steel: null }, null, rootless)!;
  const underAfters = (design: Design): Design => ({
    ...design,
    overRun: { ...design.overRun!, torque: after.overRun!.torque },
  });
  const value = (made: ReadonlySet<string>): Band => judged(mix(made)).value;
  const counted = countedIn({ before, after, mix, steel: rooted }, own, (design) =>
    capacityIn(design, roots.ofOverRun(design), design.overRun!.torque),
  );
  const why =
    (rootless && own.length === 0
      ? `${rootless}, so nothing is known of its root, and in nothing else that bears on it they differ`
      : nothingIn(own)) || counted.why;
  const entry = (design: Design) => ({ name: design.variant, design, overRun: judged(design) });
  const [from, to] = [entry(before), entry(after)];
  const letsGo: VerdictTurn<RingOutcome> =
    own.length > 0
      ? verdictTurn(own, (made) => ringOutcome(judged(underAfters(mix(made)))))
      : { before: ringOutcome(from.overRun), after: ringOutcome(to.overRun), changes: [] };
  return {
    of: "over-run",
    apart: changes.filter((one) => !own.includes(one)),
    notes: [
      ...(rootless && own.length > 0
        ? [`${capitalised(rootless)}: nothing is known of its root, which is left out of both`]
        : []),
      ...counted.notes,
      ...pinGuardTurn(from, to),
    ],
    ...(why
      ? { split: null, why }
      : rooted
        ? { split: fairSplit(own, value), why }
        : boundedSplit(own, value)),
    ...((own.length > 0 || letsGo.before !== letsGo.after) && { letsGo }),
  };
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
function holdingTurn(
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

/** What keeps over-running from loading the flank of a mix, which drive may load all the same; empty where it can in all. */
function overRunUncut(all: readonly Change[], mix: VariantChanges["mix"]): string {
  for (const made of subsets(all)) {
    const design = mix(new Set(made.map(({ id }) => id)));
    const faults = cuttingFaults(() => buildProfile(overRunCases(design)[0].profile));
    if (faults.length > 0)
      return `the over-run flank cannot be loaded (${faults.map(({ key, problem }) => `${key}: ${problem}`).join("; ")})`;
  }
  return "";
}

function cuttingFaults(cut: () => void): readonly Fault[] {
  try {
    cut();
    return [];
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

/** A steel may be left out only where pins alone can tell something. */
function steelFaults(variants: readonly CheckedVariant[]): Fault[] {
  const both = variants.every(({ design }) => design.overRun);
  return variants.flatMap(({ design, label, file }) =>
    design.steel || both
      ? []
      : [
          {
            key: "steel",
            problem: `variant "${label}" of ${file} names none`,
            remedy:
              "give a grade and a hardness: without a steel nothing can be said of strength, unless both variants have over-run and pins",
          },
        ],
  );
}

/** Every variant between the two must be one that can be made and judged; what is wrong with one is told with the changes it has. */
function betweenFaults({ changes: all, mix, bearsOnDrive }: VariantChanges): Fault[] {
  if (all.length > MOST_CHANGES)
    return [
      {
        key: "variant",
        problem: `the two differ in ${all.length} things: ${titles(all)}`,
        remedy: `compare two that differ in ${MOST_CHANGES} or fewer`,
      },
    ];
  // springs, friction and pins change no outline
  const changes = all.filter(({ id }) => bearsOnDrive(id));
  for (const made of subsets(changes)) {
    const design = mix(new Set(made.map(({ id }) => id)));
    let found: readonly Fault[] = [];
    const uncut = cuttingFaults(() => {
      found = checkStrength(design, buildProfile(design.profile, design.units));
    });
    if (uncut.length > 0) found = uncut;
    if (found.length === 0) continue;
    const left = changes.filter((one) => !made.includes(one));
    return found.map(({ key, problem }) => ({
      key,
      problem: `with ${titles(made) || "nothing"} changed and ${titles(left) || "nothing"} left: ${problem}`,
      remedy:
        "the changes cannot be made one by one, so they cannot be split; compare variants between the two",
    }));
  }
  return [];
}

const titles = (changes: readonly Change[]): string => changes.map(({ title }) => title).join(", ");

function capacityIn(design: Design, root: Parameters<typeof designCapacity>[0], required?: number): Capacity {
  const found = designCapacity(root, design, required);
  // every mix was checked before anything was solved
  if (!found || "faults" in found) throw new Error("no capacity for a variant between the two");
  return found.capacity;
}

const steelOf = ({ steel }: Design): string =>
  !steel
    ? "none named"
    : steel.core
      ? `${steel.grade}, case ${steel.hardnessText}, core ${steel.core.hardnessText}`
      : `${steel.grade}, ${steel.hardnessText}`;

/** One chart a load case that could be split; charts of other pairs stay. */
function chartsOf(
  before: Design,
  after: Design,
  cases: readonly CaseSplit[],
  names: Readonly<Record<LoadCase, string>>,
): Map<string, { text: string }> {
  const charts = new Map<string, { text: string }>();
  for (const { of, split, notes } of cases) {
    if (!split || split.changes.every(noPart)) continue;
    const asked = after.strength?.requiredTorque ?? after.load.torque * after.load.shockFactor;
    const text = changesChart({
      part: before.part,
      from: before.variant,
      to: after.variant,
      steels: [steelOf(before), steelOf(after)],
      required: of === "drive" ? asked : after.overRun!.torque,
      split,
      units: before.units,
      of,
      ...(of === "drive" && { parting: [before, after].map(partingText) }),
      notes,
    });
    charts.set(names[of], { text });
  }
  return charts;
}
