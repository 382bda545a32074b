import type { Design } from "../design/index.ts";
import { designKey } from "./designKey.ts";

/** Share `index` (from 1) of `count`. */
export interface Share {
  readonly index: number;
  readonly count: number;
}

/**
 * Which share (from 1) each of the designs falls to when a run is cut into `count` of them.
 *
 * Depends on what is solved alone, neither on the order of files or variants nor on names: variants that are solved as one
 * stay together. Whole rings and then sharp roots, which take longest, are dealt out first, so that every share gets its
 * number of them; within a kind the order is that of a hash, which knows nothing of sweeps. No two shares differ by more than
 * one in what they solve.
 */
export function shareOut(designs: readonly Design[], count: number): number[] {
  const keys = designs.map((design) => `${heaviness(design)} ${designKey(design, {}, "")}`);
  const shareOf = new Map([...new Set(keys)].sort().map((key, k) => [key, (k % count) + 1]));
  return keys.map((key) => shareOf.get(key)!);
}

function heaviness({ profile, load }: Design): number {
  const sharp =
    profile.kind === "face tooth"
      ? profile.driveRootRadius === 0 || profile.overrunRootRadius === 0
      : profile.rootRadius === 0;
  return (load.sharing.mode === "teeth" ? 0 : 2) + (sharp ? 0 : 1);
}
