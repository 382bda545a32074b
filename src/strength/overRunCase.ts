import { type Design, DesignError, type FaceToothProfile, filletEnd, flankEnd } from "../design/index.ts";
import { buildProfile, LEAST_BAND, largestFillet } from "../profile/index.ts";
import { mirroredLoad } from "./mirroredLoad.ts";

/**
 * The design as over-running loads it. A spline's two flanks are alike, so that torque turned round loads its root just as hard: its own
 * load case serves, or its mirror image where named teeth carry in a pattern that has one. Face teeth have another: over-running pushes
 * their over-run flank, and with the friction of over-running.
 */
export function overRunCase(design: Design): Design {
  const { profile, overRun, ...rest } = design;
  if (!overRun) return design;
  if (profile.kind !== "face tooth") {
    const load = mirroredLoad(design.load);
    // it is the case itself, and has none
    return load ? { ...rest, profile, load } : design;
  }
  // the ring backs out up the ramp, and friction drags the tooth towards its tip, which bends most roots harder; what the low end of the
  // friction loads harder, contact pressure and thin bases, is not solved (docs/strength.md)
  const load = { ...design.load, friction: Math.max(design.load.friction, overRun.friction[1]) };
  if (profile.loadedFlank === "over-run")
    return load.friction === design.load.friction ? design : { ...design, load };
  return { ...design, profile: otherFlank(profile), load };
}

/** A given contact of which the other flank has less than this share is not that flank's at all. */
const LEAST_SHARE = 0.2;

/**
 * The tooth loaded on its other flank: over the given contact heights as far as that flank goes, or over the whole of it where it
 * has next to nothing of them.
 */
function otherFlank(profile: FaceToothProfile): FaceToothProfile {
  const asGiven: FaceToothProfile = {
    ...profile,
    loadedFlank: profile.loadedFlank === "drive" ? "over-run" : "drive",
  };
  if (!profile.contactGiven) return onWholeFlank(asGiven);
  if (fits(asGiven)) return asGiven;
  const whole = onWholeFlank(asGiven);
  const [from, to] = profile.contact;
  const contact = [Math.max(from, whole.contact[0]), Math.min(to, whole.contact[1])] as const;
  const trimmed = { ...asGiven, contact };
  return contact[1] - contact[0] >= LEAST_SHARE * (to - from) && fits(trimmed) ? trimmed : whole;
}

/**
 * The design as a torque turned round loads it, where shocks reverse; null where the loaded flank's own field serves, the flanks being mirror
 * images and the teeth that carry too.
 */
export function reverseCase(design: Design): Design | null {
  const { profile, strength, overRun: _overRun, ...rest } = design;
  if (!rest.steel || !strength || !(strength.torqueRatio < 0)) return null;
  const mirrored = mirroredLoad(rest.load);
  if (profile.kind !== "face tooth") return mirrored && { ...rest, profile, strength, load: mirrored };
  const { driveAngle, overrunAngle, driveRootRadius, overrunRootRadius } = profile;
  if (driveAngle === overrunAngle && driveRootRadius === overrunRootRadius && !mirrored) return null;
  return { ...rest, profile: otherFlank(profile), strength };
}

/** True where over-running is a load case of its own, which must be solved besides. */
export const hasOverRunCase = (design: Design): boolean => overRunCase(design) !== design;

/** Contact from the end of the loaded flank's fillet to the tip, as a part file that says nothing gets it. */
function onWholeFlank(profile: FaceToothProfile): FaceToothProfile {
  const [angle, radius] =
    profile.loadedFlank === "over-run"
      ? [profile.overrunAngle, profile.overrunRootRadius]
      : [profile.driveAngle, profile.driveRootRadius];
  const to = flankEnd(profile, angle);
  const from = filletEnd(angle, radius === "full" ? closingRadius(profile) : radius);
  // a radius that fits a flank that bears nothing may leave it less than a default contact must have; that is loaded as if it had been given
  return { ...profile, contact: [from, to], contactGiven: from > (1 - LEAST_BAND) * to };
}

/** Radius that "full" is on the loaded side, which the profile as the part file has it cuts where nothing bears. */
function closingRadius(profile: FaceToothProfile): number {
  const loadedFlank = profile.loadedFlank === "drive" ? "over-run" : "drive";
  return largestFillet({ ...profile, loadedFlank }, "unloaded").radius;
}

function fits(profile: FaceToothProfile): boolean {
  try {
    buildProfile(profile);
    return true;
  } catch (error) {
    if (error instanceof DesignError) return false;
    throw error;
  }
}
