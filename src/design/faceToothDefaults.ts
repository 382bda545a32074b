import type { FaceToothProfile } from "./design.ts";

/** Figures of a face tooth that follow from others where the part file does not give them. All mm and rad. */
type Flanks = Pick<FaceToothProfile, "height" | "driveAngle" | "overrunAngle">;

/** How much narrower a face tooth is at its tip than at the root line. */
export const faceToothTaper = ({ height, driveAngle, overrunAngle }: Flanks): number =>
  height * (Math.tan(driveAngle) + Math.tan(overrunAngle));

/** Inside and outside radius of the teeth. */
export const faceToothRadii = ({
  meanDiameter,
  faceWidth,
}: Pick<FaceToothProfile, "meanDiameter" | "faceWidth">): readonly [inside: number, outside: number] => [
  (meanDiameter - faceWidth) / 2,
  (meanDiameter + faceWidth) / 2,
];

/** Height above the root line at which a tip chamfer cuts off a flank that leans by `angle`. */
export const flankEnd = (
  { height, tipChamfer }: Pick<FaceToothProfile, "height" | "tipChamfer">,
  angle: number,
): number => height - tipChamfer * Math.cos(angle);

/**
 * Height at which an arc touching the root line and the flank leaves the flank; 0 of a full radius, which is settled with the
 * outline.
 */
export const filletEnd = (angle: number, radius: number | "full" | undefined): number =>
  typeof radius === "number" ? radius * (1 - Math.sin(angle)) : 0;

/**
 * The straight flank from the end of the fillet to the chamfer, as two heights above the root line; null when the chamfer
 * takes it all. `angle` and `radius` are the loaded flank's.
 */
export function straightFlank(
  profile: Pick<FaceToothProfile, "height" | "tipChamfer">,
  angle: number,
  radius: number | "full" | undefined,
): readonly [number, number] | null {
  const to = flankEnd(profile, angle);
  if (!(to > 0)) return null;
  // a radius higher than the tooth is refused with the outline, with the largest that fits
  const from = filletEnd(angle, radius);
  return [from < to ? from : 0, to];
}
