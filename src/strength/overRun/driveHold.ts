import type { Design, FaceToothProfile } from "../../design/index.ts";
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
  /** Torque of the shock on the whole part, or the required torque where that is more; of the flank that comes second, what comes back on it. */
  readonly torque: number;
  /** That times the margin wanted. */
  readonly wanted: number;
  /** Force that parts them at that torque, at low and at high friction, without springs and sliding spline; negative: friction holds. */
  readonly thrust: readonly [number, number];
  /** Springs that hold them together; null where the part file tells none. */
  readonly springForce: number | null;
  /**
   * Torque at which they part against the springs and the drag of the spline that the ring slides on, at low and at high friction; null: at
   * none, friction holds.
   */
  readonly partsAt: readonly [number | null, number | null];
  /** The same at low friction, were there no drag. */
  readonly partsFreeAt: number | null;
}

/** The flank that pushes the halves apart hardest, and the share of the torque on it. */
function pushingFlank(
  { driveAngle, overrunAngle, loadedFlank }: FaceToothProfile,
  { load, overRun, strength }: Design,
  friction: number,
) {
  const drive = { flank: "drive" as const, angle: driveAngle };
  if (overRun) return { ...drive, share: 1 };
  const back = { flank: "over-run" as const, angle: overrunAngle };
  const [own, other] = loadedFlank === "drive" ? [drive, back] : [back, drive];
  const share = Math.max(0, -(strength?.torqueRatio ?? 0));
  const push = (angle: number, torque: number) => rampForces(torque, 1, angle, friction).axial;
  const turned =
    share > 0 && push(other.angle, share * load.torque) > Math.max(0, push(own.angle, load.torque));
  return turned ? { ...other, share } : { ...own, share: 1 };
}

/** Null for splines, whose flanks push nothing along the axis. */
export function driveHold(design: Design): DriveHold | null {
  const { profile, load, overRun, strength } = design;
  if (profile.kind !== "face tooth") return null;
  const friction = overRun?.friction ?? OILED_BAND;
  const { flank, angle, share } = pushingFlank(profile, design, friction[0]);
  const torque = share * Math.max(load.torque * load.shockFactor, strength?.requiredTorque ?? 0);
  const meanRadius = profile.meanDiameter / 2;
  const parts = (mu: number, spline = overRun?.spline ?? null): number | null => {
    const at = clickOverTorque({ meanRadius, ramp: angle, spline }, overRun?.springForce ?? 0, mu);
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
    partsFreeAt: parts(low, null),
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

/** Whether the teeth stay together by nothing but the drag of the spline that the ring slides on. */
export const heldByDrag = (hold: DriveHold): boolean =>
  holding(hold) === "together" && hold.partsFreeAt !== null && hold.partsFreeAt < hold.wanted;

/** Where shocks reverse: what comes back and the least torque at which that lifts the ring off, N·mm; null where it does not. */
export function clicksOverBack({
  load,
  overRun,
  strength,
}: Design): { readonly back: number; readonly at: number } | null {
  if (!overRun || !strength || strength.torqueRatio >= 0) return null;
  const { meanRadius, rampAngle: ramp, spline, springForce, friction } = overRun;
  const back = -strength.torqueRatio * Math.max(load.torque * load.shockFactor, strength.requiredTorque);
  const at = clickOverTorque({ meanRadius, ramp, spline }, springForce, friction[0]);
  return at < back ? { back, at } : null;
}
