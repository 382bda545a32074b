/** The round shaft inside an external spline's roots, mm. */
export interface Shaft {
  readonly diameter: number;
  /** Diameter of the hole through it; 0 solid. */
  readonly bore: number;
}

export const TWIST_SOURCE = "theory of torsion of round bars, fully plastic; shear yield by von Mises";

/**
 * Torque that a round shaft carries when the shear stress is `shear` over its whole section: π τ (D³ − d³) / 12, N·mm. It is a third
 * more than that of first yield for a solid shaft (A. Nadai, Theory of Flow and Fracture of Solids, from memory).
 */
export function plasticTwist(shear: number, { diameter, bore }: Shaft): number {
  return (Math.PI * shear * (diameter ** 3 - bore ** 3)) / 12;
}

/** Torque at which its surface has that shear stress: π τ (D⁴ − d⁴) / (16 D), N·mm. */
export function elasticTwist(shear: number, { diameter, bore }: Shaft): number {
  return (Math.PI * shear * (diameter ** 4 - bore ** 4)) / (16 * diameter);
}
