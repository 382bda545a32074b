import { type Design, formatTorque, type UnitChoice } from "../design/index.ts";
import { type OverRun, type OverRunEnd, type RingOutcome, ringOutcome } from "../strength/index.ts";
import { marginText, spanText, torqueBandText } from "./capacityText.ts";
import { someNames } from "./firstNames.ts";
import {
  marginVerdict,
  UNKNOWN,
  VERDICT_HEAD,
  wantedMargin,
  wantedWords,
  withWanted,
} from "./marginVerdict.ts";
import { clickText, frictionText, givingName } from "./overRunText.ts";
import { angleText, figures, leastAngleText, torqueHeads, torqueUnits } from "./units.ts";

/** One design in over-running, as tables take it. */
export interface ReleaseEntry {
  readonly name: string;
  readonly design: Design;
  readonly overRun: OverRun;
}

/** A table as words: a head and rows of as many cells. */
export interface WordTable {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Whether each lets go: click-over torque over the friction band, verdict, largest friction, pins. Columns of torques in `units`. */
export function releaseTable(entries: readonly ReleaseEntry[], units: UnitChoice): WordTable {
  const bands = new Set(entries.map(({ overRun: { friction } }) => JSON.stringify(friction)));
  const one = bands.size === 1 ? entries[0]!.overRun.friction : null;
  // one value of friction is no band: three columns would say the same
  const ends = one && one.low === one.high ? (["middle"] as const) : (["low", "middle", "high"] as const);
  const heads = ends.map((end) => (one ? `μ ${frictionText(one[end])}` : `${end} μ`));
  const bare = (torque: number | null) => clickText(torque, units).replace(/ (N·m|lbf·ft)/g, "");
  const pinned = entries.some(({ overRun }) => overRun.pins !== null);
  const rows = entries.map(({ name, overRun, design }) => {
    const { friction, clickOver, holdsAbove, pins, rampInTime } = overRun;
    return [
      name,
      angleText(design.overRun!.rampAngle),
      ...(one ? [] : [`${frictionText(friction.low)}..${frictionText(friction.high)}`]),
      ...ends.map((end) => bare(clickOver[end])),
      ringOutcome(overRun),
      // downward: it must not read as letting go where it does not
      holdsAbove >= 0.001 ? `up to ${frictionText(Math.floor(1000 * holdsAbove + 1e-6) / 1000)}` : "at no μ",
      rampInTime === null ? "none" : leastAngleText(rampInTime),
      ...(pinned ? [pins ? torqueBandText(pins, units).replace(/ (N·m|lbf·ft)/g, "") : "–"] : []),
    ];
  });
  return {
    head: [
      "variant",
      "ramp",
      ...(one ? [] : ["friction"]),
      ...heads,
      "verdict",
      "lets go (μ)",
      "needs ramp",
      ...(pinned ? ["pins shear"] : []),
    ],
    rows,
  };
}

/** ", margin against 1240 N·m (916 lbf·ft) (margin wanted: 2)": what the last columns of the next table are held against. */
export function marginWords(entries: readonly ReleaseEntry[], units: UnitChoice): string {
  const asked = new Set(entries.map(({ overRun }) => formatTorque(overRun.torque, units)));
  const wanted = wantedWords(entries.map(({ design }) => design)) ?? "";
  return (asked.size === 1 ? `, margin against ${[...asked][0]}` : "") + wanted;
}

/** What a ring that holds does not do; empty where it lets go. */
const BUT: Readonly<Record<RingOutcome, string>> = {
  "lets go": "",
  "lets go if root holds": "may not let go",
  "depends on μ": "may not let go",
  "pins first at high μ": "may not let go",
  "root first at high μ": "may not let go",
  "not at its torque": "does not let go",
  "pins first": "does not let go",
  "root first": "does not let go",
  "self-holding": "never lets go",
};

/** A margin that is enough keeps the part whole; whether the ring lets go is another matter. "not known" where nothing known breaks, too. */
export function enoughWords(overRun: OverRun, design: Design): string {
  const margin = marginVerdict(overRun.margin, design);
  if (margin === "no") return margin;
  // nothing known breaks, or something may that is not counted
  if (!Number.isFinite(overRun.value.low) || overRun.rootMissed || overRun.root?.vouched === false)
    return UNKNOWN;
  if (margin !== "yes") return margin;
  // where no root is known the pins alone are enough, if anything is
  const yes = overRun.root ? margin : `${margin} by its pins`;
  const but = BUT[ringOutcome(overRun)];
  return but ? `${yes}, but it ${but}` : yes;
}

/** What the margin of a ring that lets go is counted to: it is loaded no further, and yet has one. */
const countedTo = ({ first, counted }: OverRunEnd) => (first?.what === "ring lets go" ? counted : null);

/** What stands in brackets in `givesTable`, and which roots stand for both ends of the friction with their lowest. */
export function givesNotes(entries: readonly ReleaseEntry[]): string[] {
  const counted = new Set(
    entries.flatMap(({ overRun: { slippery, sticky } }) =>
      [slippery, sticky].map((end) => countedTo(end)?.what),
    ),
  );
  const pinned = entries.some(({ overRun: { pins } }) => pins !== null);
  const parts = [
    ...(counted.has("root breaks")
      ? [`the root under the largest torque, should it stick${pinned ? " and its pins hold" : ""}`]
      : []),
    ...(counted.has("pins shear")
      ? ["the pins under what lifts it, or the largest torque if that is less"]
      : []),
  ];
  const low = entries.filter(({ overRun: { root } }) => root?.lowFriction).map(({ name }) => `"${name}"`);
  return [
    ...(parts.length > 0
      ? [`In brackets: what the margin of a ring that lets go is counted to, ${parts.join("; ")}.`]
      : []),
    ...(low.length > 0
      ? [`${someNames(low, 4)}: the root gives first at the lowest friction, and is told as it is there.`]
      : []),
  ];
}

/** What gives first at both ends of the friction, and what next; one row where both ends say the same. Torques in `units`. */
export function givesTable(entries: readonly ReleaseEntry[], units: UnitChoice): WordTable {
  const per = torqueUnits(units).map(({ nmm }) => nmm);
  const [main] = torqueUnits(units);
  const shown = (end: OverRunEnd) => JSON.stringify([end.first, end.next, countedTo(end)]);
  const asked = new Set(entries.map(({ overRun }) => overRun.torque));
  const wanted = wantedWords(entries.map(({ design }) => design));
  const rows = entries.flatMap(({ name, design, overRun }) => {
    const { friction, slippery, sticky, margin } = overRun;
    const known = Number.isFinite(margin.low);
    const both = shown(slippery) === shown(sticky);
    const [low, high] = [frictionText(friction.low), frictionText(friction.high)];
    const ends: [string, OverRunEnd][] = both
      ? [[low === high ? low : `${low}..${high}`, sticky]]
      : [
          [low, slippery],
          [high, sticky],
        ];
    return ends.map(([mu, end], k) => {
      const { first, next } = end;
      const counted = countedTo(end);
      return [
        k === 0 ? name : "",
        mu,
        first ? givingName(first, overRun) : "nothing known",
        ...per.map((nmm) => (first ? spanText(first.torque, nmm) : "–")),
        ...(next
          ? [givingName(next, overRun), spanText(next.torque, main.nmm)]
          : counted
            ? [`(${givingName(counted, overRun)})`, `(${spanText(counted.torque, main.nmm)})`]
            : ["–", "–"]),
        ...(asked.size > 1 ? [k === 0 ? figures(overRun.torque / main.nmm) : ""] : []),
        k === 0 ? (known ? marginText(margin, wantedMargin(design)) : UNKNOWN) : "",
        k === 0 && known ? withWanted(enoughWords(overRun, design), design, wanted !== null) : "",
      ];
    });
  });
  return {
    head: [
      "variant",
      "friction",
      "gives first",
      ...torqueHeads(units),
      "then",
      `at ${main.name}`,
      ...(asked.size > 1 ? [`of ${main.name}`] : []),
      "margin",
      VERDICT_HEAD,
    ],
    rows,
  };
}
