import type { Design } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import {
  elasticity,
  evaluator,
  internalForces,
  type NodalStress,
  type Problem,
  recoverStress,
} from "../solver/index.ts";
import type { RingShape } from "./ringShapes.ts";
import { type FieldAnswer, rootAnswer } from "./rootAnswer.ts";
import type { SolvedPass } from "./solvePass.ts";

/** Less of the root's mean than this is not worth telling, though it counts: the accuracy that is asked for when nobody says otherwise. */
export const LEAST_TOLD = 0.01;

/** The field of a ring in another shape than the strip's, and what it says of the roots. */
export interface ShapedField {
  readonly solution: { readonly displacement: Float64Array };
  readonly stress: NodalStress;
  readonly answer: FieldAnswer;
}

/** A ring of face teeth that changes its shape, against the strip that is solved. */
export interface RingGrowth {
  /** How much more mean opening stress the ring has where it is opened most than the strip has where that is, as a share; 0 where that is too little to tell. */
  readonly share: number;
  /** The same of a ring that is free to dish too, whether or not this one is. */
  readonly dished: number;
  /** Field of the ring grown; null where it would shrink, and the strip's own stands. */
  readonly grown: ShapedField | null;
  /** Field of the ring grown and dished; null where it is kept flat. */
  readonly dish: ShapedField | null;
}

/** Displacements, 2 × nodes, mm, and stress at the nodes. */
interface Field {
  readonly displacement: Float64Array;
  readonly stress: NodalStress;
}

/**
 * What a ring of face teeth that is free to grow, and where the part file says so to dish, has in place of the strip that is solved; null
 * for splines, whose model is the ring itself, and for a ring held along its back.
 *
 * The strip of teeth keeps its pitch. Flanks that lean press its base along the part's axis, and since it cannot grow across that, the
 * pitch is pressed too (ν σ); and a force on one flank that the back takes along the whole pitch presses what lies before it and pulls what
 * lies behind. Nothing holds a ring along its radius, and tangential loads do no work where it grows: by the principle of virtual work it
 * grows until the stress along the pitch, taken over the whole sector, teeth included, is none (∫ σ/r dV = 0, with r the mean radius). Where
 * nothing keeps it flat it turns about its own section until the moment of that stress is none too (∫ σ y/r dV = 0). In plane stress that is the strip's field with
 * an even tension along the pitch, and one that grows with the height.
 */
export function ringGrowth(design: Design, built: ProfileOutline, pass: SolvedPass): RingGrowth | null {
  const { model, loads, problem, solution, stress, answer, shapes } = pass;
  if (!shapes || design.profile.kind !== "face tooth") return null;
  const strip: Field = { displacement: solution.displacement, stress };
  const [grow, turned] = [growing(shapes.grow), dishing(shapes.dish)];
  const [force, moment] = alongPitch(problem, strip);
  const [growForce, growMoment] = alongPitch(problem, grow);
  const [dishForce, dishMoment] = alongPitch(problem, turned);
  const grown = plus(strip, [[-force / growForce, grow]]);
  // the tension with the moment of none, for the dishing alone
  const flat = dishMoment - (growMoment * dishForce) / growForce;
  const turn = -(moment - (growMoment * force) / growForce) / flat;
  const dished = plus(strip, [
    [(-force - dishForce * turn) / growForce, grow],
    [turn, turned],
  ]);
  const read = ({ displacement, stress: nodal }: Field): ShapedField => {
    const field = evaluator(problem, { displacement }, nodal);
    const found = rootAnswer(design, built, model, loads, nodal, field);
    return { solution: { displacement }, stress: nodal, answer: found };
  };
  const mean = ({ root }: FieldAnswer) => root.average.opening;
  const own = mean(answer);
  const more = (field: ShapedField | null) => (field && own > 0 ? mean(field.answer) / own - 1 : 0);
  const told = (share: number) => (share < LEAST_TOLD ? 0 : share);
  // a ring that would shrink is left as the strip has it, which is worse
  const flatOne = force < 0 ? read(grown) : null;
  const dish = read(dished);
  const free = design.profile.keptFlat !== true;
  const [flatShare, dishedShare] = [more(flatOne), more(dish)];
  return {
    share: told(free ? Math.max(flatShare, dishedShare) : flatShare),
    dished: told(dishedShare),
    grown: flatOne,
    dish: free ? dish : null,
  };
}

const plus = (own: Field, shares: readonly (readonly [number, Field])[]): Field => ({
  displacement: own.displacement.map((u, k) =>
    shares.reduce((sum, [by, one]) => sum + by * one.displacement[k], u),
  ),
  stress: own.stress.map((s, k) => shares.reduce((sum, [by, one]) => sum + by * one.stress[k], s)),
});

/** The whole field of an even tension of 1 MPa. */
const growing = (shape: RingShape): Field =>
  whole(
    shape,
    () => 1,
    (x, y, along, across) => [along * x, across * y],
  );

/** That of a tension of y MPa. */
const dishing = (shape: RingShape): Field =>
  whole(
    shape,
    (y) => y,
    (x, y, along, across) => [along * x * y, (across * y * y - along * x * x) / 2],
  );

/**
 * A stress along the pitch with what takes its traction off the surfaces. `along` and `across` are the strains of 1 MPa. Stress is recovered
 * of the part that repeats with the strip.
 */
function whole(
  { problem, displacement: rest }: RingShape,
  tension: (y: number) => number,
  moved: (x: number, y: number, along: number, across: number) => readonly [number, number],
): Field {
  const { d11, d12 } = elasticity(problem.material);
  const [along, across] = [d11, -d12].map((d) => d / (d11 * d11 - d12 * d12));
  const { xy } = problem.mesh;
  const displacement = rest.slice();
  const stress = recoverStress(problem, { displacement: rest });
  for (let i = 0; i < xy.length / 2; i++) {
    const [x, y] = [xy[2 * i], xy[2 * i + 1]];
    const [u, v] = moved(x, y, along, across);
    displacement[2 * i] += u;
    displacement[2 * i + 1] += v;
    stress[3 * i] += tension(y);
  }
  return { displacement, stress };
}

/**
 * Integral of the stress along the pitch over the volume, N·mm, and of its moment, N·mm²: the work of the internal forces where the strip is
 * stretched and bent evenly. They are the elements' own integrals, and wrong by no more than the square of their error.
 */
function alongPitch(problem: Problem, { displacement }: Field): readonly [number, number] {
  const { xy } = problem.mesh;
  const forces = new Float64Array(xy.length);
  internalForces(problem, displacement, forces);
  let force = 0;
  let moment = 0;
  for (let k = 0; k < xy.length; k += 2) {
    const [x, y] = [xy[k], xy[k + 1]];
    force += x * forces[k];
    moment += x * y * forces[k] - (x * x * forces[k + 1]) / 2;
  }
  return [force, moment];
}
