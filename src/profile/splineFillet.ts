import type { Fault } from "../design/index.ts";
import { bisectUp } from "../numerics/index.ts";
import { type FilletLimit, type LargestFillet, LEAST_BAND, LEFTOVER } from "./filletLimits.ts";
import { placeOn, type SplineTooth } from "./splineTooth.ts";

/** The largest radius that fits and what limits it; the radius asked for does not matter. */
export function largestRootRadius(tooth: SplineTooth): LargestFillet {
  const middle = middleFillet(tooth);
  const { place, limitedBy } = touchLimit(tooth);
  // how far the touch has passed the limit, in places towards the tip
  const past = (radius: number) => tooth.tipward * (tooth.flank.fillet(radius).touch - place);
  if (past(middle.radius) <= 0) return middle;
  return { radius: bisectUp(past, tooth.profile.module), limitedBy };
}

/** Share of half a pitch that fillets which meet at the middle of the root may leave by rounding. */
const MEETS = 1e-9;

/**
 * The fillet that meets the other side's at the middle of the root; or the largest that touches the flank at all, where that is less: an
 * internal involute curves the more tightly the nearer it comes to its base circle, and a fillet touches it where its centre is outside that.
 */
function middleFillet({ flank, half, profile }: SplineTooth): LargestFillet {
  const radius = bisectUp((r) => flank.fillet(r).centreAngle - half, profile.module);
  const meets = half - flank.fillet(radius).centreAngle < MEETS * half;
  return { radius, limitedBy: meets ? "middle of the root" : "curve of the flank" };
}

/** The last place on the flank where a fillet may end. */
function touchLimit({ flank, band, profile, flankEnd, tipward }: SplineTooth): {
  place: number;
  limitedBy: FilletLimit;
} {
  if (!band) return { place: flankEnd, limitedBy: "tip" };
  if (profile.contactGiven) return { place: band.root, limitedBy: "contact band" };
  const left = (LEAST_BAND * (profile.contact[1] - profile.contact[0])) / 2;
  return {
    place: placeOn(flank, 2 * (flank.radiusAt(band.tip) - tipward * left)),
    limitedBy: "contact band",
  };
}

export interface RootRadius {
  readonly radius: number;
  /** True where the two fillets meet at the middle of the root. */
  readonly full: boolean;
  readonly notes: readonly string[];
}

/** The radius to cut: the one asked for where it fits, the full one for "full"; null with a fault where it does not. */
export function chooseRootRadius(
  tooth: SplineTooth,
  largest: LargestFillet,
  faults: Fault[],
): RootRadius | null {
  const { profile, flank, half, say } = tooth;
  const wanted = profile.rootRadius;
  const key = "profile.root radius";
  const middle = middleFillet(tooth);
  const smaller =
    largest.radius > 1e-6 * profile.module
      ? `use ${say.atMost(largest.radius)} or less, or 0 for sharp`
      : "use 0 for sharp";
  const remedy = (radius: number) => {
    // the other way out, where the band was given and the root itself has room
    const touch = flank.fillet(radius).touch;
    if (!profile.contactGiven || largest.limitedBy !== "contact band" || radius > middle.radius)
      return smaller;
    if (!(tooth.band && tooth.tipward * (tooth.band.tip - touch) > 0)) return smaller;
    const diameter = 2 * flank.radiusAt(touch);
    return `${smaller}, or ${flank.external ? `start the contact band at ${say.diameterAtLeast(diameter, 5)}` : `end the contact band at ${say.diameterAtMost(diameter, 5)}`}`;
  };
  if (wanted === "full") {
    if (largest.limitedBy === "middle of the root") return { radius: largest.radius, full: true, notes: [] };
    faults.push(
      middle.limitedBy === "curve of the flank"
        ? {
            key,
            problem: `full does not fit: ${[...new Set([reason(tooth, middle), reason(tooth, largest)])].join(", and ")}`,
            remedy: smaller,
          }
        : {
            key,
            problem: `full does not fit: one arc across the root needs ${say.length(middle.radius, 4)}, and ${reason(tooth, largest)}`,
            remedy: remedy(middle.radius),
          },
    );
    return null;
  }
  if (!(wanted >= 0)) return null;
  if (wanted > largest.radius * (1 + 1e-9)) {
    faults.push({
      key,
      problem: `${say.length(wanted)} does not fit: ${reason(tooth, largest)}`,
      remedy: remedy(wanted),
    });
    return null;
  }
  if (wanted === 0) return { radius: 0, full: false, notes: [] };
  const land = ((half - flank.fillet(wanted).centreAngle) * profile.rootDiameter) / 2;
  if (largest.limitedBy === "middle of the root" && land < LEFTOVER.land * wanted) {
    const moved = Math.abs(largest.radius - wanted) > 1e-9 * wanted;
    return {
      radius: largest.radius,
      full: true,
      notes: moved
        ? [
            `root radius taken as ${say.length(largest.radius, 6)}, the full radius, instead of ${say.length(wanted, 6)}: the land left would be ${say.length(2 * land, 2)} wide`,
          ]
        : [],
    };
  }
  // a fillet that ends a hair below the base circle is made to end on it: no sliver of radial line is left
  const { touch } = flank.fillet(wanted);
  const rootRadius = profile.rootDiameter / 2;
  const onBase = ((flank.baseRadius - rootRadius) * (flank.baseRadius + rootRadius)) / (2 * rootRadius);
  if (touch < 0 && -touch * flank.baseRadius < LEFTOVER.land * wanted && onBase <= largest.radius) {
    const moved = onBase - wanted > 1e-9 * wanted;
    return {
      radius: onBase,
      full: false,
      notes: moved
        ? [
            `root radius taken as ${say.length(onBase, 6)} instead of ${say.length(wanted, 6)}, so that it ends on the base circle`,
          ]
        : [],
    };
  }
  return { radius: wanted, full: false, notes: [] };
}

function reason({ profile, flank, band, say }: SplineTooth, { radius, limitedBy }: LargestFillet): string {
  switch (limitedBy) {
    case "middle of the root":
      return "the fillets of both sides meet at the middle of the root";
    case "curve of the flank":
      return `no arc over ${say.atMost(radius)} touches the flank, which curves more tightly towards its base circle ${say.diameter(2 * flank.baseRadius)}`;
    case "tip":
      return "the fillet would take the whole flank";
    case "contact band":
      return profile.contactGiven && band
        ? `the fillet would run into the contact band, whose root end is at ${say.diameter(2 * flank.radiusAt(band.root))}`
        : `the fillet would leave less than a fifth of the usual contact band ${say.diameter(profile.contact[0])} to ${say.diameter(profile.contact[1])}`;
  }
}
