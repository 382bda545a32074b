import { type Design, formatForce } from "../design/index.ts";
import { buildProfile, type ProfileOutline } from "../profile/index.ts";
import { type FactorWorkspace, withWorkspace } from "../solver/index.ts";
import { evenSharing, steelStrength } from "../strength/index.ts";
import { BOTH_FRICTIONS, growthNotes, HELD, mostGrowth, noCapacity, notMet } from "./answerNotes.ts";
import { withWorstTeeth } from "./chosenTeeth.ts";
import { idleRootNote } from "./governingTooth.ts";
import { capacityOf, overRunOf } from "./judge.ts";
import {
  type CasesSolved,
  type SolveCase,
  solveOverRunCases,
  withLowFriction,
  withPushOf,
  withTurned,
} from "./loadCases.ts";
import { readRoot } from "./readRoot.ts";
import type { VariantField, VariantResult } from "./result.ts";
import { ringGrowth } from "./ringGrowth.ts";
import { solveAdaptively } from "./solveAdaptively.ts";
import { refuseUnsound, soundness } from "./soundness.ts";
import type { ToothLoads } from "./toothLoads.ts";
import { torqueBalance } from "./torqueBalance.ts";
import { worstTeethNote } from "./worstTeeth.ts";

/**
 * Unknowns of the largest mesh that is solved when nobody says otherwise: of one repeating sector, which is factorised as it is, and of a
 * whole ring, of which one sector is factorised however many there are.
 */
const MOST_UNKNOWNS = { share: 400_000, teeth: 1_500_000 };

export const mostUnknowns = ({ load }: Design): number => MOST_UNKNOWNS[load.sharing.mode];

export interface AnswerOptions {
  /** Target for the estimated error of the governing stress, as a fraction; the design's own when absent. */
  readonly accuracy?: number;
  /** No mesh with more unknowns than this is solved; default `mostUnknowns` of the design. The result says when it stopped short. */
  readonly maxUnknowns?: number;
  /** Bytes of memory that may be used; unlimited when absent. A mesh that would need more is refused, whatever came before it. */
  readonly mostBytes?: number;
}

export interface Answer {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly profile: ProfileOutline;
}

/**
 * Solves one design: mesh, displacements, stresses, and what they say of the root, on finer and finer meshes
 * until the estimated error of the governing root stress is under the target.
 * @throws DesignError when the profile cannot be made as asked, NumericalError when the answer cannot be stood behind, RangeError for
 *   options that are no such numbers.
 */
export function answerDesign(design: Design, options: AnswerOptions = {}): Answer {
  const { accuracy, maxUnknowns, mostBytes } = options;
  if (accuracy !== undefined && !(accuracy > 0 && accuracy < 1))
    throw new RangeError(`answerDesign: accuracy ${accuracy} is no share between 0 and 1`);
  for (const [name, value] of Object.entries({ maxUnknowns, mostBytes }))
    if (value !== undefined && !(value > 0))
      throw new RangeError(`answerDesign: ${name} ${value} must be positive`);
  return withWorkspace((workspace) => answerCase(workspace, design, options, false));
}

/** One load case with those beside it. @param beside whether it is itself one of another's, which knows the torque turned round. */
function answerCase(
  workspace: FactorWorkspace,
  asked: Design,
  options: AnswerOptions,
  beside: boolean,
): Answer {
  const started = performance.now();
  const solveCase: SolveCase = (of, besideThis) => answerCase(workspace, of, options, besideThis).result;
  const target = options.accuracy ?? asked.accuracy;
  const { maxUnknowns = mostUnknowns(asked), mostBytes = Infinity } = options;
  const bounds = { maxUnknowns, mostBytes, workspace };

  const overRunning = solveOverRunCases(asked, solveCase);
  const built = buildProfile(asked.profile, asked.units);
  const { design, pushing } = withWorstTeeth(asked, built, target, bounds);
  const { solved, passes, stoppedBy, times } = solveAdaptively(
    { ...design, accuracy: target },
    built,
    bounds,
  );
  const { model, loads, solution, quality, answer, stress } = solved;
  const ring = ringGrowth(design, built, solved);
  const growth = mostGrowth([ring]);
  let cases: CasesSolved = {
    rootField: null,
    unread: null,
    growth,
    notes: [],
    ...readRoot(design, built, solved, ring),
  };
  if (pushing) cases = withPushOf(cases, design, pushing, solveCase);
  cases = withLowFriction(cases, asked, overRunning.low, solveCase);
  if (!beside) cases = withTurned(cases, asked, solveCase);
  const { rootField, unread: rootUnread } = cases;
  const overRunRootField = overRunning.field(rootField);

  const balance = torqueBalance(design, built, solved);
  const checks = soundness(solved);
  refuseUnsound(checks, balance, quality);
  const idle = idleRootNote(design, built, answer.root.peakPrincipal ?? answer.root.average);
  const accuracy = { target, met: stoppedBy === null, stoppedBy };
  return {
    profile: built,
    field: { outline: model.outline, mesh: model.mesh, stress },
    result: {
      design,
      torque: { shock: loads.shockTorque, perTooth: loads.perTooth, ...balance },
      root: { ...answer.root, errorEstimate: passes.at(-1)!.estimate },
      zones: answer.zones,
      steel: design.steel ? steelStrength(design.steel) : null,
      growth,
      rootField,
      rootUnread,
      capacity: capacityOf(rootField, design),
      overRunRootField,
      overRun: overRunOf({ rootField, overRunRootField }, design),
      model: model.kind,
      mesh: {
        nodes: quality.nodes,
        elements: quality.elements,
        unknowns: solution.unknowns,
        minAngle: quality.minAngle,
        minJacobian: quality.minJacobian,
        areaError: quality.areaError,
      },
      accuracy,
      checks,
      passes,
      times: { ...times, total: performance.now() - started },
      notes: [
        ...built.notes,
        ...overRunning.notes,
        ...notMet({ passes, accuracy }),
        ...cases.notes,
        ...noCapacity({ rootUnread }),
        ...(answer.reading.kind === "pressed" ? [PRESSED] : []),
        ...growthNotes(design, mostGrowth([cases.growth, overRunning.growth])),
        ...(idle ? [idle] : []),
        ...loadNotes(asked, design, pushing, loads),
      ],
    },
  };
}

const PRESSED = "no root is pulled to speak of: the estimated error is that of the root's von Mises peak";

/** What must be said of how the part is loaded and held. */
function loadNotes(
  asked: Design,
  { load, profile, units }: Design,
  pushing: readonly number[] | null,
  { thrust, perTooth }: ToothLoads,
): string[] {
  const { sharing } = load;
  const [body, back] = profile.kind === "external spline" ? ["shaft", "bore"] : ["ring", "rim"];
  return [
    ...evenSharing({ load, profile }),
    ...(load.reaction === "held" ? [HELD] : []),
    ...(asked.load.frictionLow !== undefined ? [BOTH_FRICTIONS] : []),
    ...(sharing.mode === "teeth" && sharing.worstOf !== undefined
      ? [worstTeethNote(sharing.weights, pushing)]
      : []),
    ...(thrust > 1e-6 * (perTooth / profile.faceWidth)
      ? [
          `the loaded teeth push the ${body} sideways with ${formatForce(thrust, units)}; a uniform traction on the ${back} takes it`,
        ]
      : []),
  ];
}
