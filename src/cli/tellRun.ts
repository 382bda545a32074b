import type { VariantResult } from "../answer/index.ts";
import { cautionsBlock, notedOf } from "../report/index.ts";
import { balanceBlock } from "./balanceBlock.ts";
import { breaksBlock } from "./breaksBlock.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { defaultsEcho } from "./defaultsEcho.ts";
import { notesBlock } from "./notesBlock.ts";
import type { SharedRun } from "./planRun.ts";
import { printable } from "./printable.ts";
import { releaseBlock } from "./releaseBlock.ts";
import { wrapWords } from "./wrapWords.ts";

/** Sentences told on the terminal and at the head of the page; with more variants the table reads better. */
export const MOST_SENTENCES = 12;

/** What is about to be solved, and what was taken by default. */
export function opening(variants: readonly CheckedVariant[]): string[] {
  const lines: string[] = [];
  for (const file of new Set(variants.map((variant) => variant.file))) {
    const own = variants.filter((variant) => variant.file === file).map(({ design }) => design);
    const count = own.length === 1 ? "1 variant" : `${own.length} variants`;
    lines.push(`${printable(own[0]!.part)}: ${count} from ${printable(file, 200)}`);
    lines.push(...defaultsEcho(own), "");
  }
  return lines;
}

/** Which share of the run this is. */
export function sharing({ share, all }: SharedRun, own: number): string {
  return `Share ${share.index} of ${share.count}: ${own} of ${all.length} variants`;
}

/** What breaks first, and whether the teeth let go: told of every run, however quiet. */
export function verdicts(results: readonly VariantResult[], width: number): string[] {
  return [breaksBlock(results, width), releaseBlock(results, width)].flatMap((block) =>
    block.length > 0 ? ["", ...block] : [],
  );
}

/** What follows the table: changes in words, verdicts, balance, notes, cautions. */
export function closing(
  results: readonly VariantResult[],
  sentences: readonly string[],
  width: number,
): string[] {
  const lines: string[] = [];
  if (sentences.length > 0) {
    lines.push("", "How the root stresses compare");
    for (const sentence of sentences.slice(0, MOST_SENTENCES)) {
      lines.push(...wrapWords("  - ", printable(sentence, 300), width));
    }
    const rest = sentences.length - MOST_SENTENCES;
    if (rest > 0) lines.push(`  … and ${rest} more; the table has them all`);
  }
  lines.push(...verdicts(results, width));
  lines.push("", ...balanceBlock(results));
  const notes = notesBlock(results.map(notedOf), width);
  if (notes.length > 0) lines.push("", ...notes);
  lines.push("", cautionsBlock(width));
  return lines;
}
