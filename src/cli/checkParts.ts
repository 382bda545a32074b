import { mostUnknowns } from "../answer/index.ts";
import { memoryWords } from "../answer/memoryNeeded.ts";
import { type Design, formatLength, formatStress, lengthWords, significant } from "../design/index.ts";
import type { RootCorner } from "../profile/index.ts";
import { addTo, driveHoldNotes } from "../report/index.ts";
import { designOverRun, steelStrength } from "../strength/index.ts";
import { type CheckedVariant, checkDesigns } from "./checkDesigns.ts";
import { columns } from "./columns.ts";
import { defaultsEcho, nameList } from "./defaultsEcho.ts";
import { exitCode } from "./exitCode.ts";
import { expectedModel } from "./expectedModel.ts";
import { namedShort } from "./namedShort.ts";
import { notesBlock } from "./notesBlock.ts";
import { printable } from "./printable.ts";
import { readParts } from "./readParts.ts";
import { releaseBlock } from "./releaseBlock.ts";
import { memoryShare } from "./runSettings.ts";
import { out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { wrapWords } from "./wrapWords.ts";

/** The `check` command: everything that can be said without solving. @returns the exit code. */
export function checkParts(files: readonly string[]): number {
  const { parts, faults } = readParts(files);
  const { variants, faults: geometryFaults } = checkDesigns(parts);
  faults.push(...geometryFaults);
  if (faults.length > 0) return sayFaults(faults, "nothing else was checked");
  for (const [p, { file, part }] of parts.entries()) {
    if (p > 0) out();
    const { named: own, legend } = namedShort(variants.filter((variant) => variant.file === file));
    const designs = own.map(({ design }) => design);
    out(
      `${printable(part.name)}: ${own.length === 1 ? "1 variant" : `${own.length} variants`} in ${file}, no faults`,
    );
    out();
    for (const line of legend) out(line);
    const fit = fitBlock(own);
    for (const block of [
      fit.lines,
      steelBlock(designs),
      releaseBlock(
        designs.map((design) => ({
          design,
          overRun: designOverRun(design, undefined),
        })),
        outWidth(),
        false,
      ),
      notesBlock(
        own.map(({ design, profile }) => ({
          part: design.part,
          variant: design.variant,
          notes: [...(design.notices ?? []), ...profile.notes, ...driveHoldNotes(design)],
        })),
        outWidth(),
      ),
      defaultsEcho(designs),
    ]) {
      if (block.length === 0) continue;
      for (const line of block) out(line);
      out();
    }
    out(
      fit.refused === 0
        ? "Ready: notchwright run gives the stresses."
        : fit.refused < own.length
          ? "Ready, but for those that run would refuse: it gives the stresses of the others."
          : "Not ready: run would refuse every variant.",
    );
  }
  return exitCode.ok;
}

/** Root radius asked for beside the largest that fits, and the size of the first mesh; how many of them a run would refuse. */
function fitBlock(variants: readonly CheckedVariant[]): {
  readonly lines: string[];
  readonly refused: number;
} {
  // a grid over loads and steels has few geometries, and meshing is what takes time here
  const models = new Map<string, ReturnType<typeof expectedModel>>();
  const first = ({ design, profile }: CheckedVariant) => {
    const key = JSON.stringify([design.profile, design.load.sharing, design.averagingDistance]);
    if (!models.has(key)) models.set(key, expectedModel(design, profile));
    return models.get(key)!;
  };
  const rows = variants.map((variant) => {
    const { design, profile } = variant;
    const { unknowns, bytes } = first(variant);
    return [
      printable(design.variant, 40),
      cornerWords(profile.corners, design, "radius"),
      cornerWords(profile.corners, design, "largestRadius"),
      formatLength(profile.rootThickness, design.units),
      Number.isFinite(unknowns) ? significant(unknowns, 2) : "over 2 000 000",
      Number.isFinite(bytes) ? memoryWords(bytes) : "–",
    ];
  });
  const available = memoryShare(1);
  const tooLarge = variants.flatMap((variant) => {
    const { unknowns, bytes } = first(variant);
    const why = [
      ...(unknowns > mostUnknowns(variant.design)
        ? [
            `more than the ${mostUnknowns(variant.design)} unknowns that are solved unless --most-unknowns says more`,
          ]
        : []),
      ...(bytes > available ? [`more memory than the ${memoryWords(available)} that is available now`] : []),
    ];
    return why.length > 0 ? [{ name: printable(variant.design.variant, 40), why: why.join(", and ") }] : [];
  });
  const lines = [
    "Geometry",
    ...columns([
      ["variant", "root radius", "largest that fits", "tooth at the root", "unknowns at first", "memory"],
      ...rows,
    ]),
    ...[...new Set(tooLarge.map(({ why }) => why))].flatMap((why) => {
      const names = tooLarge.filter((one) => one.why === why).map(({ name }) => name);
      return wrapWords(
        "  - ",
        `${nameList(names)}: run would refuse ${names.length === 1 ? "it" : "them"}: ${why}`,
        outWidth(),
      );
    }),
  ];
  return { lines, refused: tooLarge.length };
}

/** One value where both sides of the tooth agree, else both, the loaded side first. */
function cornerWords(
  corners: readonly RootCorner[],
  { units }: Design,
  key: "radius" | "largestRadius",
): string {
  const words = (corner: RootCorner) =>
    key === "largestRadius"
      ? corner.largestRadius > 1e-6
        ? lengthWords(units).atMost(corner.largestRadius) // a reader may ask for just this one
        : "none"
      : corner.radius === 0
        ? "sharp"
        : formatLength(corner.radius, units);
  const loaded = corners.find(({ side }) => side === "loaded");
  const other = corners.find(({ side }) => side === "unloaded");
  const both = [loaded, other].flatMap((corner) => (corner ? [words(corner)] : []));
  return [...new Set(both)].join(" loaded, ") + (new Set(both).size > 1 ? " other" : "");
}

/** Strength band of each steel and hardness that the variants name. */
function steelBlock(designs: readonly Design[]): string[] {
  const steels = new Map<string, Design[]>();
  for (const design of designs) {
    if (!design.steel) continue;
    const key = JSON.stringify(design.steel);
    addTo(steels, key, design);
  }
  if (steels.size === 0)
    return ["Steel: none named, so stresses will be given without a strength beside them."];
  return [
    "Steel",
    ...[...steels.values()].flatMap((users) => {
      const { steel, units } = users[0]!;
      const strength = steelStrength(steel!);
      const band = (low: number, high: number) =>
        `${formatStress(low, units)} to ${formatStress(high, units)}`;
      const width = outWidth();
      const who = users.length < designs.length ? ` (${nameList(users.map(({ variant }) => variant))})` : "";
      const bands =
        `yield ${band(strength.yieldLow, strength.yieldHigh)}, ` +
        `tensile ${band(strength.tensileLow, strength.tensileHigh)}`;
      return [
        ...wrapWords("  ", `${strength.grade}, ${strength.hardnessText}: ${bands}${who}`, width),
        ...[strength.source, ...strength.warnings].flatMap((text) => wrapWords("    - ", text, width)),
      ];
    }),
  ];
}
