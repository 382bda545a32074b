import { type Design, formatTorque } from "../design/index.ts";
import {
  driveHoldNotes,
  effectText,
  LETS_GO,
  noPart,
  type Question,
  STAYS_TOGETHER,
  sharedUnits,
  spanText,
  splitSentences,
  splitWords,
  torqueBandText,
  torqueHeads,
  torqueUnits,
  verdictTurnText,
} from "../report/index.ts";
import { type Band, driveHold, type Ends, SPLIT_SOURCE } from "../strength/index.ts";
import { columns } from "./columns.ts";
import { printable } from "./printable.ts";
import { sharedNotices } from "./sharedNotices.ts";
import type { CaseSplit } from "./splitCases.ts";
import { wrapWords } from "./wrapWords.ts";

/** Which of the two has drive flanks that part its teeth: no torque that its root stands makes up for that. */
export const partingNotes = (before: Design, after: Design): string[] =>
  [before, after].flatMap((design) =>
    driveHoldNotes(design).map((note) => printable(`"${design.variant}": ${note}`, 400)),
  );

/** Both are judged under the second variant's torque, which is told where the first has another. */
function underAfters<Verdict extends string>(
  question: Question<Verdict>,
  [own, wanted]: readonly (number | undefined)[],
  { units }: Design,
): Question<Verdict> {
  if (own === undefined || wanted === undefined || own === wanted) return question;
  return { ...question, asked: question.asked.replace("?", ` under ${formatTorque(wanted, units)}?`) };
}

/** The table of one load case's split and what it comes to in words; one line where there is nothing to split. */
export function splitBlock(
  before: Design,
  after: Design,
  { of, split, why, apart, notes, staysTogether, letsGo }: CaseSplit,
  width: number,
): string[] {
  const { head, measured } = splitWords(of);
  const units = sharedUnits([before, after]);
  const [main] = torqueUnits(units);
  const [from, to] = [printable(before.variant), printable(after.variant)];
  const none = split ? split.changes.filter(noPart) : [];
  const left = [...none, ...apart].map(({ title }) => title);
  const parting = [
    ...(of === "drive" ? partingNotes(before, after) : []),
    ...sharedNotices([before, after]),
    ...notes.map((note) => printable(note, 400)),
  ];
  const names = [before.variant, after.variant] as const;
  const held = [before, after].map((design) => driveHold(design)?.wanted);
  // without causes each is told under its own
  const lifting = letsGo?.changes.length === 0 ? [] : [before, after].map(({ overRun }) => overRun?.torque);
  const turned = [
    ...(staysTogether
      ? [verdictTurnText(underAfters(STAYS_TOGETHER, held, after), ...names, staysTogether)]
      : []),
    ...(letsGo ? [verdictTurnText(underAfters(LETS_GO, lifting, after), ...names, letsGo)] : []),
  ];
  const turnLines = turned.flatMap((text) => wrapWords("  ", printable(text, 400), width));
  const partingLines = parting.flatMap((text) => wrapWords("  - ", text, width));
  const leftLine = left.length > 0 ? wrapWords("  ", `No part in it: ${left.join(", ")}.`, width) : [];
  if (!split)
    return [
      ...wrapWords("", `${head}, from "${from}" to "${to}": not split, ${why}.`, width),
      ...partingLines,
      ...turnLines,
      ...leftLine,
    ];
  if (none.length === split.changes.length)
    return [
      ...wrapWords(
        "",
        `${head}, from "${from}" to "${to}": nothing. It stays at ${torqueBandText(split.after, units)}.`,
        width,
      ),
      ...partingLines,
      ...turnLines,
      ...leftLine,
    ];
  // from the worst figures to the best: so each column of ends adds up
  const text = ([low, high]: Ends, nmm: number) => effectText({ low, high }, nmm);
  const row = (title: string, fair: Ends, alone: Ends | null, last: Ends | null, words: string) => [
    title,
    ...torqueUnits(units).map(({ nmm }) => text(fair, nmm)),
    alone ? text(alone, main.nmm) : "",
    last ? text(last, main.nmm) : "",
    words,
  ];
  const short = (uncertain: boolean, fair: Band) =>
    uncertain ? "unsure" : fair.low === 0 && fair.high === 0 ? "none" : fair.low >= 0 ? "gain" : "loss";
  return [
    ...wrapWords(
      "",
      `${head}, from "${from}" to "${to}": ${measured}, ${spanText(split.before, main.nmm)} to ${spanText(split.after, main.nmm)} ${main.name}`,
      width,
    ),
    ...columns(
      [
        ["change", ...torqueHeads(units, "fair "), `alone ${main.name}`, `last ${main.name}`, ""],
        ...split.changes
          .filter((one) => !noPart(one))
          .map(({ title, fair, ends, uncertain }) =>
            row(title, ends.fair, ends.alone, ends.last, short(uncertain, fair)),
          ),
        row("all together", split.totalEnds, null, null, ""),
      ],
      "left",
    ),
    ...splitSentences(before.variant, after.variant, split, units, of).flatMap((text) =>
      wrapWords("  - ", printable(text, 400), width),
    ),
    ...partingLines,
    ...turnLines,
    ...leftLine,
    ...wrapWords(
      "  ",
      `fair: ${SPLIT_SOURCE}; ${split.evaluations} variants judged. Each pair: with every figure at its worst, and at its best.`,
      width,
    ),
  ];
}
