import type { Profile } from "./design.ts";

/** Is the flank that over-running pushes the one that is loaded? */
export const loadsOverRunFlank = (profile: Profile): boolean =>
  profile.kind === "face tooth" && profile.loadedFlank === "over-run";

/**
 * Friction on the loaded flank where the part file gives none: that of over-running, at its high end, where the flank that
 * over-running pushes is the loaded one; else none. `band` is over-running's, absent where the part does not over-run.
 */
export const ownFriction = (overRunFlank: boolean, band: readonly [number, number] | undefined): number =>
  overRunFlank && band ? band[1] : 0;
