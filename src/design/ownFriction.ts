import type { Load, Profile } from "./design.ts";

/** Is the flank that over-running pushes the one that is loaded? */
export const loadsOverRunFlank = (profile: Profile): boolean =>
  profile.kind === "face tooth" && profile.loadedFlank === "over-run";

/** What the friction of a loaded flank hangs on where the part file gives none; a spline's is none. */
export type FlankOfFriction = Pick<Extract<Profile, { kind: "face tooth" }>, "loadedFlank" | "driveAngle">;

/** What a load tells of friction. */
export type FrictionOf = Pick<Load, "friction" | "frictionLow" | "otherFriction">;

/**
 * Friction on flanks where the part file tells none, lowest and highest. `band` is that of over-running, absent where the part does not over-run.
 * On the flank that over-running pushes it is that band. On drive flanks that lean it reaches from none, springs holding the teeth together, to what
 * holds them without: along the axis N sin β = F cos β, so tan β, and no more than there is. Else none.
 */
export function ownFriction(
  flank: FlankOfFriction | null,
  band: readonly [number, number] | undefined,
): FrictionOf {
  if (!flank || !band) return { friction: 0 };
  const drive = [0, Math.min(band[1], Math.tan(Math.max(0, flank.driveAngle)))] as const;
  const [[low, high], other] = flank.loadedFlank === "over-run" ? [band, drive] : [drive, band];
  return { friction: high, ...(low < high && { frictionLow: low }), otherFriction: other };
}

/** The same of the other flank loaded. */
export function turnedFriction({ friction, frictionLow, otherFriction }: FrictionOf): FrictionOf {
  if (!otherFriction) return { friction };
  const [low, high] = otherFriction;
  const otherwise = [frictionLow ?? friction, friction] as const;
  return { friction: high, ...(low < high && { frictionLow: low }), otherFriction: otherwise };
}

/** A load with that friction in place of its own. */
export function withFriction(
  { friction: _own, frictionLow: _low, otherFriction: _other, ...load }: Load,
  friction: FrictionOf,
): Load {
  return { ...load, ...friction };
}
