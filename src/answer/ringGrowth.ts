import type { Design } from "../design/index.ts";
import { type Outline, outlineEdges } from "../geometry/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import {
  evaluator,
  type FactorWorkspace,
  type Problem,
  recoverStress,
  type Traction,
} from "../solver/index.ts";
import type { AddedStress } from "../strength/index.ts";
import { acrossCuts } from "./acrossCuts.ts";
import { FEW_HALVINGS, pathAverage, pathPoints, type StressAt } from "./pathAverage.ts";
import { type SolvedPass, solverOf } from "./solvePass.ts";

/** Less of the root's mean than this is not worth telling: the accuracy that is asked for when nobody says otherwise. */
const LEAST_TOLD = 0.01;
/** A tension along the pitch is raised at a root to no more than this many times itself: 1.7 to 4.7 times on face teeth of 31° to 55°. */
const MOST_RAISED = 6;

/** Traction of an even tension of −1 MPa along the pitch on whatever surface. */
const untension: Traction = (_x, _y, nx, _ny, out) => {
  out[0] = -nx;
  out[1] = 0;
};

/**
 * What a ring of face teeth that is free to grow has more stress than the strip that is solved; null where that is too little at the
 * governing root to tell, and for splines, whose model is the ring itself.
 *
 * The strip of teeth keeps its pitch. Flanks that lean press its base along the part's axis, and since it cannot grow across that, the
 * pitch is pressed too (ν σ). A ring grows in diameter until no force runs round it. In plane stress that is the strip's field and an even
 * tension along the pitch, with what takes its traction off the free surfaces: one load more on the same stiffness.
 */
export function ringGrowth(
  { profile, load }: Design,
  built: ProfileOutline,
  { model, sector, problem, solution, stress, answer }: SolvedPass,
  workspace: FactorWorkspace,
): AddedStress | null {
  if (profile.kind !== "face tooth" || load.reaction === "held") return null;
  const { outline, copies } = model;
  const field = (of: Problem, moved: typeof solution, at: typeof stress): StressAt =>
    acrossCuts(model, evaluator(of, moved, at));
  const own = field(problem, solution, stress);
  const { average } = answer.root;
  const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
  const pressed = -meanAlongPitch(outline, own, pitch, copies);
  if (!(average.opening > 0) || MOST_RAISED * pressed < LEAST_TOLD * average.opening) return null;
  const surfaces = outlineEdges(outline).filter(({ zone }) => zone !== "cut");
  const edges = [...new Set(surfaces.map(({ name }) => name))];
  const stretched: Problem = { ...problem, loads: [{ edges, traction: untension }] };
  const moved = solverOf(stretched, { outline: built.outline, mesh: sector }, copies, workspace).solve();
  const rest = field(stretched, moved, recoverStress(stretched, moved));
  const even: StressAt = (x, y, out) => {
    if (!rest(x, y, out)) return false;
    out[0] += 1;
    return true;
  };
  const tension = pressed / meanAlongPitch(outline, even, pitch, copies);
  const { x, y, dx, dy, distance } = average;
  const raised = pathAverage(even, pathPoints(x, y, dx, dy, distance));
  const share = raised ? (tension * raised.opening) / average.opening : 0;
  if (share < LEAST_TOLD) return null;
  return {
    share,
    at: ([x, y], out) => {
      if (!even(x, y, out)) return false;
      for (let k = 0; k < 3; k++) out[k] *= tension;
      return true;
    },
  };
}

/** Mean stress along the pitch on the cuts between teeth, MPa. */
function meanAlongPitch(outline: Outline, at: StressAt, pitch: number, copies: number): number {
  const cuts = outlineEdges(outline).flatMap(({ zone, curve }) =>
    zone === "cut" && curve.kind === "line" ? [curve] : [],
  );
  const left = Math.min(...cuts.map(({ x0 }) => x0));
  const ends = cuts.flatMap(({ y0, y1 }) => [y0, y1]);
  const bottom = Math.min(...ends);
  const height = Math.max(...ends) - bottom;
  let sum = 0;
  for (let k = 0; k < copies; k++) {
    const mean = pathAverage(at, pathPoints(left + k * pitch, bottom, 0, 1, height, FEW_HALVINGS));
    if (!mean) throw new Error("ringGrowth: a cut between face teeth lies outside the material");
    sum += mean.opening;
  }
  return sum / copies;
}
