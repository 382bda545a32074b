import {
  addTo,
  cautionsBlock,
  driveHoldNotes,
  driveHoldRecord,
  enoughWords,
  releaseChart,
  wantedMargin,
} from "../report/index.ts";
import { designOverRun, ringOutcome } from "../strength/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { chosenVariants } from "./chosenVariants.ts";
import type { ReleaseOptions } from "./commands/release.ts";
import { endWithJson } from "./endWithJson.ts";
import { exitCode } from "./exitCode.ts";
import { jsonDocument, jsonTargetFault } from "./jsonFile.ts";
import { namedShort } from "./namedShort.ts";
import { notesBlock } from "./notesBlock.ts";
import { closeOutput, inspectOutput, openOutput } from "./outputFolder.ts";
import { releaseBlock } from "./releaseBlock.ts";
import { out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { uniqueStems } from "./uniqueStems.ts";
import { writeCharts } from "./writeCharts.ts";

const FORMAT = "notchwright release";

/** Variants that one chart serves: they differ in ramp and pins, not in springs, friction, radii or largest torque. */
interface ChartGroup {
  readonly members: readonly CheckedVariant[];
  /** Path of its chart in the folder. */
  readonly chart: string;
}

/** The `release` command. @returns the exit code. */
export function releaseParts(files: readonly string[], options: ReleaseOptions): number {
  const { variants, faults } = chosenVariants(files, options.only, "--only");
  if (faults.length === 0 && !variants.some(({ design }) => design.overRun))
    faults.push({
      key: "over-run",
      problem: "no variant has this section",
      remedy: "add one with spring force, ramp angle and mean radius; docs/part-file.md lists its keys",
    });
  const groups = chartGroups(variants);
  const target = options.out;
  if (target !== undefined)
    faults.push(
      ...inspectOutput(
        target,
        groups.map(({ chart }) => chart),
        options.intoExisting === true,
      ),
    );
  const json = options.json === undefined ? null : jsonTargetFault(options.json, FORMAT);
  if (json) faults.push(json);
  if (faults.length > 0) return sayFaults(faults);
  const shown = options.json !== "-";
  const released = variants.map(({ design }) => ({
    design,
    overRun: designOverRun(design, undefined),
  }));
  if (shown) {
    const { named, legend } = namedShort(released);
    for (const line of legend) out(line);
    out(releaseBlock(named, outWidth(), false).join("\n"));
    const notes = notesBlock(
      named.map(({ design }) => ({
        part: design.part,
        variant: design.variant,
        notes: [...(design.notices ?? []), ...driveHoldNotes(design)],
      })),
      outWidth(),
    );
    if (notes.length > 0) out(`\n${notes.join("\n")}`);
    out(`\n${cautionsBlock(outWidth())}`);
  }
  if (options.json !== undefined) {
    const variantsOf = released.map(({ design, overRun }) => ({
      part: design.part,
      variant: design.variant,
      notices: design.notices ?? [],
      driveHold: driveHoldRecord(design),
      overRun: overRun && {
        ...overRun,
        letsGo: ringOutcome(overRun),
        enough: enoughWords(overRun, design),
        wanted: wantedMargin(design),
      },
    }));
    endWithJson(options.json, jsonDocument(FORMAT, files, { variants: variantsOf }));
  }
  if (target === undefined) return exitCode.ok;
  const folder = openOutput(target);
  try {
    const charts = new Map(
      groups.map(({ members, chart }) => [
        chart,
        { text: releaseChart(members.map(({ design }) => design)) },
      ]),
    );
    return writeCharts(folder, charts, (name) => name.startsWith("release/"), shown);
  } finally {
    closeOutput(folder);
  }
}

function chartGroups(variants: readonly CheckedVariant[]): ChartGroup[] {
  const groups = new Map<string, CheckedVariant[]>();
  for (const variant of variants) {
    const { overRun } = variant.design;
    if (!overRun) continue;
    const { rampAngle: _rampAngle, ...coupling } = overRun;
    const key = JSON.stringify([variant.file, coupling]);
    addTo(groups, key, variant);
  }
  const charted = [...groups.values()];
  const stems = uniqueStems(
    charted.map(([first]) => first!),
    variants,
  );
  return charted.map((members, k) => ({ members, chart: `release/${stems[k]}.svg` }));
}
