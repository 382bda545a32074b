import { lengthWords } from "../design/index.ts";
import { type PinGuard, pinGuard } from "../strength/index.ts";
import { addTo } from "./addTo.ts";
import { someNames } from "./firstNames.ts";
import type { ReleaseEntry } from "./releaseTable.ts";

const GUARDS: Readonly<Record<PinGuard["guards"], string>> = {
  yes: "the pins shear before the root can break, and so guard it",
  "not sure": "the pins may outlast the root, and are no sure guard of it",
  no: "the pins are stronger than the root, and do not guard it",
};

/** Whether pins guard the root in over-running, and pins of which diameter would and stand what comes on them; empty where neither is known. */
export function pinGuardNotes(entries: readonly ReleaseEntry[]): string[] {
  const guards = new Map<string, string[]>();
  const sizes = new Map<string, string[]>();
  for (const { name, design, overRun } of entries) {
    const found = pinGuard(overRun, design);
    if (!found) continue;
    addTo(guards, GUARDS[found.guards], `"${name}"`);
    addTo(sizes, sizeWords(design, found), `"${name}"`);
  }
  const all = [...guards.values()].flat().length;
  const told = (texts: Map<string, string[]>, most: number) =>
    [...texts]
      .slice(0, most)
      .map(([text, names]) => `${names.length === all && all > 1 ? "All" : someNames(names, 4)}: ${text}.`);
  const more = [...sizes.values()].slice(MOST_SIZES).flat().length;
  return [
    ...told(guards, 3),
    ...told(sizes, MOST_SIZES),
    ...(more > 0 ? [`Pins for ${more} more are others again: run those variants alone (--only).`] : []),
  ];
}

/** Unlike sizes beyond these are left to runs of their own. */
const MOST_SIZES = 4;

const LACKS: Readonly<Record<NonNullable<PinGuard["lacks"]>, string>> = {
  room: "no pins that fit there stand what comes on them with the margin wanted; more or stronger ones do, or a larger circle",
  "known strength":
    "the strength of the pins is known too poorly for any that guard the root and stand what comes on them with the margin wanted; a narrower band does",
  root: "no pins both guard the root and stand what comes on them with the margin wanted; a stronger root does, or less torque on them",
};

function sizeWords({ pins, units }: ReleaseEntry["design"], { both, lacks }: PinGuard): string {
  const say = lengthWords(units);
  // each is told to the side on which it does; between them nothing may be left
  const told = both && ([say.atLeast(both[0], 3), say.atMost(both[1], 3)] as const);
  if (!told || Number.parseFloat(told[0]) > Number.parseFloat(told[1])) return LACKS[lacks ?? "root"];
  const count = pins!.count === 1 ? "one pin" : `${pins!.count} pins`;
  return `${count} of ${told[0]} to ${told[1]} there would guard the root, and stand what comes on ${pins!.count === 1 ? "it" : "them"} with the margin wanted`;
}

const IN_ONE: Readonly<Record<PinGuard["guards"], string>> = {
  yes: "the pins shear before the root can break",
  "not sure": "the pins may outlast the root",
  no: "the pins are stronger than the root",
};

/** What a change did to pins that guard the root; empty where it did nothing. */
export function pinGuardTurn(before: ReleaseEntry, after: ReleaseEntry): string[] {
  const [own, then] = [before, after].map(({ design, overRun }) => pinGuard(overRun, design));
  if (!own || !then || own.guards === then.guards) return [];
  return [`In "${before.name}" ${IN_ONE[own.guards]}, in "${after.name}" ${IN_ONE[then.guards]}`];
}
