import { type Design, type Fault, fileStem } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";
import {
  cautionsBlock,
  changesChart,
  driveHoldRecord,
  type LoadCase,
  noPart,
  partingText,
  STAYS_TOGETHER,
  verdictTurnText,
} from "../report/index.ts";
import { checkStrength, subsets, type VariantChanges, variantChanges } from "../strength/index.ts";
import { askedVariants } from "./askedVariants.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import type { SplitOptions } from "./commands/split.ts";
import { eachSolved } from "./eachSolved.ts";
import { endWithJson } from "./endWithJson.ts";
import { exitCode } from "./exitCode.ts";
import { jsonDocument, jsonTargetFault } from "./jsonFile.ts";
import { closeOutput, inspectOutput, openOutput, solvedFolder } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { rootFields } from "./rootFields.ts";
import { out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { sharedNotices } from "./sharedNotices.ts";
import { partingNotes, splitBlock } from "./splitBlock.ts";
import { type CaseSplit, cuttingFaults, firstAmiss, holdingTurn, splitCases } from "./splitCases.ts";
import { wrapWords } from "./wrapWords.ts";
import { writeCharts } from "./writeCharts.ts";

/** More would be 2^n variants between the two. */
const MOST_CHANGES = 10;
const FORMAT = "notchwright split";

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
        problem: `the two differ in ${all.length} things: ${all.map(({ title }) => title).join(", ")}`,
        remedy: `compare two that differ in ${MOST_CHANGES} or fewer`,
      },
    ];
  // springs, friction and pins change no outline
  const changes = all.filter(({ id }) => bearsOnDrive(id));
  const amiss = firstAmiss(subsets(changes), changes, mix, (design) =>
    cuttingFaults(() => checkStrength(design, buildProfile(design.profile, design.units))),
  );
  if (!amiss) return [];
  return amiss.faults.map(({ key, problem }) => ({
    key,
    problem: `${amiss.where}: ${problem}`,
    remedy:
      "the changes cannot be made one by one, so they cannot be split; compare variants between the two",
  }));
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
