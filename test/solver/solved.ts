import type { Mesh } from "../../src/mesh/index.ts";
import {
  type EdgeLoad,
  type Evaluator,
  evaluator,
  type Material,
  type NodalStress,
  type Problem,
  recoverStress,
  type Solution,
  type Support,
  solveProblem,
} from "../../src/solver/index.ts";
import type { Part } from "./shapes.ts";
import { type StructuredOptions, structuredMesh } from "./structured.ts";

export const steel: Material = { E: 210000, nu: 0.3, state: "plane stress" };

export interface Solved {
  readonly problem: Problem;
  readonly mesh: Mesh;
  readonly solution: Solution;
  readonly stress: NodalStress;
  readonly field: Evaluator;
}

/** Solves a part on its structured mesh. */
export function solvePart(
  part: Part,
  loads: readonly EdgeLoad[],
  supports: readonly Support[],
  options: StructuredOptions & { readonly thickness?: number; readonly material?: Material } = {},
): Solved {
  const mesh = structuredMesh(part.outline, part.blocks, options);
  const { thickness = 1, material = steel } = options;
  return solveOn({ outline: part.outline, mesh, material, thickness, loads, supports });
}

/** Solves and recovers. */
export function solveOn(problem: Problem): Solved {
  const solution = solveProblem(problem);
  const stress = recoverStress(problem, solution);
  const field = evaluator(problem, solution, stress);
  return { problem, mesh: problem.mesh, solution, stress, field };
}

/** The mesh node at (x, y); throws when there is none within 1e-6 mm. */
export function nodeAt({ xy }: Mesh, x: number, y: number): number {
  for (let i = 0; i < xy.length / 2; i++) if (Math.hypot(xy[2 * i] - x, xy[2 * i + 1] - y) < 1e-6) return i;
  throw new Error(`no node at (${x}, ${y})`);
}

/** [sxx, syy, sxy] at node i. */
export const stressAtNode = (stress: NodalStress, i: number): [number, number, number] => [
  stress[3 * i],
  stress[3 * i + 1],
  stress[3 * i + 2],
];

/** Largest difference of two arrays. */
export function distance(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) throw new Error(`distance: ${a.length} against ${b.length}`);
  let most = 0;
  for (let k = 0; k < a.length; k++) most = Math.max(most, Math.abs(a[k] - b[k]));
  return most;
}

export const largest = (a: ArrayLike<number>): number => distance(a, new Float64Array(a.length));
