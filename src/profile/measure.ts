import type { SplineProfile } from "../design/index.ts";
import { splineFlank } from "./splineFlank.ts";

/** Base circle and thickness of a spline tooth, and the involute function. Angles rad; lengths in the unit they are given in. */

/** Involute function inv φ = tan φ − φ, for 0 ≤ φ < π/2. */
export function inv(angle: number): number {
  // the difference cancels near zero: there the series φ³/3 + 2φ⁵/15 + 17φ⁷/315 is exact to rounding
  if (Math.abs(angle) < 0.01) {
    const a2 = angle * angle;
    return angle * a2 * (1 / 3 + a2 * (2 / 15 + (a2 * 17) / 315));
  }
  return Math.tan(angle) - angle;
}

/** Base circle of an involute spline, mm; null for straight flanks. */
export function baseDiameter(profile: SplineProfile): number | null {
  return profile.flank.form === "involute"
    ? profile.pitchDiameter * Math.cos(profile.flank.pressureAngle)
    : null;
}

/**
 * Tooth thickness, mm, as an arc on the circle of diameter `diameter`; the flanks are taken to run on past tip and
 * root (below the base circle of an external involute: radially). NaN where they do not reach that circle.
 */
export function toothThicknessAt(profile: SplineProfile, diameter: number): number {
  const flank = splineFlank(profile);
  return diameter * flank.halfAngle(flank.placeAt(diameter / 2));
}

/** The same straight across, mm. */
export function straightThicknessAt(profile: SplineProfile, diameter: number): number {
  return diameter * Math.sin(toothThicknessAt(profile, diameter) / diameter);
}
