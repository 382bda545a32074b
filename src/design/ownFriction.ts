import type { Profile } from "./design.ts";

/**
 * Friction on the loaded flank where the part file gives none: that of over-running, at its high end, where the flank that
 * over-running pushes is the loaded one; else none. `band` is over-running's, absent where the part does not over-run.
 */
export const ownFriction = (
  loadedFlank: Extract<Profile, { kind: "face tooth" }>["loadedFlank"] | undefined,
  band: readonly [number, number] | undefined,
): number => (loadedFlank === "over-run" && band ? band[1] : 0);
