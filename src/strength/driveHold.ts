import type { Design, FaceToothProfile } from "../design/index.ts";
import { clickOverTorque, OILED_BAND, rampForces } from "./rampRelease.ts";

/**
 * What keeps face teeth together while they drive. Their drive flanks are ramps too: leaning over by more than the friction angle they
 * push the halves apart. Statics with Coulomb friction; N, N·mm.
 */
export interface DriveHold {
  /** The flank looked at: the drive flank where an over-run section says which lets go; else the loaded one, or the steeper of both in a torque that reverses. */
  readonly flank: "drive" | "over-run";
  /** Its lean from the axis, rad; negative a back-cut. */
  readonly angle: number;
  /** Both ends of the friction, the part file's over-run section's or that of oiled steel. */
  readonly friction: readonly [number, number];
  /** Torque of the shock on the whole part, or the required torque where that is more. */
  readonly torque: number;
  /** That times the margin wanted. */
  readonly wanted: number;
  /** Force that parts them at that torque, at low and at high friction, without springs and sliding spline; negative: friction holds. */
  readonly thrust: readonly [number, number];
  /** Springs that hold them together; null where the part file tells none. */
  readonly springForce: number | null;
  /** Torque at which they part against the springs, at low and at high friction; null: at none, friction holds. */
  readonly partsAt: readonly [number | null, number | null];
}

function pushingFlank(
  { driveAngle, overrunAngle, loadedFlank }: FaceToothProfile,
  overRuns: boolean,
  ratio: number,
): Pick<DriveHold, "flank" | "angle"> {
  const drive = { flank: "drive", angle: driveAngle } as const;
  const back = { flank: "over-run", angle: overrunAngle } as const;
  if (overRuns) return drive;
  if (ratio < 0) return back.angle > drive.angle ? back : drive;
  return loadedFlank === "drive" ? drive : back;
}

/** Null for splines, whose flanks push nothing along the axis. */
export function driveHold({ profile, load, overRun, strength }: Design): DriveHold | null {
  if (profile.kind !== "face tooth") return null;
  const { flank, angle } = pushingFlank(profile, overRun !== undefined, strength?.torqueRatio ?? 0);
  const friction = overRun?.friction ?? OILED_BAND;
  const torque = Math.max(load.torque * load.shockFactor, strength?.requiredTorque ?? 0);
  const meanRadius = profile.meanDiameter / 2;
  const coupling = { meanRadius, ramp: angle, spline: overRun?.spline ?? null };
  const parts = (mu: number): number | null => {
    const at = clickOverTorque(coupling, overRun?.springForce ?? 0, mu);
    return Number.isFinite(at) ? at : null;
  };
  const thrust = (mu: number) => rampForces(torque, meanRadius, angle, mu).axial;
  const [low, high] = friction;
  return {
    flank,
    angle,
    friction: [low, high],
    torque,
    wanted: torque * (strength?.margin ?? 1),
    thrust: [thrust(low), thrust(high)],
    springForce: overRun?.springForce ?? null,
    partsAt: [parts(low), parts(high)],
  };
}

/**
 * Whether the teeth stay together under the torque with its margin: over the whole band of friction, at its high end only, or not even
 * there; "not told" where they do not of themselves and the part file says nothing of springs.
 */
export type Holding = "together" | "at high friction" | "parts" | "not told";

export function holding({ partsAt: [easy, hard], wanted, springForce }: DriveHold): Holding {
  if (easy === null || easy >= wanted) return "together";
  if (springForce === null) return "not told";
  return hard === null || hard >= wanted ? "at high friction" : "parts";
}
