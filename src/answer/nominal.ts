import type { Profile } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import type { RootAnswer } from "./result.ts";

/**
 * Nominal root stress by the short-beam formula 6 W h / (b t²), MPa, that anyone can redo by hand
 * (bending of a rectangular section, any strength-of-materials text; used here without the direct and
 * shear terms, which a root this short would need: that gap is part of Kt).
 *
 * W: force across the tooth, N: the tooth's torque over the radius of the middle of its contact band (face
 * tooth: over the mean radius). h: distance from that middle to the root circle (root line), mm.
 * t: tooth thickness, straight across, where the flanks continued without fillets meet the root circle, mm.
 * b: face width, mm. It does not depend on the root radius, so that variants share one yardstick.
 */
export function nominalStress(
  profile: Profile,
  built: ProfileOutline,
  torquePerTooth: number,
): RootAnswer["nominal"] {
  const lever = profile.kind === "face tooth" ? profile.meanDiameter / 2 : built.bandMiddle;
  const force = torquePerTooth / lever;
  const arm = Math.abs(built.bandMiddle - built.rootRadiusPosition);
  const thickness = built.rootThickness;
  const width = profile.faceWidth;
  const stress = (6 * force * arm) / (width * thickness * thickness);
  return { stress, formula: "6 W h / (b t²)", force, arm, thickness, width };
}
