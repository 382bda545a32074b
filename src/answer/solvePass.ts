import type { Design } from "../design/index.ts";
import type { Outline } from "../geometry/index.ts";
import {
  checkMesh,
  type Mesh,
  type MeshQuality,
  meshOutline,
  outlineSize,
  repeatMesh,
  type SizeField,
} from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import {
  evaluator,
  type NodalStress,
  type Problem,
  recoverStress,
  type Solution,
  solveProblem,
} from "../solver/index.ts";
import { NumericalError } from "./numericalError.ts";
import { type FieldAnswer, rootAnswer } from "./rootAnswer.ts";
import { sizing } from "./sizing.ts";
import { stressJump } from "./stressJump.ts";
import { type Model, type ToothLoads, toothLoads } from "./toothLoads.ts";

/** One design solved on one mesh. */
export interface SolvedPass {
  readonly model: Model;
  readonly loads: ToothLoads;
  readonly solution: Solution;
  readonly stress: NodalStress;
  readonly quality: MeshQuality;
  readonly answer: FieldAnswer;
  readonly stressJump: number;
  readonly times: { readonly mesh: number; readonly recover: number };
}

/**
 * Meshes, loads and solves a design once. `fineness` scales every element's wanted size: 1 for the first pass, less for finer.
 * @throws DesignError, or NumericalError, among others when the mesh would need more than `maxUnknowns`.
 */
export function solvePass(
  design: Design,
  built: ProfileOutline,
  fineness: number,
  maxUnknowns: number,
): SolvedPass {
  const t0 = performance.now();
  const model = buildModel(design, built, fineness, maxUnknowns);
  const quality = checkMesh(model.mesh, model.outline);
  const t1 = performance.now();
  const loads = toothLoads(design, built, model);
  const problem: Problem = {
    outline: model.outline,
    mesh: model.mesh,
    material: design.material,
    thickness: design.profile.faceWidth,
    loads: loads.loads,
    supports: loads.supports,
  };
  const solution = solveProblem(problem);
  const t2 = performance.now();
  const stress = recoverStress(problem, solution);
  const field = evaluator(problem, solution, stress);
  const answer = rootAnswer(design, built, model, loads, stress, field.stressAt);
  const rounded = new Set(built.corners.filter((c) => c.radius > 0).flatMap((c) => c.edges));
  const jump = stressJump(problem, solution, (name) => rounded.has(name.replace(/#\d+$/, "")));
  const times = { mesh: t1 - t0, recover: performance.now() - t2 };
  return { model, loads, solution, stress, quality, answer, stressJump: jump, times };
}

/** Meshes the sector and, where teeth carry unequally, copies it round the ring. */
function buildModel(design: Design, built: ProfileOutline, fineness: number, maxUnknowns: number): Model {
  const { base, edgeSize, sources, sidesPerEighth } = sizing(design, built, fineness);
  const size = outlineSize(built.outline, {
    base,
    edgeSize,
    sources,
    concaveSides: sidesPerEighth,
    least: 0,
  });
  const copies = design.load.sharing.mode === "share" ? 1 : design.profile.teeth;
  const mesh = meshWithin(built.outline, size, maxUnknowns, copies);
  if (copies === 1) return { kind: "sector", outline: built.outline, mesh, copies };
  return { kind: "whole ring", ...repeatMesh(mesh, built.outline, copies), copies };
}

/** A node has two unknowns. The mesh knows only that it ran out of nodes; whose limit that was is known here. */
function meshWithin(outline: Outline, size: SizeField, maxUnknowns: number, copies: number): Mesh {
  try {
    return meshOutline(outline, { size, maxNodes: Math.ceil(maxUnknowns / 2 / copies) });
  } catch (error) {
    if (!(error instanceof Error && error.message.startsWith("mesh: more than"))) throw error;
    throw new NumericalError(
      `the model needs more than the ${maxUnknowns} unknowns allowed`,
      copies === 1
        ? "allow more unknowns, or leave a sharp root a small radius"
        : "allow more unknowns, or let a share of the teeth carry, which needs one tooth only",
    );
  }
}
