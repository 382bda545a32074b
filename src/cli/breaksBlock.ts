import type { VariantResult } from "../answer/result.ts";
import { type Design, formatTorque } from "../design/index.ts";
import {
  driveVerdict,
  marginText,
  modeName,
  sharedUnits,
  shortNames,
  spanText,
  torqueHeads,
  torqueUnits,
  VERDICT_HEAD,
  wantedMargin,
  wantedWords,
  withWanted,
} from "../report/index.ts";
import { evenSharing } from "../strength/index.ts";
import { columns } from "./columns.ts";
import { printable } from "./printable.ts";
import { wrapWords } from "./wrapWords.ts";

/** Widest name of a part before its variant's, columns of a terminal. */
const LONGEST_PART = 24;

/**
 * Which torque each variant stands, what ends it and what would come next: bands from every material number at its worst to every one
 * at its best, in the units of the part file. Empty where no variant names a steel.
 */
export function breaksBlock(results: readonly VariantResult[], width: number): string[] {
  const judged = results.filter(({ capacity }) => capacity !== null);
  if (judged.length === 0) return [];
  const parts = [...new Set(results.map(({ design }) => design.part))];
  const several = parts.length > 1;
  const { names } = shortNames(parts, LONGEST_PART);
  const units = sharedUnits(judged.map(({ design }) => design));
  const [main] = torqueUnits(units);
  const asked = new Set(judged.map(({ capacity }) => formatTorque(capacity!.required, units)));
  const wanted = wantedWords(judged.map(({ design }) => design));
  const rows = judged.map(({ design, capacity }) => {
    const { governing, stands, next, margin, required } = capacity!;
    return [
      (several ? `${names[parts.indexOf(design.part)]}: ` : "") + printable(design.variant, 32),
      ...(asked.size > 1 ? [formatTorque(required, units)] : []),
      modeName(governing),
      ...torqueUnits(units).map(({ nmm }) => spanText(stands, nmm)),
      marginText(margin, wantedMargin(design)),
      withWanted(driveVerdict(capacity!, design), design, wanted !== null),
      next ? modeName(next) : "–",
      next ? spanText(next.torque!, main.nmm) : "–",
    ];
  });
  const head = [
    "variant",
    ...(asked.size > 1 ? ["required"] : []),
    "breaks first",
    ...torqueHeads(units),
    "margin",
    VERDICT_HEAD,
    "breaks next",
    `at ${main.name}`,
  ];
  const required = asked.size === 1 ? `, against ${[...asked][0]} required` : "";
  const left = results.length - judged.length;
  return [
    ...wrapWords(
      "",
      `What breaks first: shock torque on the whole part at which it happens${required}${wanted ?? ""}; from every figure of the steel at its worst to every one at its best. An estimate${evenlyWords(judged.map(({ design }) => design))}.`,
      width,
    ),
    ...columns([head, ...rows], "left"),
    ...(left > 0
      ? [`  ${left} of ${results.length} variants name no steel, or none that can be judged.`]
      : []),
  ];
}

/** That a verdict stands for the kindest places of the teeth that carry; nothing where the whole ring was solved for all. */
function evenlyWords(designs: readonly Design[]): string {
  const even = designs.filter((design) => evenSharing(design).length > 0).length;
  if (even === 0) return "";
  const where = even === designs.length ? "" : " where none are named or asked for at their worst";
  return `, for teeth that carry evenly round the part${where}: side by side they may stand far less (see the notes)`;
}
