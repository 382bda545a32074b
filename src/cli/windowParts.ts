import { formatTorque } from "../design/index.ts";
import {
  addTo,
  cautionsBlock,
  driveHoldRecord,
  hardnessChart,
  hardnessRows,
  hrcText,
  mostText,
  notKnownText,
  orderText,
  partingFirst,
  partsInDrive,
  sharedUnits,
  torqueHeads,
  wantedMargin,
} from "../report/index.ts";
import { designWindow, type HardnessWindow } from "../strength/index.ts";
import { askedVariants } from "./askedVariants.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { columns } from "./columns.ts";
import type { WindowOptions } from "./commands/window.ts";
import { nameList } from "./defaultsEcho.ts";
import { designKey, type SolveOptions } from "./designKey.ts";
import { driveOnly } from "./driveOnly.ts";
import { eachSolved } from "./eachSolved.ts";
import { endWithJson } from "./endWithJson.ts";
import { exitCode } from "./exitCode.ts";
import { jsonDocument, jsonTargetFault } from "./jsonFile.ts";
import { namedShort } from "./namedShort.ts";
import { closeOutput, inspectOutput, openOutput, solvedFolder } from "./outputFolder.ts";
import { printable } from "./printable.ts";
import { type RootFields, rootFields } from "./rootFields.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { uniqueStems } from "./uniqueStems.ts";
import { wrapWords } from "./wrapWords.ts";
import { writeCharts } from "./writeCharts.ts";

const FORMAT = "notchwright hardness windows";

/** Variants that one window serves: they differ in hardness only, or in nothing. */
export interface WindowGroup {
  readonly members: readonly CheckedVariant[];
  /** Path of its chart in the folder. */
  readonly chart: string;
}

/** The `window` command. @returns the exit code. */
export function windowParts(files: readonly string[], options: WindowOptions, programUrl: string): number {
  const { variants, solve, faults } = askedVariants(files, options.only, "--only", options);
  const groups = windowGroups(variants, solve);
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
  const { named, legend } = namedShort(variants);
  const short = new Map(variants.map((variant, k) => [variant, named[k]!]));
  if (shown && legend.length > 0) out(`${legend.join("\n")}\n`);
  const folder = target === undefined ? null : openOutput(target);
  try {
    const roots = rootFields(solve, programUrl, folder && solvedFolder(folder));
    const charts = new Map<string, { text: string }>();
    const windows: object[] = [];
    const { code, done } = eachSolved(
      groups,
      ({ members }) => members,
      (group) => {
        const found = windowOf(group, roots);
        const members = group.members.map((member) => short.get(member)!);
        if (shown) out(`${windowBlock({ ...group, members }, found, outWidth()).join("\n")}\n`);
        windows.push(windowRecord(group, found));
        if (folder) charts.set(group.chart, { text: chartOf(group, found) });
      },
    );
    if (done === 0) {
      err("No variant was solved; there is no window to show.");
      return code;
    }
    if (shown) out(cautionsBlock(outWidth()));
    const written = folder
      ? writeCharts(folder, charts, (name) => name.startsWith("hardness/"), shown)
      : exitCode.ok;
    if (options.json !== undefined) endWithJson(options.json, jsonDocument(FORMAT, files, { windows }));
    return Math.max(code, written);
  } finally {
    if (folder) closeOutput(folder);
  }
}

/** What changes when only the hardness does is no window of its own; of a case-hardened steel the case's hardness stays. */
function windowGroups(variants: readonly CheckedVariant[], solve: SolveOptions): WindowGroup[] {
  const groups = new Map<string, CheckedVariant[]>();
  for (const variant of variants) {
    const { steel, strength } = variant.design;
    const fixed = steel && {
      grade: steel.grade,
      case: steel.core ? [steel.hardnessLow, steel.hardnessHigh, steel.core.caseDepth] : null,
    };
    const key = JSON.stringify([variant.file, designKey(variant.design, solve, ""), fixed, strength]);
    addTo(groups, key, variant);
  }
  const charted = [...groups.values()];
  const stems = uniqueStems(charted.map(([first]) => first!));
  return charted.map((members, k) => ({ members, chart: `hardness/${stems[k]}.svg` }));
}

function windowOf({ members }: WindowGroup, roots: RootFields): HardnessWindow {
  const { design } = members[0]!;
  const found = designWindow(roots.of(design), design, roots.ifAny);
  // steel and conditions were checked before anything was solved
  if (!found || "faults" in found) throw new Error(`no hardness window for ${design.variant}`);
  return found.window;
}

