import { solvePass } from "../../src/answer/solvePass.ts";
import type { Design, SplineProfile } from "../../src/design/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { buildRootField, type RootField } from "../../src/strength/index.ts";

/** An internal spline as a shop cuts it: 17 teeth, module 2, 30°, in a 56 mm rim. */
export const spline = (changes: Partial<SplineProfile> = {}): SplineProfile => ({
  kind: "internal spline",
  teeth: 17,
  flank: { form: "involute", pressureAngle: Math.PI / 6 },
  pitchDiameter: 34,
  module: 2,
  toothThickness: Math.PI,
  tipDiameter: 32.4,
  rootDiameter: 37,
  backDiameter: 56,
  rootRadius: 0.4,
  tipChamfer: 0,
  contact: [32.4, 36],
  contactGiven: false,
  faceWidth: 16,
  ...changes,
});

export { designOf as design } from "../answer/designs.ts";

/** The root field of a design solved once; a larger fineness is a coarser mesh. */
export function rootOf(asked: Design, fineness = 1): RootField {
  const built = buildProfile(asked.profile);
  return buildRootField(asked, built, solvePass(asked, built, fineness, 400_000), { pushed: true });
}
