/** What stops a fillet from growing. */
export type FilletLimit = "middle of the root" | "curve of the flank" | "contact band" | "tip";

export interface LargestFillet {
  /** mm; 0 where none fits. */
  readonly radius: number;
  readonly limitedBy: FilletLimit;
}

/** Share of a defaulted contact band that must be left once fillet and chamfer have taken theirs. */
export const LEAST_BAND = 0.2;
/**
 * Leftovers shorter than this share of the fillet (root land) or of the band (flank beside it) are closed up, with a
 * note: an edge a thousand times shorter than its neighbours costs elements and says nothing.
 */
export const LEFTOVER = { land: 5e-4, flank: 1e-3 } as const;

/** A mating tooth that reaches as deep as the band did would ride on the fillet: it bears on its own corner, and wedges. */
export const MATE_CLEARS = ": the mating teeth must end, or be chamfered, clear of the fillet there";
