import type { VariantResult, ZonePeak } from "../answer/result.ts";
import type { Design } from "../design/index.ts";
import { pinGuard, ringOutcome } from "../strength/index.ts";
import { driveHoldRecord, driveVerdict } from "./driveHoldText.ts";
import { enoughWords } from "./releaseTable.ts";

/** What one run hands to a results file. */
export interface RunRecord {
  /** Program version, "0.1.0". */
  readonly program: string;
  /** Part files read, as the user named them. */
  readonly files: readonly string[];
  readonly results: readonly VariantResult[];
  /** Variants that got no answer, and why. */
  readonly failures?: readonly FailedVariant[];
}

export interface FailedVariant {
  readonly part: string;
  readonly variant: string;
  readonly reason: string;
}

export const RESULTS_FORMAT = "notchwright results";
export const RESULTS_VERSION = 1;

/**
 * The run as JSON text, numbers at full precision (one that is not finite is null), units as `docs/results.md` lists them field by field. A
 * sharp root has `peakUnbounded: true` and null peaks.
 */
export function resultsJson(run: RunRecord): string {
  return [...resultsJsonPieces(run)].join("");
}

/** The same in pieces: of a long sweep the whole text is a hundred megabytes. */
export function* resultsJsonPieces(run: RunRecord): Generator<string> {
  const document = {
    format: RESULTS_FORMAT,
    version: RESULTS_VERSION,
    program: run.program,
    units: { length: "mm", force: "N", stress: "MPa", torque: "N·mm", angle: "rad", time: "ms" },
    files: run.files,
  };
  const failed = run.failures ?? [];
  if (run.results.length <= MOST_INDENTED) {
    const variants = run.results.map(variantRecord);
    yield `${JSON.stringify({ ...document, variants, failed }, null, 2)}\n`;
    return;
  }
  yield `${JSON.stringify(document).slice(0, -1)},\n"variants": [\n`;
  for (const [k, result] of run.results.entries())
    yield `${k > 0 ? ",\n" : ""}${JSON.stringify(variantRecord(result))}`;
  yield `\n],\n"failed": ${JSON.stringify(failed)}}\n`;
}

/** More variants than this stand one a line: a sweep is read by programs, and the indents would be a third of the file. */
const MOST_INDENTED = 50;

function variantRecord(result: VariantResult) {
  // the root field is half a megabyte of working data: the capacity says what follows from it
  const {
    design,
    root,
    zones,
    rootField: _rootField,
    overRunRootField: _overRunRootField,
    capacity,
    overRun,
    ...rest
  } = result;
  const sharp = root.sharp;
  return {
    part: design.part,
    variant: design.variant,
    design: withoutOwnData(design),
    ...rest,
    driveHold: driveHoldRecord(design),
    overRun: overRun && {
      ...overRun,
      letsGo: ringOutcome(overRun),
      enough: enoughWords(overRun, design),
      pinGuard: pinGuard(overRun, design),
    },
    capacity: capacity && {
      ...capacity,
      enough: driveVerdict(capacity, design),
      governing: capacity.governing.id,
      next: capacity.next?.id ?? null,
    },
    root: {
      ...root,
      peakUnbounded: sharp,
      peakPrincipal: sharp ? null : root.peakPrincipal,
      peakVonMises: sharp ? null : root.peakVonMises,
      kt: sharp ? null : root.kt,
    },
    zones: zones.map((zone) => zoneRecord(zone, sharp)),
  };
}

/** A sharp root has no peak. The other zones' peaks already leave out what lies within the averaging distance of it. */
function zoneRecord({ zone, principal, vonMises }: ZonePeak, sharp: boolean) {
  const unbounded = sharp && zone === "root";
  return {
    zone,
    peakUnbounded: unbounded,
    principal: unbounded ? null : principal,
    vonMises: unbounded ? null : vonMises,
  };
}

/** A user's own steel data stand in his file; the results name the steel. */
function withoutOwnData(design: Design): Design {
  if (!design.steel?.own) return design;
  const { own: _own, ...steel } = design.steel;
  return { ...design, steel };
}
