import type { Problem } from "./problem.ts";

/**
 * Clapeyron's theorem holds for the discrete solution: strain energy is half the work. Rounding of the stiffness K to K + δK leaves a
 * gap of ½ uᵀδK u between the two, while the residual of K u = f stays that of rounding; the longer and thinner a part, the softer it is
 * against its own stiffness and the wider the gap.
 *
 * @returns |strain energy − half the work| over the larger of them; 0 where it is no loss, and where the part is turned by its supports
 * and not strained: all that is left then is rounding of the turn.
 */
export function energyGap(
  problem: Problem,
  {
    displacement,
    strainEnergy,
    halfWork,
  }: { readonly displacement: Float64Array; readonly strainEnergy: number; readonly halfWork: number },
): number {
  const gap = Math.abs(strainEnergy - halfWork);
  const size = Math.max(Math.abs(strainEnergy), Math.abs(halfWork));
  if (gap <= GAP * size || strainEnergy <= UNSTRAINED * movedEnergy(problem, displacement)) return 0;
  return gap / size;
}

/** Gaps up to this share are no loss to any answer. */
const GAP = 1e-9;

/** Strain under 1e-10 of what elements turn is that of no part that carries anything; squared, as energies go. */
const UNSTRAINED = 1e-20;

/** Strain energy if all differences of displacement within elements were strain, N·mm, but for a factor near one. */
function movedEnergy({ mesh, material, thickness }: Problem, u: Float64Array): number {
  const { elements } = mesh;
  let squares = 0;
  for (let e = 0; e < elements.length; e += 6) {
    const i = 2 * elements[e];
    for (let a = 1; a < 6; a++) {
      const j = 2 * elements[e + a];
      squares += (u[j] - u[i]) ** 2 + (u[j + 1] - u[i + 1]) ** 2;
    }
  }
  return material.E * thickness * squares;
}
