import {
  elasticity,
  evaluator,
  internalForces,
  type NodalStress,
  type Problem,
  recoverStress,
} from "../solver/index.ts";
import { acrossCuts } from "./acrossCuts.ts";
import type { EvenTension } from "./evenTension.ts";
import { pathAverage, pathPoints } from "./pathAverage.ts";
import type { SolvedPass } from "./solvePass.ts";

/** Less of the root's mean than this is not worth telling: the accuracy that is asked for when nobody says otherwise. */
const LEAST_TOLD = 0.01;

/** The field of a ring of face teeth that is free to grow. */
export interface GrownRing {
  /** What it has more mean opening stress at the governing root than the strip that is solved, as a share of that. */
  readonly share: number;
  readonly solution: { readonly displacement: Float64Array };
  readonly stress: NodalStress;
}

/**
 * What a ring of face teeth that is free to grow has in place of the strip that is solved; null where that is too little more at the
 * governing root to tell, and for splines, whose model is the ring itself.
 *
 * The strip of teeth keeps its pitch. Flanks that lean press its base along the part's axis, and since it cannot grow across that, the
 * pitch is pressed too (ν σ); and a force on one flank that the back takes along the whole pitch presses what lies before it and pulls what
 * lies behind. Nothing holds a ring along its radius, and tangential loads do no work where it grows: by the principle of virtual work it
 * grows until the stress along the pitch, taken over the whole sector, teeth included, is none (∫ σ/r dV = 0, with r the mean radius). In
 * plane stress that is the strip's field and an even tension along the pitch.
 */
export function ringGrowth({
  model,
  problem,
  solution,
  stress,
  answer,
  tension,
}: Pick<SolvedPass, "model" | "problem" | "solution" | "stress" | "answer" | "tension">): GrownRing | null {
  if (!tension) return null;
  const { average } = answer.root;
  const pressed = -alongPitch(problem, solution.displacement);
  if (!(average.opening > 0 && pressed > 0)) return null;
  const even = tensioned(tension);
  const by = pressed / alongPitch(problem, even.displacement);
  const raised = pathAverage(
    acrossCuts(model, evaluator(problem, even, even.stress)),
    pathPoints(average.x, average.y, average.dx, average.dy, average.distance),
  );
  const share = raised ? (by * raised.opening) / average.opening : 0;
  if (share < LEAST_TOLD) return null;
  return {
    share,
    solution: { displacement: solution.displacement.map((u, k) => u + by * even.displacement[k]) },
    stress: stress.map((s, k) => s + by * even.stress[k]),
  };
}

/** The whole field of an even tension of 1 MPa. Stress is recovered of the part that repeats with the strip. */
function tensioned({ problem, displacement: rest }: EvenTension) {
  const { d11, d12 } = elasticity(problem.material);
  const strain = [d11, -d12].map((d) => d / (d11 * d11 - d12 * d12));
  const { xy } = problem.mesh;
  const displacement = rest.map((u, k) => u + strain[k % 2] * xy[k]);
  const stress = recoverStress(problem, { displacement: rest });
  for (let k = 0; k < stress.length; k += 3) stress[k] += 1;
  return { displacement, stress };
}

/**
 * Integral of the stress along the pitch over the volume, N·mm: the work of the internal forces where the strip is stretched evenly. It is
 * the elements' own integral, and wrong by no more than the square of their error.
 */
function alongPitch(problem: Problem, displacement: Float64Array): number {
  const { xy } = problem.mesh;
  const forces = new Float64Array(xy.length);
  internalForces(problem, displacement, forces);
  let sum = 0;
  for (let k = 0; k < xy.length; k += 2) sum += xy[k] * forces[k];
  return sum;
}
