import type { Design } from "../design/index.ts";
import { effectText, NMM_PER_LBFFT, noPart, spanText, splitSentences, splitWords } from "../report/index.ts";
import { type Band, SPLIT_SOURCE } from "../strength/index.ts";
import { columns } from "./columns.ts";
import { printable } from "./printable.ts";
import type { CaseSplit } from "./splitVariants.ts";
import { wrapWords } from "./wrapWords.ts";

/** The table of one load case's split and what it comes to in words; one line where there is nothing to split. */
export function splitBlock(
  before: Design,
  after: Design,
  { of, split, why, apart }: CaseSplit,
  width: number,
): string[] {
  const { head, measured } = splitWords(of);
  const [from, to] = [printable(before.variant), printable(after.variant)];
  const none = split ? split.changes.filter(noPart) : [];
  const left = [...none, ...apart].map(({ title }) => title);
  const leftLine = left.length > 0 ? wrapWords("  ", `No part in it: ${left.join(", ")}.`, width) : [];
  if (!split)
    return [...wrapWords("", `${head}, from "${from}" to "${to}": not split, ${why}.`, width), ...leftLine];
  if (none.length === split.changes.length)
    return [
      ...wrapWords(
        "",
        `${head}, from "${from}" to "${to}": nothing. It stays at ${spanText(split.after, 1000)} N·m (${spanText(split.after, NMM_PER_LBFFT)} lbf·ft).`,
        width,
      ),
      ...leftLine,
    ];
  const row = (title: string, fair: Band, alone: Band | null, last: Band | null, words: string) => [
    title,
    effectText(fair),
    effectText(fair, NMM_PER_LBFFT),
    alone ? effectText(alone) : "",
    last ? effectText(last) : "",
    words,
  ];
  const short = (uncertain: boolean, fair: Band) =>
    uncertain ? "unsure" : fair.low === 0 && fair.high === 0 ? "none" : fair.low >= 0 ? "gain" : "loss";
  return [
    ...wrapWords(
      "",
      `${head}, from "${from}" to "${to}": ${measured}, ${spanText(split.before, 1000)} to ${spanText(split.after, 1000)} N·m`,
      width,
    ),
    ...columns(
      [
        ["change", "fair N·m", "(lbf·ft)", "alone N·m", "last N·m", ""],
        ...split.changes
          .filter((one) => !noPart(one))
          .map(({ title, fair, alone, last, uncertain }) =>
            row(title, fair, alone, last, short(uncertain, fair)),
          ),
        row("all together", split.total, null, null, ""),
      ],
      "left",
    ),
    ...splitSentences(before.variant, after.variant, split, "both", of).flatMap((text) =>
      wrapWords("  - ", printable(text, 400), width),
    ),
    ...leftLine,
    ...wrapWords("  ", `fair: ${SPLIT_SOURCE}; ${split.evaluations} variants judged.`, width),
  ];
}
