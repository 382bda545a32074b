import { type Design, DesignError, straightFlank } from "../../design/index.ts";
import { buildProfile } from "../../profile/index.ts";

/**
 * The design with another radius at its loaded root, mm, all else as its part file would have it: a contact band that is not given
 * begins where the fillet ends. A full root across the gap stays the radius that it is: beside another it would be a different one.
 */
export function withRootRadius(design: Design, radius: number): Design {
  const { profile } = design;
  if (profile.kind !== "face tooth") return { ...design, profile: { ...profile, rootRadius: radius } };
  const [key, angle, across] =
    profile.loadedFlank === "drive"
      ? (["driveRootRadius", profile.driveAngle, "overrunRootRadius"] as const)
      : (["overrunRootRadius", profile.overrunAngle, "driveRootRadius"] as const);
  const other =
    profile[across] === "full"
      ? { [across]: buildProfile(profile).corners.find(({ side }) => side === "unloaded")!.radius }
      : {};
  const contact = profile.contactGiven ? null : straightFlank(profile, angle, radius);
  return { ...design, profile: { ...profile, ...other, [key]: radius, contact: contact ?? profile.contact } };
}

/** Largest radius, mm to a hundredth, that can be cut at the loaded root of this very design; 0 where only a sharp one can. */
export function largestRootRadius(design: Design): number {
  const fits = (radius: number): boolean => {
    try {
      buildProfile(withRootRadius(design, radius).profile);
      return true;
    } catch (error) {
      if (error instanceof DesignError) return false;
      throw error;
    }
  };
  // what the profile itself calls the largest leaves out what else may be in the way
  const { corners } = buildProfile(withRootRadius(design, 0).profile);
  const most = Math.floor(100 * (corners.find(({ side }) => side === "loaded")?.largestRadius ?? 0) + 1e-6);
  if (fits(most / 100)) return most / 100;
  let low = 0;
  let high = most;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (fits(middle / 100)) low = middle;
    else high = middle;
  }
  return low / 100;
}
