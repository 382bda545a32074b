import type { Load, Profile } from "./design.ts";

/** Is the flank that over-running pushes the one that is loaded? */
export const loadsOverRunFlank = (profile: Profile): boolean =>
  profile.kind === "face tooth" && profile.loadedFlank === "over-run";

/** What a load tells of friction. */
export type FrictionOf = Pick<Load, "friction" | "frictionLow" | "otherFriction">;

/**
 * Friction on flanks where the part file tells none, lowest and highest. `band` is that of over-running, absent where the part does not over-run.
 * On the flank that over-running pushes it is that band. On drive flanks that lean it reaches from none, springs holding the teeth together, to what
 * holds them without: along the axis N sin β = F cos β, so tan β, and no more than there is. Else none.
 */
export function ownFriction(profile: Profile | null, band: Ends | undefined): FrictionOf {
  if (profile?.kind !== "face tooth" || !band) return { friction: 0 };
  const drive: Ends = [0, Math.min(band[1], Math.tan(Math.max(0, profile.driveAngle)))];
  return profile.loadedFlank === "over-run" ? between(band, drive) : between(drive, band);
}

/** The same of the other flank loaded. */
export function turnedFriction({ friction, frictionLow, otherFriction }: FrictionOf): FrictionOf {
  return otherFriction ? between(otherFriction, [frictionLow ?? friction, friction]) : { friction };
}

/** Lowest and highest. */
type Ends = readonly [number, number];

const between = ([low, high]: Ends, otherFriction: Ends): FrictionOf => ({
  friction: high,
  ...(low < high && { frictionLow: low }),
  otherFriction,
});

/** A load with that friction in place of its own. */
export function withFriction(
  { friction: _own, frictionLow: _low, otherFriction: _other, ...load }: Load,
  friction: FrictionOf,
): Load {
  return { ...load, ...friction };
}
