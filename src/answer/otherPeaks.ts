import type { PeakReading, Reading } from "./reading.ts";

/** The peaks of all rounded roots of a model, for what is told of them together; empty where a sharp one is among them. */
export interface RootPeaks {
  /** First principals where they are highest, one a root. */
  readonly pulled: readonly PeakReading[];
  /** Von Mises stresses where they are highest, pulled or pushed, one a root. */
  readonly pressed: readonly PeakReading[];
  /** The highest von Mises stress of any root, as it is told, MPa. */
  readonly highestVonMises: number;
}

/** A peak beside the governing reading that may make a number told too low. */
export interface Rival {
  readonly reading: PeakReading;
  /** The number told, MPa. */
  readonly told: number;
}

/** A peak that falls short of the number told by more than this share does not reach it on a finer mesh. */
const IN_REACH = 0.95;

/**
 * Peaks that the accuracy of what is told hangs on besides the governing reading: of the other roots that which may yet outdo it, and the
 * highest von Mises stress of any, which is often that of a pushed root. Meshes are made for the governing reading alone, and what is
 * told of the others may be off by far more. @param bound what recovery may miss of a peak, MPa.
 */
export function rivals(
  reading: Reading,
  { pulled, pressed, highestVonMises }: RootPeaks,
  bound: (peak: PeakReading) => number,
): Rival[] {
  if (reading.kind === "mean") return [];
  const found: Rival[] = [];
  const add = (peaks: readonly PeakReading[], told: number) => {
    let highest: PeakReading | null = null;
    let most = IN_REACH * told;
    for (const peak of peaks) {
      const reach = peak.value + bound(peak);
      if (reach <= most) continue;
      most = reach;
      highest = peak;
    }
    // on the same side of the boundary it is the governing reading again: a free surface knows one stress only
    if (highest && highest.side !== reading.side) found.push({ reading: highest, told });
  };
  if (reading.kind === "peak") {
    const { value } = reading;
    add(
      pulled.filter(({ side }) => side !== reading.side),
      value,
    );
  }
  add(pressed, highestVonMises);
  return found;
}
