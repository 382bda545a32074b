import type { Profile } from "./design.ts";
import { faceToothRadii } from "./faceToothDefaults.ts";

/** Radius, mm, at which face teeth or the teeth of a shaft end, and the rim of a ring with internal teeth. */
export const edgeOf = (profile: Profile): number =>
  profile.kind === "face tooth"
    ? faceToothRadii(profile)[1]
    : profile.kind === "external spline"
      ? Math.max(profile.tipDiameter, profile.rootDiameter) / 2
      : profile.backDiameter / 2;

/** What stands further out than so many times that is told in a wrong unit. */
export const FAR_OUT = 10;
