import type { Mesh } from "../src/mesh/index.ts";
import { assemble, equationPattern, gather, spread } from "../src/solver/assemble.ts";
import { equations } from "../src/solver/equations.ts";
import {
  type FactorWorkspace,
  type Ordering,
  type Problem,
  recoverStress,
  sideLoads,
} from "../src/solver/index.ts";
import {
  analyse,
  factor,
  type NodeMatrix,
  orderNodes,
  residualNorm,
  type Symbolic,
  solve,
} from "../src/solver/sparse/index.ts";

/** Milliseconds by stage. */
export type Times = Record<string, number>;

export interface Round {
  readonly times: Times;
  readonly problem: Problem;
  readonly matrix: NodeMatrix;
  readonly rhs: Float64Array;
  readonly symbolic: Symbolic;
  readonly residual: number;
  readonly stress: Float64Array;
}

/** One plain problem from outline to nodal stress, stage by stage; every stage anew, only `workspace` being kept. */
export function runStages(
  makeMesh: () => Mesh,
  makeProblem: (mesh: Mesh) => Problem,
  workspace: FactorWorkspace,
  ordering: Ordering = "automatic",
): Round {
  const times: Times = {};
  const timed = <T>(stage: string, work: () => T): T => {
    const from = performance.now();
    const result = work();
    times[stage] = performance.now() - from;
    return result;
  };
  const mesh = timed("mesh", makeMesh);
  const problem = makeProblem(mesh);
  const eq = equations(problem);
  const { matrix, rhs } = timed("assemble", () => {
    const assembled = assemble(problem, eq, equationPattern(mesh, eq));
    const right = assembled.lift;
    gather(eq, sideLoads(problem, problem.loads), right);
    return { matrix: assembled.matrix, rhs: right };
  });
  const order = timed("order", () => orderNodes(matrix, undefined, ordering));
  const symbolic = timed("symbolic", () => analyse(matrix, order));
  const f = timed("numeric", () => factor(symbolic, matrix.values, workspace));
  const x = rhs.slice();
  timed("solve", () => solve(f, x));
  const displacement = new Float64Array(mesh.xy.length);
  spread(eq, x, displacement);
  const stress = timed("recover", () => recoverStress(problem, { displacement }));
  return { times, problem, matrix, rhs, symbolic, residual: residualNorm(matrix, x, rhs), stress };
}
