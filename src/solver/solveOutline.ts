import { type Outline, outlineDiagonal, outlineLength } from "../geometry/index.ts";
import {
  type Mesh,
  MeshLimitError,
  MOST_NODES,
  meshOutline,
  outlineSize,
  type SizeField,
} from "../mesh/index.ts";
import { type Evaluator, evaluator } from "./evaluator.ts";
import type { EdgeLoad, Material, NodalStress, Solution, Support } from "./problem.ts";
import { recoverStress } from "./recovery/index.ts";
import { solveProblem } from "./solveProblem.ts";
import type { Ordering } from "./sparse/index.ts";

export interface OutlineQuestion {
  readonly outline: Outline;
  readonly material: Material;
  /** mm; default 1. */
  readonly thickness?: number;
  readonly loads: readonly EdgeLoad[];
  readonly supports: readonly Support[];
  /** Largest element side, mm; default a twentieth of the outline's diagonal. Fillets get smaller ones by themselves. */
  readonly meshSize?: number;
  /** Wanted element side at each place, in place of `meshSize`. */
  readonly size?: SizeField;
  /** A mesh with more nodes than this is refused; default two million. */
  readonly maxNodes?: number;
  /** How the unknowns are ordered for elimination; "automatic" by default. The answer is the same but for round-off. */
  readonly ordering?: Ordering;
}

export interface OutlineAnswer {
  readonly mesh: Mesh;
  readonly solution: Solution;
  /** mm, `[u0, v0, …]`, 2 × nodes. */
  readonly displacement: Float64Array;
  /** MPa, `[sxx, syy, sxy]` a node. */
  readonly stress: NodalStress;
  /** Displacement and stress at a point; null outside. */
  readonly at: Evaluator["at"];
}

/** Sizes up to `base`, mm. A field of sizes that no mesh may have takes as long to make as the mesh that is refused for it. */
function evenSize(outline: Outline, base: number, maxNodes: number): SizeField {
  if ((2 * outlineLength(outline)) / base > maxNodes) throw new MeshLimitError(maxNodes);
  return outlineSize(outline, { base });
}

/**
 * Meshes any closed outline, solves it under tractions and supports, and recovers the stress.
 *
 *     const answer = solveOutline({ outline, material, loads: [{ edges: ["top"], pressure: 10 }],
 *       supports: [{ edges: ["bottom"], u: 0, v: 0 }] });
 *     answer.at(3, 4)?.sxx
 *
 * @throws Error in words when the outline does not close, an edge is unknown, a number is none, a rigid motion is left free, or the mesh
 *   would need more than `maxNodes` nodes.
 */
export function solveOutline(question: OutlineQuestion): OutlineAnswer {
  const { outline, material, thickness = 1, loads, supports } = question;
  const { meshSize, maxNodes = MOST_NODES, ordering = "automatic" } = question;
  if (meshSize !== undefined && !(meshSize > 0)) {
    throw new Error(`solveOutline: meshSize ${meshSize} mm must be positive`);
  }
  const size = question.size ?? evenSize(outline, meshSize ?? outlineDiagonal(outline) / 20, maxNodes);
  const mesh = meshOutline(outline, { size, maxNodes });
  const problem = { outline, mesh, material, thickness, loads, supports };
  const solution = solveProblem(problem, { ordering });
  const stress = recoverStress(problem, solution);
  const { at } = evaluator(problem, solution, stress);
  return { mesh, solution, displacement: solution.displacement, stress, at };
}
