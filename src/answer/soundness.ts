import { nearestNode } from "../mesh/index.ts";
import { NumericalError } from "./numericalError.ts";
import type { VariantResult } from "./result.ts";
import type { SolvedPass } from "./solvePass.ts";
import { stressJump } from "./stressJump.ts";

/** Figures beyond which a result is refused, not printed. */

/** Scaled residual of the equations: round-off is 1e-16 to 1e-14; more says that the factor is not one of this matrix. */
const WORST_RESIDUAL = 1e-9;
/** Torque put on against torque taken up, over the former: both sum the same nodal forces, so only round-off is left. */
const WORST_IMBALANCE = 1e-9;
/** Strain energy, summed element by element, against half the work of the loads: Clapeyron's theorem holds for the discrete solution too. */
const WORST_ENERGY_GAP = 1e-8;
/** What the supports hold under uniform shear, over the force on a tooth: the loads balance, so nothing is left for them to hold. */
const WORST_SUPPORT_FORCE = 1e-7;
/** Smallest angle, degrees: the error of an element grows with one over its sine (I. Babuška and A. K. Aziz, SIAM J. Numer. Anal. 13, 214, 1976, from memory). */
const WORST_ANGLE = 4;
/** Least share of the Jacobian's minimum in its mean: 0 is an element about to turn inside out. */
const WORST_JACOBIAN = 0.05;
/** Area of the mesh against that of the outline: parabolas for arcs of 20° miss some 1e-5 of what lies under them. */
const WORST_AREA_ERROR = 1e-3;
/**
 * Jump of stress between elements round the peak, over the largest stress there (von Mises). First meshes of the reliability study show
 * 0.002 to 0.1, and up to 0.4 where a contact band begins within two sides of the peak; where elements disagree
 * by all of the stress, recovery has nothing to work on.
 */
const WORST_STRESS_JUMP = 1;

/** Figures by which anyone can see whether a solved pass holds together. */
export function soundness(pass: SolvedPass): VariantResult["checks"] {
  const { problem, solution, answer } = pass;
  const { jump, most } = stressJump(problem, solution, answer.isRoot);
  // the mean of a sharp root that next to nothing opens is no measure of what stresses it
  const stressThere = Math.max(answer.reading.scale, answer.root.peakVonMises?.stress ?? 0, most);
  return {
    residual: solution.residual,
    energyGap: Math.abs(solution.strainEnergy - solution.halfWork) / Math.abs(solution.strainEnergy),
    stressJump: jump / stressThere,
    supportForce: supportForce(pass),
  };
}

/** @throws NumericalError naming the first figure out of bounds. */
export function refuseUnsound(
  checks: VariantResult["checks"],
  { imbalance }: { readonly imbalance: number },
  quality: SolvedPass["quality"],
): void {
  const bounds: readonly [what: string, found: number, most: number][] = [
    ["the equations' residual", checks.residual, WORST_RESIDUAL],
    ["the torque imbalance", imbalance, WORST_IMBALANCE],
    ["the gap between strain energy and work", checks.energyGap, WORST_ENERGY_GAP],
    ["what the supports hold, over the force on a tooth,", checks.supportForce ?? 0, WORST_SUPPORT_FORCE],
    [
      "the jump of stress between elements at the root, over the stress there,",
      checks.stressJump,
      WORST_STRESS_JUMP,
    ],
    ["the mesh's area against the outline's", Math.abs(quality.areaError), WORST_AREA_ERROR],
  ];
  for (const [what, found, most] of bounds) {
    if (!(found <= most))
      refuse(`${what} is ${found.toExponential(1)}, over the bound of ${most.toExponential(0)}`);
  }
  if (!(quality.minAngle >= WORST_ANGLE)) {
    refuse(`the mesh has an angle of ${quality.minAngle.toFixed(1)}°, under the bound of ${WORST_ANGLE}°`);
  }
  if (!(quality.minJacobian >= WORST_JACOBIAN)) {
    refuse(
      `the mesh has an element whose Jacobian falls to ${quality.minJacobian.toPrecision(2)} of its mean, ` +
        `under the bound of ${WORST_JACOBIAN}`,
    );
  }
}

function refuse(problem: string): never {
  throw new NumericalError(problem, "this result is not to be trusted; check the dimensions for extremes");
}

/** Largest force at a point support over the force on a tooth; null where a held rim takes the reaction. */
function supportForce({ problem, solution, answer }: SolvedPass): number | null {
  let most = 0;
  for (const { point, edges } of problem.supports) {
    if (edges || !point) return null;
    const node = nearestNode(problem.mesh, ...point);
    most = Math.max(most, Math.hypot(solution.reaction[2 * node], solution.reaction[2 * node + 1]));
  }
  return most / answer.root.nominal.force;
}
