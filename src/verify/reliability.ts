import { answerDesign } from "../answer/index.ts";
import { solvePass } from "../answer/solvePass.ts";
import type { Design } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";
import { type StudyDesign, studyDesigns } from "./reliabilityProfiles.ts";

/** One design of the study: what the program said of its error, and what the error was. */
export interface ReliabilityRow {
  readonly name: string;
  readonly radiusShare: number;
  readonly loaded: StudyDesign["loaded"];
  /** Unknowns of the mesh that was told, and how many meshes were solved. */
  readonly unknowns: number;
  readonly passes: number;
  /** Estimated error, as a fraction. */
  readonly estimate: number;
  /** Signed difference from the reference, as a fraction of it. */
  readonly error: number;
  readonly referenceUnknowns: number;
  /** Whether the reference's mesh is refined evenly, or was adapted because even meshes did not come near enough. */
  readonly referenceMesh: "even" | "adapted";
  /** Estimated error of the reference, as a fraction. */
  readonly referenceEstimate: number;
}

export interface ReliabilityOptions {
  /** Target asked for; default 1 %. */
  readonly accuracy?: number;
  /** Every how manieth design is tried; default 1, all. */
  readonly every?: number;
  readonly onRow?: (row: ReliabilityRow) => void;
}

/** The reference's estimate must be this much lower than that of the row it judges. */
export const REFERENCE_RATIO = 10;
/**
 * Element sizes of references over those of a design's first mesh: everything that much smaller, everywhere, so that references
 * are not made by the adaptive loop they judge. Where an adapted mesh did so well that these are too coarse to judge it, the loop
 * goes on to a tenth of its estimate instead.
 */
const EVEN_FINENESS = [0.4, 0.28, 0.2];
/** Even meshes with more unknowns than this are not tried. */
const MOST_EVEN = 300_000;
const MOST_ADAPTED = 2_000_000;

/** Solves the designs of the study at one target, and each again on an evenly refined mesh. The same options give the same rows. */
export function reliabilityStudy({
  accuracy = 0.01,
  every = 1,
  onRow,
}: ReliabilityOptions = {}): ReliabilityRow[] {
  const rows: ReliabilityRow[] = [];
  for (const [k, { name, radiusShare, loaded, design }] of studyDesigns().entries()) {
    if (k % every !== 0) continue;
    const { result } = answerDesign(design, { accuracy });
    const { value, estimate, unknowns } = result.passes.at(-1)!;
    const reference =
      evenReference(design, estimate / REFERENCE_RATIO) ??
      adaptedReference(design, estimate / REFERENCE_RATIO);
    const row: ReliabilityRow = {
      name,
      radiusShare,
      loaded,
      unknowns,
      passes: result.passes.length,
      estimate,
      error: value / reference.value - 1,
      referenceUnknowns: reference.unknowns,
      referenceMesh: reference.mesh,
      referenceEstimate: reference.estimate,
    };
    rows.push(row);
    onRow?.(row);
  }
  return rows;
}

interface Reference {
  readonly value: number;
  readonly estimate: number;
  readonly unknowns: number;
  readonly mesh: "even" | "adapted";
}

/** The first even mesh whose estimate is low enough, if any is. */
function evenReference(design: Design, target: number): Reference | null {
  const built = buildProfile(design.profile);
  for (const fineness of EVEN_FINENESS) {
    const { answer, error, solution } = solvePass(design, built, fineness, 10 * MOST_EVEN);
    const { value, scale } = answer.reading;
    const estimate = error.bound / scale;
    if (estimate <= target) return { value, estimate, unknowns: solution.unknowns, mesh: "even" };
    // sizes fall by a third, so the next mesh has twice the unknowns
    if (2 * solution.unknowns > MOST_EVEN) return null;
  }
  return null;
}

function adaptedReference(design: Design, target: number): Reference {
  const { result } = answerDesign(design, { accuracy: target, maxUnknowns: MOST_ADAPTED });
  const { value, estimate, unknowns } = result.passes.at(-1)!;
  return { value, estimate, unknowns, mesh: "adapted" };
}

/** What a study says altogether. */
export interface ReliabilitySummary {
  readonly rows: number;
  /** Share of rows whose error is under their estimate. */
  readonly covered: number;
  /** Largest error, as a fraction. */
  readonly worst: number;
  /** Median of estimate over error. */
  readonly medianCaution: number;
}

/** One row for a terminal. */
export function reliabilityLine(row: ReliabilityRow): string {
  const radius = row.radiusShare === 0 ? "sharp" : `R ${percent(row.radiusShare, 0)} of the largest`;
  return `${row.name}, ${radius}, ${row.loaded} loaded: estimate ${percent(row.estimate)}, error ${percent(row.error)}`;
}

export function reliabilitySummary(rows: readonly ReliabilityRow[]): ReliabilitySummary {
  const caution = rows.map((r) => r.estimate / Math.abs(r.error)).sort((a, b) => a - b);
  return {
    rows: rows.length,
    covered: rows.filter((r) => Math.abs(r.error) <= r.estimate).length / rows.length,
    worst: Math.max(...rows.map((r) => Math.abs(r.error))),
    medianCaution: caution[Math.floor(caution.length / 2)],
  };
}

const percent = (fraction: number, digits = 3): string => `${(100 * fraction).toFixed(digits)} %`;

/** The study as a Markdown page. The same rows give the same bytes. */
export function reliabilityMarkdown(rows: readonly ReliabilityRow[], accuracy = 0.01): string {
  const { covered, worst, medianCaution } = reliabilitySummary(rows);
  return [
    "# Can the error estimate be believed?",
    "",
    `Each design below was solved with ${percent(accuracy, 2)} asked for. The error is the difference from a second solution on a mesh ` +
      `refined evenly, everywhere, until its own estimate was at least ${REFERENCE_RATIO} times lower; where the adapted mesh did too well for ` +
      "that, the adaptive loop went on until its estimate was (the last columns say which). The governing stress is " +
      "the first principal peak of a rounded root, the mean opening stress beside a sharp one (radius 0).",
    "",
    `${rows.length} designs: the error was **under the estimate in ${percent(covered, 1)}** of them, at most **${percent(worst)}**, and the estimate ` +
      `was **${medianCaution.toFixed(1)} times the error in the median**.`,
    "",
    "| Profile | Radius, share of largest | Teeth loaded | Meshes | Unknowns | Estimate | Error | Unknowns of the reference | Its mesh | Its estimate |",
    "| --- | ---: | --- | ---: | ---: | ---: | ---: | ---: | --- | ---: |",
    ...rows.map((r) => {
      const error = percent(r.error);
      const told = Math.abs(r.error) <= r.estimate ? error : `**${error}**`;
      return (
        `| ${r.name} | ${r.radiusShare === 0 ? "sharp" : percent(r.radiusShare, 0)} | ${r.loaded} | ${r.passes} | ${r.unknowns} ` +
        `| ${percent(r.estimate)} | ${told} | ${r.referenceUnknowns} | ${r.referenceMesh} | ${percent(r.referenceEstimate, 4)} |`
      );
    }),
    "",
  ].join("\n");
}
