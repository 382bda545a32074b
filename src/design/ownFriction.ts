import type { Profile } from "./design.ts";

/** Is the flank that over-running pushes the one that is loaded? */
export const loadsOverRunFlank = (profile: Profile): boolean =>
  profile.kind === "face tooth" && profile.loadedFlank === "over-run";

/** What the friction of a loaded flank hangs on where the part file gives none; a spline's is none. */
export type FlankOfFriction = Pick<Extract<Profile, { kind: "face tooth" }>, "loadedFlank" | "driveAngle">;

/**
 * Friction on the loaded flank where the part file gives none. `band` is that of over-running, absent where the part does not over-run. Where
 * the flank that over-running pushes is loaded: its high end, which comes first. Where drive flanks that lean are: what holds the teeth
 * together, since along the axis N sin β = F cos β, tan β and no more than there is. Else none.
 */
export function ownFriction(
  flank: FlankOfFriction | null,
  band: readonly [number, number] | undefined,
): number {
  if (!flank || !band) return 0;
  return flank.loadedFlank === "over-run"
    ? band[1]
    : Math.min(band[1], Math.tan(Math.max(0, flank.driveAngle)));
}
