import { type KeySpec, MOST_DESIGNS, SECTIONS, TOP_KEYS, VARIANT_KEYS } from "./keys.ts";
import { LONGEST_NAME } from "./names.ts";
import { LARGEST_PART_FILE } from "./source.ts";
import { starterPart } from "./starterPart.ts";
import { CORE_RANGE, STEEL_GRADES } from "./steelGrades.ts";
import { kindInWords, limitsInWords } from "./value.ts";

/** docs/part-file.md: every key of a part file, made from the key table. */
export function partFileDocument(): string {
  const sections = SECTIONS.map(
    ({ name, about, required, perVariant, keys }) => `## ${name}

${about}. ${required ? "Required." : "Optional."} ${perVariant ? "A variant or a sweep may change any of it." : "Alike for all variants."}

${table(keys)}
${AFTER[name] ? `\n${AFTER[name]}\n` : ""}`,
  );
  return `# The part file

A part file is one YAML file: a part, what loads it, and the variants to compare. Keys are lower-case words.
A key that is not listed here is refused, with the nearest one that is; so is a value out of its range. Every
fault is told at once, with its line and column. A file holds at most ${LARGEST_PART_FILE / 1e6} MB.

This page is made from the table the program reads files by.

\`\`\`yaml
${starterPart("internal spline")}\`\`\`

## Quantities

A quantity carries its unit: \`0.8 mm\`, \`0.030 in\`, \`3/8 in\`, \`30 deg\`, \`30 deg 15 min\`, \`690 N m\`, \`915 lbf ft\`, \`205 GPa\`,
\`181 ksi\`. Units of both systems may stand in one file; reports then print both.

| quantity | units |
| --- | --- |
| length, diameter | mm, cm, m, um, in, thou, ft |
| angle | deg (with min), rad |
| torque | N m, N mm, kN m, lbf ft, lbf in; also written \`N·m\`, \`N*m\`, \`ft-lbf\` |
| stress | MPa, GPa, N/mm^2, psi, ksi |
| force | N, kN, lbf |
| hardness | HRC, HV, HB; a window as \`54..56 HRC\` or \`38 to 42 HRC\` |
| share, accuracy | % |

A number without unit is taken only where it cannot be misread: counts and factors, a diametral pitch, 0, and
quantities whose unit the file declares under \`units\`. The decimal mark is a point. A pound of force is \`lbf\`; \`lb\`
alone is a mass and refused. HV and HB are converted to HRC by the numbers of ASTM E140 table 1.

## Top of the file

${table(TOP_KEYS)}

Beside these: the sections below, \`variants\` and \`sweep\`.

${sections.join("\n")}
## variants

A list; each variant is the base with what it changes. Defaults are taken after the change, so a value that follows
from a changed key follows it. A key written in a variant also takes the place of other ways in which the base says
the same: \`module\`, \`pitch diameter\` and \`diametral pitch\`; \`tooth thickness\` and \`tooth width\`; \`teeth sharing\`,
\`loaded teeth\` and \`tooth loads\`; \`mean diameter\` and the outside and inside diameter; \`root radius\` and the radii of
the two sides of a face tooth; \`drive flank angle\` and \`back-cut\`; \`over-run flank angle\` and \`ramp angle\`;
\`shear strength\` and \`tensile strength\` of pins; \`mean radius\` and \`mean diameter\`, \`spline radius\` and \`spline diameter\` of over-running.
A variant that changes \`kind\` leaves behind the base's keys that its kind does not have, and the base's tip diameter,
root diameter and contact; from a spline to a face tooth or back also the face width, which runs another way. One that gives outside and inside
diameter where the base has a mean diameter alone leaves its face width behind too.

${table(VARIANT_KEYS)}

Beside these, a variant may hold \`profile\`, \`load\`, \`steel\`, \`strength\`, \`over-run\`, \`pins\` and \`elastic\`. Names are at most ${LONGEST_NAME} characters, on one line,
unique whatever their letter case, and hold none of \`/\`, \`\\\`, \`<\`, \`>\`. The base alone is not computed when there are variants: give
a variant without changes to see it. A file without \`variants\` and without \`sweep\` is one design, called "as drawn".

## sweep

A grid over the base: keys as \`"section.key"\`, each with a list of values. Every combination is one design, named by its
values ("root radius 0.4 mm, torque 690 N m"), after the variants and in the order of the lists, the last key running fastest.
Any key of \`profile\`, \`load\`, \`steel\`, \`strength\`, \`over-run\`, \`pins\` and \`elastic\` can be swept. A file expands into at most ${MOST_DESIGNS.toLocaleString("en")} designs, variants included.

\`\`\`yaml
sweep:
  "profile.root radius": [0.2 mm, 0.4 mm, 0.8 mm]
  "load.torque": [500 N m, 690 N m]
\`\`\`

## In an editor

An editor that knows JSON Schema completes keys and marks slips from [part-file.schema.json](part-file.schema.json), which
\`notchwright schema\` prints too.
`;
}

