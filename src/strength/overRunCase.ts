import { type Design, DesignError, type FaceToothProfile, filletEnd, flankEnd } from "../design/index.ts";
import { buildProfile } from "../profile/index.ts";

/**
 * The design as over-running loads it. A spline's two flanks are alike, so that torque turned round loads its root just as hard: its own
 * load case serves. Face teeth have another: over-running pushes their over-run flank, and with the friction of over-running.
 */
export function overRunCase(design: Design): Design {
  const { profile, overRun } = design;
  if (!overRun || profile.kind !== "face tooth") return design;
  // the ring backs out up the ramp, and friction drags the tooth towards its tip: the more of it, the harder the root is bent
  const load = { ...design.load, friction: Math.max(design.load.friction, overRun.friction[1]) };
  if (profile.loadedFlank === "over-run")
    return load.friction === design.load.friction ? design : { ...design, load };
  const asGiven: FaceToothProfile = { ...profile, loadedFlank: "over-run" };
  return {
    ...design,
    profile: profile.contactGiven && fits(asGiven) ? asGiven : onWholeFlank(asGiven),
    load,
  };
}

/** True where over-running is a load case of its own, which must be solved besides. */
export const hasOverRunCase = (design: Design): boolean => overRunCase(design) !== design;

/** Contact from the end of the over-run fillet to the tip, as a part file that says nothing gets it. */
function onWholeFlank(profile: FaceToothProfile): FaceToothProfile {
  const { overrunAngle, overrunRootRadius } = profile;
  const to = flankEnd(profile, overrunAngle);
  const from = Math.min(filletEnd(overrunAngle, overrunRootRadius), 0.9 * to);
  return { ...profile, contact: [from, to], contactGiven: false };
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