/** One window as plain data, with the variants it holds for. */
function windowRecord({ members }: WindowGroup, window: HardnessWindow) {
  const { design } = members[0]!;
  return {
    part: design.part,
    variants: members.map(({ design: { variant, steel } }) => {
      const own = steel!.core ?? steel!;
      return { variant, hardness: [own.hardnessLow, own.hardnessHigh] };
    }),
    grade: design.steel!.grade,
    margin: wantedMargin(design),
    driveHold: driveHoldRecord(design),
    ...window,
    // no steel keeps teeth together that springs let part
    ...(partsInDrive(design) && {
      satisfying: [],
      aim: null,
      none: { why: "the teeth part in drive", change: "see driveHold" },
    }),
    // what is printed before the order and beside it: flanks that part the teeth whatever the hardness
    warnings: [...driveOnly(members.map((member) => member.design)), ...window.warnings],
  };
}

function chartOf({ members }: WindowGroup, window: HardnessWindow): string {
  const { design } = members[0]!;
  return hardnessChart({
    variants: members.map(({ design: { variant, steel } }) => {
      const own = steel!.core ?? steel!;
      return { name: variant, hardness: [own.hardnessLow, own.hardnessHigh] as const };
    }),
    design,
    window,
  });
}

/** The table of one window, and what to order. */
export function windowBlock({ members }: WindowGroup, window: HardnessWindow, width: number): string[] {
  const { design, label } = members[0]!;
  const { hardness, required, satisfying, aim, tolerance, none, vouched, warnings } = window;
  const margin = wantedMargin(design);
  const units = sharedUnits(members.map((member) => member.design));
  const names =
    members.length === 1
      ? `"${label}"`
      : nameList(
          members.map(({ design: { variant } }) => variant),
          6,
        );
  const what = window.swept === "hardness" ? "" : " core";
  const verdict = aim
    ? `${partingFirst(design)}Order ${orderText(aim, window)}: held within ± ${tolerance} HRC, the low end of every band that governs reaches the required torque${warnings.length > 0 ? "; what is told below comes with it" : ""}.`
    : `${partingFirst(design)}${satisfying.length > 0 && !partsInDrive(design) ? "None to order" : "None"}: ${none!.why}. Change first: ${none!.change}.`;
  const ranges = satisfying.length === 0 ? "none" : satisfying.map(hrcText).join(" and ");
  return [
    ...wrapWords(
      "",
      `Hardness window of ${names}: ${printable(design.steel!.grade)}${what}, ${hardness[0]} to ${hardness.at(-1)} HRC, against ${formatTorque(required, units)} required${margin === 1 ? "" : ` (with margin ${margin})`}`,
      width,
    ),
    ...columns(
      [["HRC", "breaks first", ...torqueHeads(units), "share of required"], ...hardnessRows(window, units)],
      "left",
    ),
    ...wrapWords(
      "  ",
      `${partsInDrive(design) ? "Root and flank alone: satisfied by" : "Satisfies:"} ${ranges}.`,
      width,
    ),
    ...wrapWords("  ", verdict, width),
    ...ownWords(members, window).flatMap((text) => wrapWords("  ", text, width)),
    ...(!vouched
      ? []
      : [mostText(window, units), ...notKnownText(window)].flatMap((text) => wrapWords("  ", text, width))),
    ...[...warnings, ...driveOnly(members.map((member) => member.design))].flatMap((text) =>
      wrapWords("  - ", text, width),
    ),
  ];
}

/** Whether the hardness that each variant has now lies in what satisfies: each value of it by itself, where `run` judges it as one. */
function ownWords(members: WindowGroup["members"], { satisfying }: HardnessWindow): string[] {
  const told = new Map<string, { inside: boolean; names: string[] }>();
  for (const { design } of members) {
    const own = design.steel!.core ?? design.steel!;
    const inside = satisfying.some(([a, b]) => own.hardnessLow >= a - 1e-9 && own.hardnessHigh <= b + 1e-9);
    const found = told.get(own.hardnessText) ?? { inside, names: [] };
    found.names.push(design.variant);
    told.set(own.hardnessText, found);
  }
  return [...told].map(([text, { inside, names }]) =>
    inside
      ? `Each hardness in the ${printable(text)} of ${nameList(names)} satisfies by itself; run takes the worst of all of them at once.`
      : `The ${printable(text)} of ${nameList(names)} does not satisfy.`,
  );
}
