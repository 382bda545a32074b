import type { Design } from "../design/index.ts";
import { buildProfile, type ProfileOutline } from "../profile/index.ts";
import { steelStrength } from "../strength/index.ts";
import { estimateError } from "./errorEstimate.ts";
import { NumericalError } from "./numericalError.ts";
import type { Pass, VariantField, VariantResult } from "./result.ts";
import type { FieldAnswer } from "./rootAnswer.ts";
import { type SolvedPass, solvePass } from "./solvePass.ts";
import { torqueBalance } from "./torqueBalance.ts";

export interface AnswerOptions {
  /** Target for the estimated error of the governing stress, as a fraction; the design's own when absent. */
  readonly accuracy?: number;
  /** No mesh with more unknowns than this is solved; default 400,000. The result says when it stopped short. */
  readonly maxUnknowns?: number;
}

export interface Answer {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly profile: ProfileOutline;
}

/** Each pass has elements this much smaller than the one before. */
const REFINEMENT = 0.62;
const MOST_PASSES = 9;

/** Bounds beyond which a result is refused, not printed. */
const WORST_RESIDUAL = 1e-9;
const WORST_IMBALANCE = 1e-9;
const WORST_ENERGY_GAP = 1e-8;

/**
 * Solves one design: mesh, displacements, stresses, and what they say of the root, on finer and finer meshes
 * until the estimated error of the governing root stress is under the target.
 * @throws DesignError when the profile cannot be made as asked, NumericalError when the answer cannot be stood behind.
 */
export function answerDesign(design: Design, options: AnswerOptions = {}): Answer {
  const started = performance.now();
  const target = options.accuracy ?? design.accuracy;
  const maxUnknowns = options.maxUnknowns ?? 400_000;
  const built = buildProfile(design.profile);
  const notes = [...built.notes];
  const passes: Pass[] = [];
  const clock = { mesh: 0, recover: 0, assemble: 0, order: 0, factor: 0, solve: 0 };
  let solved: SolvedPass | null = null;
  let estimate = Infinity;
  for (let k = 0; k < MOST_PASSES; k++) {
    if (solved && solved.solution.unknowns / REFINEMENT ** 2 > maxUnknowns) break;
    solved = solvePass(design, built, REFINEMENT ** k, maxUnknowns);
    for (const stage of ["mesh", "recover"] as const) clock[stage] += solved.times[stage];
    for (const stage of ["assemble", "order", "factor", "solve"] as const)
      clock[stage] += solved.solution.times[stage];
    const value = governingStress(solved.answer);
    estimate = estimateError([...passes.map((p) => p.value), value], REFINEMENT);
    passes.push({
      unknowns: solved.solution.unknowns,
      elements: solved.quality.elements,
      value,
      estimate: Number.isFinite(estimate) ? estimate : 1,
    });
    if (estimate <= target) break;
  }
  if (!solved) throw new NumericalError("nothing was solved", `allow more than ${maxUnknowns} unknowns`);
  if (!(estimate <= target)) {
    notes.push(
      `the estimated error of the root stress is ${percent(passes.at(-1)!.estimate)}, above the ${percent(target)} asked for: ` +
        `stopped at ${passes.at(-1)!.unknowns} unknowns`,
    );
  }
  const { model, loads, solution, quality, answer, stress } = solved;
  if (loads.thrust > 1e-6 * (loads.perTooth / design.profile.faceWidth)) {
    notes.push(
      `the loaded teeth push the ring sideways with ${Math.round(loads.thrust)} N; a uniform traction on the rim takes it`,
    );
  }
  const balance = torqueBalance(design, built, solved);
  const checks = {
    residual: solution.residual,
    energyGap: Math.abs(solution.strainEnergy - solution.halfWork) / Math.abs(solution.strainEnergy),
    stressJump: solved.stressJump,
  };
  refuseUnsound({ ...checks, imbalance: balance.imbalance });
  return {
    profile: built,
    field: { outline: model.outline, mesh: model.mesh, stress },
    result: {
      design,
      torque: { shock: loads.shockTorque, perTooth: loads.perTooth, ...balance },
      root: { ...answer.root, errorEstimate: passes.at(-1)!.estimate },
      zones: answer.zones,
      steel: design.steel ? steelStrength(design.steel) : null,
      model: model.kind,
      mesh: {
        nodes: quality.nodes,
        elements: quality.elements,
        unknowns: solution.unknowns,
        minAngle: quality.minAngle,
        areaError: quality.areaError,
      },
      checks,
      passes,
      times: { ...clock, total: performance.now() - started },
      notes,
    },
  };
}

/** The stress whose error is estimated: the root's peak, or a sharp root's averaged opening stress. MPa. */
function governingStress(answer: FieldAnswer): number {
  return answer.root.peakPrincipal?.stress ?? answer.root.average.opening;
}

/** @throws NumericalError naming the first figure out of bounds. */
function refuseUnsound(found: { residual: number; imbalance: number; energyGap: number }): void {
  const bounds = [
    ["the equations' residual", found.residual, WORST_RESIDUAL],
    ["the torque imbalance", found.imbalance, WORST_IMBALANCE],
    ["the gap between strain energy and work", found.energyGap, WORST_ENERGY_GAP],
  ] as const;
  for (const [what, value, bound] of bounds) {
    if (!(value <= bound)) {
      throw new NumericalError(
        `${what} is ${value.toExponential(1)}, over the bound of ${bound.toExponential(0)}`,
        "this result is not to be trusted; check the dimensions for extremes",
      );
    }
  }
}

function percent(fraction: number): string {
  return `${(100 * fraction).toPrecision(2)} %`;
}