const AFTER: Readonly<Record<string, string>> = {
  profile: `An internal spline cut with parallel-sided slots has teeth that widen outward: give it a \`flank angle\` of 180° over the
number of teeth. A straight-sided external spline with parallel teeth finds its missing sizes in ISO 14:1982 when
teeth and one diameter match exactly one row. Default sizes are basic sizes: they hold no tolerance and no fit.
Contact is between diameters of a spline, between heights above the root line of a face tooth.`,
  load: `Each tooth that carries takes torque × shock factor / (teeth × share). With \`loaded teeth\` or \`tooth loads\` the whole ring is
computed; shares may miss 100 % by 0.1 %, which is spread over all. Tooth 1 lies on the +x axis of the picture and
counting runs counter-clockwise.`,
  steel: `| grade | condition | hardness with data |
| --- | --- | --- |
${STEEL_GRADES.map(({ name, condition, softest, hardest }) => `| ${name} | ${condition} | ${softest} to ${hardest} HRC${condition === "case hardened" ? ` (case), ${CORE_RANGE[0]} to ${CORE_RANGE[1]} HRC (core)` : ""} |`).join("\n")}

Strength is a band read from hardness, never one value: tables disagree. Use the steel maker's and heat treater's own data where
you have them.`,
  strength: `What is computed from these is explained in [strength.md](strength.md).`,
  "over-run": `A face tooth's ramp is its own over-run flank: sweep or change \`profile.ramp angle\`. Neither this section nor the pins change a
stress, so variants that differ in them alone are solved once; of a face tooth loaded on its drive flank the over-run flank is solved
too, since over-running loads that one. With and without a steel; [strength.md](strength.md#over-run) says what follows.`,
  pins: `Snug holes and no bending are taken for granted; all pins share alike. Where the tensile strength is given, the shear strength is 0.6
to 0.75 of it: 0.67 in a public course code after Shigley, 0.6 for high-strength steel (from memory), up to 0.75 (common practice).`,
};

function table(keys: readonly KeySpec[]): string {
  const rows = keys.map((spec) => {
    const limits = limitsInWords(spec.value);
    const kinds = spec.kinds && spec.kinds.length < 3 ? ` (${spec.kinds.join(", ")})` : "";
    const takes = `${kindInWords(spec.value)}${limits && `, ${limits}`}${words(spec)}`;
    return `| \`${spec.key}\` | ${spec.about}${kinds} | ${takes} | \`${spec.example}\` | ${spec.absent} |`;
  });
  return [
    "| key | what it is | takes | example | when left out |",
    "| --- | --- | --- | --- | --- |",
    ...rows,
  ].join("\n");
}

function words({ value }: KeySpec): string {
  return "words" in value && value.words ? ` or \`${value.words.join("`, `")}\`` : "";
}
