import { lengthWords } from "../design/index.ts";
import { type PinGuard, pinGuard } from "../strength/index.ts";
import { addTo } from "./addTo.ts";
import { capitalised } from "./capitalised.ts";
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
  const apart = new Map<string, string[]>();
  const helps = new Set<string>();
  for (const { name, design, overRun } of entries) {
    const found = pinGuard(overRun, design);
    if (!found) continue;
    addTo(guards, GUARDS[found.guards], `"${name}"`);
    const { fit, ends, help } = sizeWords(design, found);
    addTo(fit ? sizes : apart, fit ?? ends, `"${name}"`);
    for (const one of help) helps.add(one);
  }
  const all = [...guards.values()].flat().length;
  const who = (names: readonly string[]) =>
    names.length === all && all > 1 ? "All" : someNames(names, MOST_NAMES);
  const told = (texts: Map<string, string[]>, most: number) =>
    [...texts].slice(0, most).map(([text, names]) => `${who(names)}: ${text}.`);
  const more = (texts: Map<string, string[]>) => [...texts.values()].slice(MOST_SIZES).flat().length;
  const others = more(sizes) + more(apart);
  const lacking = [...apart].slice(0, MOST_SIZES).map(([ends, names]) => `${who(names)}: ${ends}`);
  return [
    ...told(guards, 3),
    ...told(sizes, MOST_SIZES),
    ...(lacking.length > 0
      ? [
          `As many pins there cannot do all that they must: from some diameter on stand what comes on them with the margin wanted, ` +
            `up to another guard the root, and up to a third have room. ${lacking.join("; ")}. ${[...helps].map(capitalised).join(". ")}.`,
        ]
      : []),
    ...(others > 0 ? [`Pins for ${others} more are others again: run those variants alone (--only).`] : []),
  ];
}

/** Unlike sizes beyond these are left to runs of their own. */
const MOST_SIZES = 4;
/** Variants named with one size. */
const MOST_NAMES = 4;

const THINNER = "more or stronger pins, or a larger circle, let them be thinner";
const TOGETHER =
  "a stronger root, less torque on them, or their strength known more closely brings the first two together";

/** Which diameters do all that pins must (`fit`); else where each of the three ends, and what helps. */
function sizeWords({ pins, units }: ReleaseEntry["design"], { stands, parts, fits }: PinGuard) {
  const say = lengthWords(units);
  // each is told to the side on which it does; between them nothing may be left
  const [from, guard, room] = [say.atLeast(stands, 3), say.atMost(parts, 3), say.atMost(fits, 3)];
  const short = (most: string) => Number.parseFloat(from) > Number.parseFloat(most);
  const help = [...(short(room) ? [THINNER] : []), ...(short(guard) ? [TOGETHER] : [])];
  const one = pins!.count === 1;
  const to = say.atMost(Math.min(parts, fits), 3);
  return {
    fit:
      help.length === 0
        ? `${one ? "one pin" : `${pins!.count} pins`} of ${from} to ${to} there would guard the root, and stand what comes on ${one ? "it" : "them"} with the margin wanted`
        : null,
    ends: `${from}, ${guard} and ${room}`,
    help,
  };
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
