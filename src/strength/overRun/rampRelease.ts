/**
 * Ramp teeth, sliding splines and friction: statics of an inclined plane (Coulomb friction). Angles rad; a ramp's angle β
 * is measured from the shaft's axis (0: a square tooth, negative: a back-cut). N, mm, N·mm.
 */

import { halve } from "../../numerics/index.ts";

export { OILED_BAND } from "../../design/index.ts";

/** φ = atan μ. */
export const frictionAngle = (mu: number): number => Math.atan(mu);

export interface RampForces {
  /** Force round the axis, T / R. */
  readonly tangential: number;
  /** Axial force with which the halves part, Ft tan(β − φ); negative: what would have to be added to part them. */
  readonly axial: number;
  /** β ≤ φ: no torque parts them. */
  readonly selfHolding: boolean;
}

/** Forces on a ramp under torque T at mean radius R. */
export function rampForces(torque: number, meanRadius: number, ramp: number, mu: number): RampForces {
  checkRamp(ramp, mu);
  const tangential = torque / meanRadius;
  const phi = frictionAngle(mu);
  return { tangential, axial: tangential * Math.tan(ramp - phi), selfHolding: ramp <= phi * (1 + 1e-9) };
}

export interface RampCoupling {
  /** Mean radius of the ramps R and their angle β. */
  readonly meanRadius: number;
  readonly ramp: number;
  /** Spline on which the moving half slides, or null: radius r of its contact and pressure angle α there. */
  readonly spline: { readonly radius: number; readonly pressureAngle: number } | null;
}

/**
 * Torque at which the ramp lifts against an axial spring force Fs: T = Fs / [tan(β − φ)/R − μ/(r cos α)]. The torque also
 * clamps the sliding spline, which the second term is; infinite where the pair is self-holding, whatever the torque.
 */
export function clickOverTorque(coupling: RampCoupling, springForce: number, mu: number): number {
  checkRamp(coupling.ramp, mu);
  const lift = liftPerTorque(coupling, mu);
  // below the rounding of its terms the lift is nothing
  return lift > 1e-12 / coupling.meanRadius ? springForce / lift : Number.POSITIVE_INFINITY;
}

/** Axial force per torque that is left to part the halves, 1/mm; ≤ 0 self-holding. */
function liftPerTorque({ meanRadius, ramp, spline }: RampCoupling, mu: number): number {
  const drag = spline ? mu / (spline.radius * Math.cos(spline.pressureAngle)) : 0;
  return Math.tan(ramp - frictionAngle(mu)) / meanRadius - drag;
}

/**
 * Smallest ramp angle that lets go at all: φ + atan(μ R/(r cos α)); φ alone without a sliding spline. With a spring force and a torque
 * it is the smallest that lets go under that torque: φ + atan(μ R/(r cos α) + R Fs/T).
 */
export function leastRamp(
  { meanRadius, spline }: Omit<RampCoupling, "ramp">,
  mu: number,
  springForce = 0,
  torque = 1,
): number {
  const drag = spline ? (mu * meanRadius) / (spline.radius * Math.cos(spline.pressureAngle)) : 0;
  return frictionAngle(mu) + Math.atan(drag + (meanRadius * springForce) / torque);
}

/** Largest friction at which a coupling still lets go, and whether it does over a whole band of friction. */
export function releaseVerdict(
  coupling: RampCoupling,
  springForce: number,
  friction: readonly [number, number],
): {
  readonly torque: readonly [number, number];
  readonly verdict: "lets go" | "self-holding" | "depends on friction";
  readonly holdsAbove: number;
} {
  const torque = friction.map((mu) => clickOverTorque(coupling, springForce, mu)) as [number, number];
  // a back-cut pulls together at any friction
  const most = Math.max(0, Math.tan(coupling.ramp));
  const [holdsAbove] = halve((mu) => liftPerTorque(coupling, mu) > 0, 0, most, 100);
  const frees = torque.map(Number.isFinite);
  const verdict =
    frees[0] && frees[1] ? "lets go" : frees[0] || frees[1] ? "depends on friction" : "self-holding";
  return { torque, verdict, holdsAbove };
}

function checkRamp(ramp: number, mu: number): void {
  if (!(mu >= 0)) throw new Error(`ramp: a friction of ${mu}`);
  if (!(Math.abs(ramp) < Math.PI / 2))
    throw new Error(`ramp: an angle of ${ramp} rad is not between -90 and 90°`);
}
