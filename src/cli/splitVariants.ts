import { type Design, DesignError, type Fault, fileStem } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";
import {
  cautionsBlock,
  changesChart,
  effectText,
  NMM_PER_LBFFT,
  spanText,
  splitSentences,
} from "../report/index.ts";
import {
  type Band,
  type Change,
  checkStrength,
  designCapacity,
  type FairSplit,
  fairSplit,
  SPLIT_SOURCE,
  type VariantChanges,
  variantChanges,
} from "../strength/index.ts";
import { askedVariants } from "./askedVariants.ts";
import { columns } from "./columns.ts";
import type { SplitOptions } from "./commands/split.ts";
import { eachSolved } from "./eachSolved.ts";
import { exitCode } from "./exitCode.ts";
import { closeOutput, inspectOutput, openOutput, solvedFolder, writeOutputs } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { rootFields } from "./rootFields.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { wrapWords } from "./wrapWords.ts";

/** More would be 2^n variants between the two. */
const MOST_CHANGES = 10;

/** The `split` command. @returns the exit code. */
export function splitVariants(
  file: string,
  from: string,
  to: string,
  options: SplitOptions,
  programUrl: string,
): number {
  const asked = askedVariants([file], [from, to], "variant", options);
  const { variants, solve, faults } = asked;
  const [before, after] = [from, to].map((name) => variants.find(({ design }) => design.variant === name));
  const chart = `changes/${fileStem(from)}-to-${fileStem(to)}.svg`;
  if (from === to)
    faults.push({
      key: "variant",
      problem: `"${printable(from)}" is given twice`,
      remedy: "name two variants",
    });
  if (options.out !== undefined)
    faults.push(...inspectOutput(options.out, [chart], options.intoExisting === true));
  let changes: VariantChanges | null = null;
  if (before && after && faults.length === 0) {
    changes = variantChanges(before.design, after.design);
    faults.push(...betweenFaults(changes));
  }
  if (faults.length > 0 || !before || !after || !changes) return sayFaults(faults);
  if (changes.changes.length === 0) {
    out(`"${before.label}" and "${after.label}" differ in nothing that bears on the torque they stand.`);
    return exitCode.ok;
  }
  const { mix } = changes;
  const folder = options.out === undefined ? null : openOutput(options.out);
  try {
    const roots = rootFields(solve, programUrl, folder && solvedFolder(folder));
    const { code } = eachSolved(
      [changes],
      () => [before, after],
      ({ changes: list }) => {
        const split = fairSplit(list, (made) => capacityBand(mix(made), roots.of(mix(made))));
        out(splitBlock(before.design, after.design, split, outWidth()).join("\n"));
        out(`\n${cautionsBlock(outWidth())}`);
        if (!folder) return;
        const text = chartOf(before.design, after.design, split);
        // charts of other pairs stay
        const { movedAside } = writeOutputs(folder, new Map([[chart, { text }]]), () => false);
        for (const [was, now] of movedAside)
          err(`"${printable(was)}" had been edited; the edited file is now "${printable(now)}"`);
        out(`\nWritten to ${printable(folder.shown, 200)}: ${chart}`);
      },
    );
    return code;
  } finally {
    if (folder) closeOutput(folder);
  }
}

/** Every variant between the two must be one that can be made and judged; what is wrong with one is told with the changes it has. */
function betweenFaults({ changes, mix }: VariantChanges): Fault[] {
  if (changes.length > MOST_CHANGES)
    return [
      {
        key: "variant",
        problem: `the two differ in ${changes.length} things: ${titles(changes)}`,
        remedy: `compare two that differ in ${MOST_CHANGES} or fewer`,
      },
    ];
  for (let set = 0; set < 1 << changes.length; set++) {
    const made = changes.filter((_, k) => set & (1 << k));
    const design = mix(new Set(made.map(({ id }) => id)));
    let found: readonly Fault[];
    try {
      found = checkStrength(design, buildProfile(design.profile));
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      found = error.faults;
    }
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

function capacityBand(design: Design, root: Parameters<typeof designCapacity>[0]): Band {
  const found = designCapacity(root, design);
  // every mix was checked before anything was solved
  if (!found || "faults" in found) throw new Error("no capacity for a variant between the two");
  return found.capacity.governing.torque!;
}

const steelOf = ({ steel }: Design): string =>
  steel?.core
    ? `${steel.grade}, case ${steel.hardnessText}, core ${steel.core.hardnessText}`
    : `${steel!.grade}, ${steel!.hardnessText}`;

function chartOf(before: Design, after: Design, split: FairSplit): string {
  return changesChart({
    part: before.part,
    from: before.variant,
    to: after.variant,
    steels: [steelOf(before), steelOf(after)],
    required: after.strength?.requiredTorque ?? after.load.torque * after.load.shockFactor,
    split,
    units: before.units,
  });
}

/** The table of the split and what it comes to in words. */
export function splitBlock(before: Design, after: Design, split: FairSplit, width: number): string[] {
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
      `What each change bought, from "${printable(before.variant)}" to "${printable(after.variant)}": torque of the shock that breaks the part, in the way that governs, ${spanText(split.before, 1000)} to ${spanText(split.after, 1000)} N·m`,
      width,
    ),
    ...columns(
      [
        ["change", "fair N·m", "(lbf·ft)", "alone N·m", "last N·m", ""],
        ...split.changes.map(({ title, fair, alone, last, uncertain }) =>
          row(title, fair, alone, last, short(uncertain, fair)),
        ),
        row("all together", split.total, null, null, ""),
      ],
      "left",
    ),
    ...splitSentences(before.variant, after.variant, split, "both").flatMap((text) =>
      wrapWords("  - ", printable(text, 400), width),
    ),
    ...wrapWords("  ", `fair: ${SPLIT_SOURCE}; ${split.evaluations} variants judged.`, width),
  ];
}
