import type { Problem } from "./problem.ts";

/** What a solution says of its own energy. */
interface Energies {
  readonly displacement: Float64Array;
  readonly strainEnergy: number;
  readonly halfWork: number;
}

/** Gaps between strain energy and half the work up to this share are no loss to any answer. */
const GAP = 1e-9;

/**
 * Clapeyron's theorem holds for the discrete solution: strain energy is half the work. Rounding of the stiffness K to K + δK leaves a
 * gap of ½ uᵀδK u between the two, while the residual of K u = f stays that of rounding; the longer and thinner a part, the softer it is
 * against its own stiffness and the wider the gap. A part that is moved far and strained little shows one too, which is no error: there
 * it is rounding of the work along the motion.
 */
export function energiesAgree({ strainEnergy, halfWork }: Energies): boolean {
  const size = Math.max(Math.abs(strainEnergy), Math.abs(halfWork));
  return Math.abs(strainEnergy - halfWork) <= GAP * size;
}

/** Strain under 1e-10 of what elements turn, or under 1e-13 of how far they move, is that of no part that carries anything; squared, as energies go. */
const OF_TURN = 1e-20;
const OF_SHIFT = 1e-26;

/** True of a part that its supports move and turn and do not strain: what strain there is is rounding of the motion. */
export function isUnstrained(
  { mesh, material, thickness }: Problem,
  { displacement: u, strainEnergy }: Energies,
): boolean {
  const { elements } = mesh;
  let squares = 0;
  for (let e = 0; e < elements.length; e += 6) {
    const i = 2 * elements[e];
    squares += OF_SHIFT * (u[i] ** 2 + u[i + 1] ** 2);
    for (let a = 1; a < 6; a++) {
      const j = 2 * elements[e + a];
      squares += OF_TURN * ((u[j] - u[i]) ** 2 + (u[j + 1] - u[i + 1]) ** 2);
    }
  }
  return strainEnergy <= material.E * thickness * squares;
}
