import {
  type Design,
  DesignError,
  type FaceToothProfile,
  filletEnd,
  flankEnd,
  type Load,
  turnedFriction,
  withFriction,
} from "../../design/index.ts";
import { buildProfile, LEAST_BAND, largestFillet } from "../../profile/index.ts";
import type { RootField } from "../field/rootField.ts";
import { mirroredLoad } from "./mirroredLoad.ts";

/**
 * The design as over-running loads it. A spline's two flanks are alike, so that torque turned round loads its root just as hard: its own
 * load case serves, or its mirror image where named teeth carry in a pattern that has one. Face teeth have others: over-running pushes
 * their over-run flank, with friction from its highest, which comes first, to its lowest. Under one torque the stresses at any friction
 * are a mean of those at the two ends (the tractions are p (1, ±μ), and p the torque's over a sum of the two), so that nothing that grows
 * with them on a convex way is worse between the two.
 */
export function overRunCases(design: Design): readonly [Design] | readonly [Design, Design] {
  const { profile, overRun, ...rest } = design;
  if (!overRun) return [design];
  if (profile.kind !== "face tooth") {
    const load = mirroredLoad(design.load);
    // it is the case itself, and has none
    return [load ? { ...rest, profile, load } : design];
  }
  const turned = profile.loadedFlank === "over-run" ? profile : otherFlank(profile);
  // the ring backs out up the ramp, and friction drags the tooth towards its tip: that bends most roots harder, and takes contact
  // pressure, and load from thin bases
  const of = turned === profile ? design.load : withFriction(design.load, turnedFriction(design.load));
  const at = (friction: number): Design =>
    turned === profile && friction === design.load.friction
      ? design
      : { ...rest, profile: turned, load: atFriction(of, friction) };
  const [low, high] = overRun.friction;
  const highest = Math.max(design.load.friction, high);
  return low < highest ? [at(highest), at(low)] : [at(highest)];
}

/**
 * The tooth loaded on its other flank: over the given contact heights as far as that flank goes, however little that leaves, or over the
 * whole of it where none are given. A flank that has nothing of them is left as it is asked for, and refused when it is cut.
 */
function otherFlank(profile: FaceToothProfile): FaceToothProfile {
  const asGiven: FaceToothProfile = {
    ...profile,
    loadedFlank: profile.loadedFlank === "drive" ? "over-run" : "drive",
  };
  if (!profile.contactGiven) return onWholeFlank(asGiven);
  const whole = onWholeFlank(asGiven);
  const [from, to] = profile.contact;
  const contact = [Math.max(from, whole.contact[0]), Math.min(to, whole.contact[1])] as const;
  return fits(asGiven) || !(contact[1] > contact[0]) ? asGiven : { ...asGiven, contact };
}

/**
 * The design as a torque turned round loads it, where shocks reverse; null where the loaded flank's own field serves, the flanks being mirror
 * images and the teeth that carry too.
 */
export function reverseCase(design: Design): Design | null {
  const { profile, overRun: _overRun, ...rest } = design;
  if (!reverses(design)) return null;
  const mirrored = mirroredLoad(rest.load);
  if (profile.kind !== "face tooth") return mirrored && { ...rest, profile, load: mirrored };
  const { driveAngle, overrunAngle, driveRootRadius, overrunRootRadius } = profile;
  const load = withFriction(rest.load, turnedFriction(rest.load));
  const alike =
    driveAngle === overrunAngle &&
    driveRootRadius === overrunRootRadius &&
    load.friction === rest.load.friction &&
    load.frictionLow === rest.load.frictionLow;
  if (alike && !mirrored) return null;
  return { ...rest, profile: otherFlank(profile), load };
}

/** True where strength is asked for under shocks that reverse. */
export const reverses = ({ steel, strength }: Design): boolean =>
  steel !== null && (strength?.torqueRatio ?? 0) < 0;

/** The same load at one friction. */
export function atFriction({ frictionLow: _low, ...load }: Load, friction: number): Load {
  return { ...load, friction };
}

/** True where over-running is a load case of its own, which must be solved besides. */
export const hasOverRunCase = (design: Design): boolean => overRunCases(design).some((one) => one !== design);

/** The root field of over-running from those of its cases, in their order; null where one of them is. */
export function overRunField([first, second]: readonly (RootField | null)[]): RootField | null {
  if (second === undefined || !first) return first ?? null;
  return second && { ...first, lowFriction: second };
}

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
