import type { Design } from "../design/index.ts";
import type { Outline } from "../geometry/index.ts";
import {
  checkMesh,
  type Mesh,
  MeshLimitError,
  type MeshQuality,
  meshOutline,
  repeatMesh,
  type SizeField,
} from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import {
  createWorkspace,
  evaluator,
  type FactorWorkspace,
  type NodalStress,
  type Problem,
  RingSolver,
  recoverStress,
  type Solution,
  SolveError,
  Solver,
} from "../solver/index.ts";
import { type ModelSize, refuseTooLarge } from "./memoryNeeded.ts";
import { ModelTooLarge, NumericalError } from "./numericalError.ts";
import { type Rival, rivals } from "./otherPeaks.ts";
import { peakRecoveryBound } from "./reading.ts";
import { type ReadingError, readingError } from "./readingError.ts";
import { canChangeShape, type RingShapes, ringShapes } from "./ringShapes.ts";
import { type FieldAnswer, rootAnswer } from "./rootAnswer.ts";
import { cornerFraction, pathLoss, sizeField } from "./sizing.ts";
import { type Model, type ToothLoads, toothLoads } from "./toothLoads.ts";

/** One design solved on one mesh. */
export interface SolvedPass {
  readonly model: Model;
  /** Mesh of the sector that the model repeats (or is). */
  readonly sector: Mesh;
  readonly loads: ToothLoads;
  readonly problem: Problem;
  readonly solution: Solution;
  /** In which shapes a ring of face teeth may give; null where in none. */
  readonly shapes: RingShapes | null;
  readonly stress: NodalStress;
  readonly quality: MeshQuality;
  readonly answer: FieldAnswer;
  readonly error: ReadingError;
  /** The same of what else the numbers told hang on. */
  readonly others: readonly (Rival & { readonly error: ReadingError })[];
  readonly times: { readonly mesh: number; readonly recover: number; readonly estimate: number };
}

export interface PassOptions {
  /** Element sizes over the sector, in place of those of the design's first mesh. */
  readonly size?: SizeField;
  /** Memory of the factorisation, to be used again by the next pass. */
  readonly workspace?: FactorWorkspace;
  /** Bytes of memory at hand; unlimited when absent. */
  readonly mostBytes?: number;
  /** The coarser pass that stands where this one fails; null for the first. */
  readonly before?: SolvedPass | null;
}

/**
 * Meshes, loads and solves a design once. `fineness` scales every element's wanted size: 1 for the first pass, less for finer; with a size
 * field given, it is that of the field it came from.
 * @throws DesignError, or NumericalError: ModelTooLarge when the mesh would need more than `maxUnknowns`, MemoryError, equations that cannot be solved.
 */
export function solvePass(
  design: Design,
  built: ProfileOutline,
  fineness: number,
  maxUnknowns: number,
  options: PassOptions = {},
): SolvedPass {
  try {
    return solveOnce(design, built, fineness, maxUnknowns, options);
  } catch (error) {
    if (error instanceof SolveError) throw new NumericalError(error.problem, error.remedy);
    throw error;
  }
}

function solveOnce(
  design: Design,
  built: ProfileOutline,
  fineness: number,
  maxUnknowns: number,
  {
    size = sizeField(design, built, fineness),
    workspace = createWorkspace(),
    mostBytes = Infinity,
    before = null,
  }: PassOptions,
): SolvedPass {
  const t0 = performance.now();
  const copies = design.load.sharing.mode === "share" ? 1 : design.profile.teeth;
  const sector = meshWithin(built, size, maxUnknowns, copies);
  const sizeOf = (mesh: Mesh) => modelSize(design, mesh, copies);
  refuseTooLarge(sizeOf(sector), mostBytes, before && sizeOf(before.sector));
  const model: Model =
    copies === 1
      ? { kind: "sector", outline: built.outline, mesh: sector, copies }
      : { kind: "whole ring", ...repeatMesh(sector, built.outline, copies), copies };
  const { mesh } = model;
  const quality = checkMesh(mesh, model.outline);
  const t1 = performance.now();
  const loads = toothLoads(design, built, model);
  const problem: Problem = {
    outline: model.outline,
    mesh,
    material: design.material,
    thickness: design.profile.faceWidth,
    loads: loads.loads,
    supports: loads.supports,
  };
  const solver = solverOf(problem, { outline: built.outline, mesh: sector }, copies, workspace);
  const solution = solver.solve();
  const shapes = ringShapes(design, model, problem, solver);
  const t2 = performance.now();
  const doubt = {
    gap: new Float64Array(1.5 * mesh.xy.length),
    missed: new Float64Array(2 * mesh.elements.length),
  };
  const stress = recoverStress(problem, solution, doubt);
  const field = evaluator(problem, solution, stress);
  const answer = rootAnswer(design, built, model, loads, stress, field);
  const t3 = performance.now();
  const { reading } = answer;
  const lost =
    reading.kind === "mean" && reading.onPath
      ? pathLoss(fineness * cornerFraction(design, built)) * reading.scale
      : 0;
  const error = readingError(problem, solver, solution, stress, doubt, field, reading, lost);
  const { load } = solution;
  const others = rivals(reading, answer.peaks, (peak) =>
    peakRecoveryBound(mesh, load, stress, doubt.gap, peak),
  ).map((rival) => ({
    ...rival,
    error: readingError(problem, solver, solution, stress, doubt, field, rival.reading),
  }));
  const times = { mesh: t1 - t0, recover: t3 - t2, estimate: performance.now() - t3 };
  return { model, sector, loads, problem, solution, shapes, stress, quality, answer, error, others, times };
}

/** What solves a problem on one sector, or on the ring of its copies. */
const solverOf = (
  problem: Problem,
  sector: { readonly outline: Outline; readonly mesh: Mesh },
  copies: number,
  workspace: FactorWorkspace,
): Solver | RingSolver =>
  copies === 1
    ? new Solver(problem, { workspace })
    : new RingSolver({ ...problem, sector, copies }, { workspace });

const modelSize = (design: Design, { xy, tieLeader }: Mesh, copies: number): ModelSize => ({
  nodes: xy.length / 2,
  cut: tieLeader.length,
  copies,
  shaped: canChangeShape(design),
});

/**
 * A sector's cuts are the same line of material seen twice, so its mesh may have more nodes than the model has; how many more is known
 * once it is meshed.
 */
const NODES_BEFORE_TIES = 1.3;

/** A node has two unknowns. The mesh knows only that it ran out of nodes; whose limit that was is known here. */
function meshWithin(
  { outline, corners }: ProfileOutline,
  size: SizeField,
  maxUnknowns: number,
  copies: number,
): Mesh {
  const most = maxUnknowns / 2 / copies;
  const refuse = () =>
    new ModelTooLarge(
      `the model needs more than the ${maxUnknowns} unknowns allowed`,
      [
        "allow more unknowns (--most-unknowns)",
        ...(corners.some(({ radius }) => radius === 0) ? ["leave a sharp root a small radius"] : []),
        ...(copies > 1
          ? ["let a share of the teeth carry evenly (which teeth: evenly), which needs one sector only"]
          : []),
      ].join(", or "),
    );
  let mesh: Mesh;
  try {
    mesh = meshOutline(outline, { size, maxNodes: Math.ceil(NODES_BEFORE_TIES * most) });
  } catch (error) {
    if (!(error instanceof MeshLimitError)) throw error;
    throw refuse();
  }
  if (mesh.xy.length / 2 - mesh.tieLeader.length > most) throw refuse();
  return mesh;
}
