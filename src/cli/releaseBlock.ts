import { type Design, MOST_RAMP } from "../design/index.ts";
import {
  addTo,
  frictionText,
  givesNotes,
  givesTable,
  leastAngleText,
  marginWords,
  OVER_RUN_LIMITS,
  pinGuardNotes,
  type ReleaseEntry,
  releaseTable,
  sharedUnits,
  torqueHeads,
  wantedMargin,
} from "../report/index.ts";
import {
  frictionAngle,
  leastRamp,
  type OverRun,
  UNCOUNTED_NAMES,
  type Uncounted,
} from "../strength/index.ts";
import { columns } from "./columns.ts";
import { nameList } from "./defaultsEcho.ts";
import { printable } from "./printable.ts";
import { wrapWords } from "./wrapWords.ts";

/** One variant and what over-running does to it; null where its part file says nothing of it. */
export interface Released {
  readonly design: Design;
  readonly overRun: OverRun | null;
}

/**
 * Whether each variant lets go in over-running, from which ramp on it does, when the pins shear and what gives first. Empty where no
 * variant has an over-run section. `rooted` false leaves out what rests on the solved root.
 */
export function releaseBlock(released: readonly Released[], width: number, rooted = true): string[] {
  const parts = [...new Set(released.map(({ design }) => design.part))];
  const blocks = parts.flatMap((part) => {
    const own = released.filter(({ design }) => design.part === part);
    const block = partBlock(own, width, rooted);
    if (block.length === 0) return [];
    // variants of two parts may share their names
    return [parts.length > 1 ? [printable(part), "", ...block] : block];
  });
  if (blocks.length === 0) return [];
  return [...blocks.flatMap((block) => [...block, ""]), ...wrapWords("  ", OVER_RUN_LIMITS, width)];
}

function partBlock(released: readonly Released[], width: number, rooted: boolean): string[] {
  const entries = released.flatMap(({ design, overRun }): ReleaseEntry[] =>
    overRun ? [{ name: printable(design.variant, 32), design, overRun }] : [],
  );
  if (entries.length === 0) return [];
  const units = sharedUnits(entries.map(({ design }) => design));
  const { head, rows } = releaseTable(entries, units);
  const gives = givesTable(entries, units);
  const left = released.length - entries.length;
  const unknown = [...new Set(entries.map(({ overRun }) => overRun.rootUnknown).filter(Boolean))];
  const roots = !rooted
    ? ["The root is not counted here: notchwright run solves it and sets it beside the pins."]
    : [
        ...unknown.map((why) => `The root is not counted where ${why}.`),
        ...(entries.some(({ overRun: { root } }) => root && !root.vouched)
          ? [
              `Where it says not known, what gives first, the verdict and the ramp needed leave out what is not counted: ${[
                ...new Set(entries.flatMap(({ overRun: { root } }) => root?.uncounted ?? [])),
              ]
                .map((part) => UNCOUNTED_NAMES[part] + WHY_NOT[part])
                .join("; ")}.`,
            ]
          : []),
      ];
  return [
    ...wrapWords(
      "",
      `Does it let go? Torque in over-running at which the ramps lift the ring off, ${torqueHeads(units, "").join(" ")}, over the friction of ramps and spline`,
      width,
    ),
    ...columns([head, ...rows], "left"),
    ...[NEEDED + noRamp(entries) + (ofRoot(entries) ? NEEDED_ROOT : ""), ...leastRamps(entries)].flatMap(
      (text) => wrapWords("  ", text, width),
    ),
    "",
    ...wrapWords(
      "",
      `What gives first in over-running${marginWords(entries, units)}; drive is another load case`,
      width,
    ),
    ...columns([gives.head, ...gives.rows], "left"),
    ...[...givesNotes(entries), ...pinGuardNotes(entries), ...roots, ...singleFrictions(entries)].flatMap(
      (text) => wrapWords("  ", text, width),
    ),
    ...(left > 0 ? [`  ${left} of ${released.length} variants have no over-run section.`] : []),
  ];
}

/** Where a face tooth's own root has a say in the ramp it needs. */
const ofRoot = (entries: readonly ReleaseEntry[]): boolean =>
  entries.some(({ design, overRun }) => design.profile.kind === "face tooth" && overRun.root !== null);

/** Why each is not counted. */
const WHY_NOT: Readonly<Record<Uncounted, string>> = {
  root: ", its toughness not being known",
  "root fatigue": ", its data not being known",
  core: "",
  twist: ", the published allowable being under the over-run torque with its margin",
};

const NEEDED =
  "needs ramp: the least that lets go at the highest friction, with these springs, under the largest over-run torque and before anything known gives, pins with the margin wanted.";
const NEEDED_ROOT =
  " What the root gives at is told of the ramp it has: another ramp is another root, so run it again with that.";

/** What may help where no ramp does that a part file takes: springs and pins only where one would be lifted by more torque. */
function noRamp(entries: readonly ReleaseEntry[]): string {
  const none = entries.filter(({ overRun: { rampInTime } }) => rampInTime === null);
  if (none.length === 0) return "";
  const most = (MOST_RAMP * Math.PI) / 180;
  const late = none.filter(({ overRun: { leastRamp: least } }) => least !== null && least <= most);
  const pinned = late.some(({ design, overRun: { pins, torque, root } }) => {
    const held = pins ? pins.low / wantedMargin(design) : Number.POSITIVE_INFINITY;
    return held < torque && held < (root?.torque.low ?? Number.POSITIVE_INFINITY);
  });
  const help = [
    "less friction",
    ...(late.length > 0 ? ["weaker springs"] : []),
    ...(pinned ? ["more or thicker pins"] : []),
  ];
  return ` None: no ramp up to ${MOST_RAMP}° does; ${help.join(" or ")} may let one.`;
}

/** The least ramp for each coupling, and what the sliding spline has to do with it. */
function leastRamps(entries: readonly ReleaseEntry[]): string[] {
  const groups = new Map<string, ReleaseEntry[]>();
  for (const entry of entries) {
    const { meanRadius, spline, friction } = entry.design.overRun!;
    const key = JSON.stringify([meanRadius, spline, friction]);
    addTo(groups, key, entry);
  }
  return [...groups.values()].map((members) => {
    const { overRun, design } = members[0]!;
    const { friction, spline, meanRadius } = design.overRun!;
    const [low, high] = friction;
    const who = groups.size === 1 ? "" : `${nameList(members.map(({ name }) => name))}: `;
    const at = (mu: number) => leastAngleText(leastRamp({ meanRadius, spline }, mu));
    const sticky = frictionText(high);
    if (overRun.leastRamp === null) return `${who}no ramp under 90° lets go at μ ${sticky}.`;
    const drag = spline
      ? `; the ramp alone would need ${leastAngleText(frictionAngle(high))}, the rest is the drag of the sliding spline`
      : "";
    const easy = low > 0 && low < high ? `, ${at(low)} at μ ${frictionText(low)}` : "";
    return `${who}the least ramp that any torque lifts: ${at(high)} at μ ${sticky}${easy}, whatever the springs${drag}.`;
  });
}

/** One value of friction is no band. */
function singleFrictions(entries: readonly ReleaseEntry[]): string[] {
  const names = entries
    .filter(({ overRun: { friction } }) => friction.low === friction.high)
    .map(({ name }) => name);
  return names.length === 0
    ? []
    : [`${nameList(names)}: one value of friction is no band; a verdict needs one, such as 0.08..0.20.`];
}
