import type { Profile, UnitChoice } from "../design/index.ts";
import { faceToothOutline, largestFaceToothFillet } from "./faceToothOutline.ts";
import type { LargestFillet } from "./filletLimits.ts";
import type { ProfileOutline } from "./profileOutline.ts";
import { largestSplineFillet, splineOutline } from "./splineOutline.ts";

/**
 * One repeating sector of `profile` as a closed outline, with its cut sides tied, its zones named and the
 * edges that carry load and reaction.
 * @param units of the lengths that faults and notes tell. @throws DesignError with every fault found; a `place` in the part file is for the caller to add.
 */
export function buildProfile(profile: Profile, units: UnitChoice = "metric"): ProfileOutline {
  return profile.kind === "face tooth" ? faceToothOutline(profile, units) : splineOutline(profile, units);
}

/**
 * The largest root radius that fits on one side of the tooth, to rounding, and what limits it. A spline's two
 * sides share one radius and so one limit; on a face tooth the other side's radius takes its part of the root.
 * @throws DesignError where the profile is at fault in something else than its root radii.
 */
export function largestFillet(
  profile: Profile,
  side: "loaded" | "unloaded",
  units: UnitChoice = "metric",
): LargestFillet {
  return profile.kind === "face tooth"
    ? largestFaceToothFillet(profile, side, units)
    : largestSplineFillet(profile, units);
}
