import type { Design } from "../design/index.ts";
import { minSize, type SizeField } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import type { FactorWorkspace } from "../solver/index.ts";
import { adaptedSize, LEAST_GROWTH } from "./adaptedSize.ts";
import { estimateError, type Found } from "./errorEstimate.ts";
import { ModelTooLarge } from "./numericalError.ts";
import type { ReadingError } from "./readingError.ts";
import type { Pass, VariantResult } from "./result.ts";
import { sizeField } from "./sizing.ts";
import { type SolvedPass, solvePass } from "./solvePass.ts";

/** What bounds the passes over one design. */
export interface Bounds {
  readonly maxUnknowns: number;
  /** Bytes of memory at hand. */
  readonly mostBytes: number;
  /** Memory of the factorisation, shared by all passes. */
  readonly workspace: FactorWorkspace;
}

/** A design solved as finely as its accuracy asks. */
export interface AdaptivelySolved {
  /** The last pass. */
  readonly solved: SolvedPass;
  readonly passes: readonly Pass[];
  /** What stopped it short of the accuracy; null where nothing did. */
  readonly stoppedBy: VariantResult["accuracy"]["stoppedBy"];
  /** Milliseconds of all passes, stage by stage. */
  readonly times: Omit<VariantResult["times"], "total">;
}

/** Passes after which the loop gives up: each aims at the target, so more than four are rare. */
const MOST_PASSES = 9;
/** A pass that missed the target is followed by one that aims this much lower: shares and gaps do not fall quite as foreseen. */
const TIGHTER = 0.7;

/**
 * Solves one design on finer and finer meshes until the estimated error of the governing root stress, and of what else the numbers told
 * hang on, is under the design's accuracy.
 * @throws DesignError, NumericalError as `solvePass`; a mesh too large only on the first pass.
 */
export function solveAdaptively(
  design: Design,
  built: ProfileOutline,
  { maxUnknowns, mostBytes, workspace }: Bounds,
): AdaptivelySolved {
  const target = design.accuracy;
  const coarsest = sizeField(design, built, 1);
  const passes: Pass[] = [];
  const found: Found[] = [];
  const times = { mesh: 0, recover: 0, assemble: 0, order: 0, factor: 0, solve: 0, estimate: 0 };
  let size = coarsest;
  let solved: SolvedPass | undefined;
  for (;;) {
    try {
      const before = solved ?? null;
      solved = solvePass(design, built, 1, maxUnknowns, { size, workspace, mostBytes, before });
    } catch (error) {
      // a finer mesh came out larger than foreseen: the one before it stands
      if (!(solved && error instanceof ModelTooLarge)) throw error;
      return { solved, passes, times, stoppedBy: "unknowns" };
    }
    const { solution, answer, error, others } = solved;
    for (const stage of ["mesh", "recover", "estimate"] as const) times[stage] += solved.times[stage];
    for (const stage of ["assemble", "order", "factor", "solve"] as const)
      times[stage] += solution.times[stage];
    const { value, scale } = answer.reading;
    found.push({ value, bound: error.bound, scale });
    const own = estimateError(found);
    const estimate = Math.max(own, ...others.map(shortfall));
    passes.push({ unknowns: solution.unknowns, elements: solved.quality.elements, value, estimate });
    if (estimate <= target) return { solved, passes, times, stoppedBy: null };
    if (passes.length === MOST_PASSES) return { solved, passes, times, stoppedBy: "passes" };
    const mostGrowth = (0.9 * maxUnknowns) / solution.unknowns;
    if (mostGrowth < LEAST_GROWTH) return { solved, passes, times, stoppedBy: "unknowns" };
    const { sector, model } = solved;
    const aim = target * TIGHTER ** (passes.length - 1);
    const adapted = (of: ReadingError, allowed: number): SizeField =>
      adaptedSize(sector, model.copies, model.mesh, of, allowed, coarsest, mostGrowth);
    size = minSize(
      // what is met already stays as it is
      own <= target ? size : adapted(error, aim * scale),
      ...others
        .filter((one) => shortfall(one) > target)
        .map((one) => adapted(one.error, (1 + aim) * one.told - one.reading.value)),
    );
  }
}

/** By how much the number told may fall short of what a rival is, as a share of it. */
const shortfall = ({ reading, told, error }: SolvedPass["others"][number]): number =>
  (reading.value + error.bound) / told - 1;
