import type { Fault } from "../design/index.ts";
import { type FaceTooth, otherSide, type ToothSide } from "./faceTooth.ts";
import { type LargestFillet, LEAST_BAND, LEFTOVER } from "./filletLimits.ts";

/** Share of the root that a radius leaves to the other side where that one is to be "full". */
const LEFT_TO_FULL = 0.01;
/** Share of a flank's height that a fillet leaves even where nothing bears on it, so that there is a flank to touch. */
const LEAST_FLANK = 0.02;

/** Largest radius of one side by its contact band alone; null for a flank that bears nothing. */
function flankLimit({ profile, band, chamfer }: FaceTooth, side: ToothSide): LargestFillet {
  // the fillet touches the flank at the setback from the corner, measured along it
  const radiusAt = (height: number) => height / (side.setback * Math.cos(side.angle));
  const tip = profile.height - chamfer * Math.cos(side.angle);
  if (!side.loaded || !band) return { radius: radiusAt((1 - LEAST_FLANK) * tip), limitedBy: "tip" };
  if (profile.contactGiven) return { radius: radiusAt(band[0]), limitedBy: "contact band" };
  // a fifth of the flank up from the root line: a band that nobody gave begins where the fillet ends, and would leave ever less of itself
  const left = LEAST_BAND * profile.contact[1];
  return { radius: radiusAt(band[1] - left), limitedBy: "contact band" };
}

/** Radius that, equal on both sides, closes the root. */
function equalShare({ gap, drive, overrun }: FaceTooth): number {
  return gap / (drive.setback + overrun.setback);
}

function middleLimit(tooth: FaceTooth, side: ToothSide): number {
  const { wanted, setback } = otherSide(tooth, side);
  if (wanted === "full")
    return side.wanted === "full" ? equalShare(tooth) : ((1 - LEFT_TO_FULL) * tooth.gap) / side.setback;
  return Math.max(0, tooth.gap - wanted * setback) / side.setback;
}

/** The largest radius that fits on one side and what limits it; the radius asked for there does not matter. */
export function largestSideRadius(tooth: FaceTooth, side: ToothSide): LargestFillet {
  const middle = middleLimit(tooth, side);
  const flank = flankLimit(tooth, side);
  return middle <= flank.radius ? { radius: middle, limitedBy: "middle of the root" } : flank;
}

export interface SideRadii {
  readonly drive: number;
  readonly overrun: number;
  /** True where the two fillets meet and no land is left. */
  readonly full: boolean;
  readonly notes: readonly string[];
}

/** The radii to cut; null with faults where those asked for do not fit. */
export function chooseSideRadii(tooth: FaceTooth, faults: Fault[]): SideRadii | null {
  const { drive, overrun, gap, say } = tooth;
  const before = faults.length;
  const sides = [drive, overrun];
  const chosen = new Map<ToothSide, number>();
  for (const side of sides) {
    const flank = flankLimit(tooth, side);
    const key = `profile.${side.name} root radius`;
    if (side.wanted === "full") {
      const needed = middleLimit(tooth, side);
      chosen.set(side, needed);
      if (needed > flank.radius * (1 + 1e-9))
        faults.push({
          key,
          problem: `full does not fit: closing the root needs ${say.length(needed, 4)}, and ${flankReason(tooth, flank)}`,
          remedy: remedy(tooth, flank.radius),
        });
      continue;
    }
    chosen.set(side, side.wanted);
    // two numbers that only together are too much are judged below
    const limit = otherSide(tooth, side).wanted === "full" ? largestSideRadius(tooth, side) : flank;
    if (side.wanted > limit.radius * (1 + 1e-9))
      faults.push({
        key,
        problem:
          limit === flank || limit.limitedBy !== "middle of the root"
            ? `${say.length(side.wanted)} does not fit: ${flankReason(tooth, limit)}`
            : overlap(tooth, side),
        remedy: remedy(tooth, Math.min(limit.radius, largestSideRadius(tooth, side).radius)),
      });
  }
  let driveRadius = chosen.get(drive)!;
  let overrunRadius = chosen.get(overrun)!;
  const land = gap - driveRadius * drive.setback - overrunRadius * overrun.setback;
  // "full" took exactly what the other side left; numbers may ask for more than there is
  const bothNumbers = drive.wanted !== "full" && overrun.wanted !== "full";
  if (faults.length === before && bothNumbers && land < -1e-9 * gap) faults.push(...overlapFaults(tooth));
  if (faults.length > before) return null;

  const notes: string[] = [];
  let full = !bothNumbers;
  const larger = driveRadius >= overrunRadius ? drive : overrun;
  if (bothNumbers && driveRadius + overrunRadius > 0 && land < LEFTOVER.land * chosen.get(larger)!) {
    const radius = chosen.get(larger)! + land / larger.setback;
    if (radius <= flankLimit(tooth, larger).radius) {
      full = true;
      if (Math.abs(land) > 1e-9 * gap)
        notes.push(
          `${larger.name} root radius taken as ${say.length(radius, 6)} instead of ${say.length(chosen.get(larger)!, 6)}: the land left would be ${say.length(land, 2)} wide`,
        );
      if (larger === drive) driveRadius = radius;
      else overrunRadius = radius;
    }
  }
  return { drive: driveRadius, overrun: overrunRadius, full, notes };
}

/** Two radii that together are wider than the root: the larger gives way, or both where that is not enough. */
function overlapFaults(tooth: FaceTooth): Fault[] {
  const { drive, overrun, say } = tooth;
  const share = Math.min(
    equalShare(tooth),
    flankLimit(tooth, drive).radius,
    flankLimit(tooth, overrun).radius,
  );
  const first = size(drive) >= size(overrun) ? drive : overrun;
  const largest = largestSideRadius(tooth, first).radius;
  if (largest > 0.5 * share)
    return [
      {
        key: `profile.${first.name} root radius`,
        problem: overlap(tooth, first),
        remedy: remedy(tooth, largest),
      },
    ];
  return [drive, overrun].map((side) => ({
    key: `profile.${side.name} root radius`,
    problem: overlap(tooth, side),
    remedy: `use ${say.atMost(share)} or less on both sides, or 0 for sharp`,
  }));
}

function size({ wanted }: ToothSide): number {
  return wanted === "full" ? 0 : wanted;
}

function overlap(tooth: FaceTooth, side: ToothSide): string {
  return `${tooth.say.length(size(side))} does not fit: with the ${otherSide(tooth, side).name} side's ${otherRadius(tooth, side)} the fillets meet before the middle of the root, which is ${tooth.say.length(tooth.gap)} wide`;
}

function otherRadius(tooth: FaceTooth, side: ToothSide): string {
  const { wanted } = otherSide(tooth, side);
  return wanted === "full" ? "full radius" : tooth.say.length(wanted);
}

function flankReason({ profile, band, say }: FaceTooth, { limitedBy }: LargestFillet): string {
  const text = say.range(0, profile.contact[1]);
  if (limitedBy === "tip") return "the fillet would take the whole flank";
  return profile.contactGiven && band
    ? `the fillet would run into the contact band, which starts ${say.length(band[0])} above the root line`
    : `the fillet would leave less than a fifth of the flank, ${text} above the root line, to bear`;
}

function remedy(tooth: FaceTooth, largest: number): string {
  return largest > 1e-6 * tooth.pitch
    ? `use ${tooth.say.atMost(largest)} or less, or 0 for sharp`
    : "use 0 for sharp";
}
