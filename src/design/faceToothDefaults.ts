import type { FaceToothProfile } from "./design.ts";

/** Figures of a face tooth that follow from others where the part file does not give them. All mm and rad. */
type Flanks = Pick<FaceToothProfile, "height" | "driveAngle" | "overrunAngle">;

/** How much narrower a face tooth is at its tip than at the root line. */
export const faceToothTaper = ({ height, driveAngle, overrunAngle }: Flanks): number =>
  height * (Math.tan(driveAngle) + Math.tan(overrunAngle));

/**
 * The straight flank from the end of the fillet to the chamfer, as two heights above the root line; null when the chamfer
 * takes it all. `angle` and `radius` are the loaded flank's.
 */
export function straightFlank(
  { height, tipChamfer }: Pick<FaceToothProfile, "height" | "tipChamfer">,
  angle: number,
  radius: number | "full" | undefined,
): readonly [number, number] | null {
  const to = height - tipChamfer * Math.cos(angle);
  if (!(to > 0)) return null;
  // where an arc touching the root line and the flank leaves the flank; a full radius is settled with the outline,
  // and a radius higher than the tooth is refused there with the largest that fits
  const tangency = typeof radius === "number" ? radius * (1 - Math.sin(angle)) : 0;
  return [tangency < to ? tangency : 0, to];
}
