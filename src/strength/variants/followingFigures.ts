import {
  defaultBack,
  type FaceToothProfile,
  faceToothTaper,
  type Profile,
  type SplineProfile,
  straightFlank,
} from "../../design/index.ts";
import { leavesOut, neitherTells, type Told } from "./leftOut.ts";

/** What of a tooth follows from the rest of it, and so is no change of its own between two variants. */
export interface FollowingFigures {
  readonly keys: readonly string[];
  /** A profile between the two with those figures put right. */
  readonly settle: (profile: Profile) => Profile;
}

const NONE: FollowingFigures = { keys: [], settle: (profile) => profile };

/** What follows in a variant that lies between the two; nothing where they are teeth of different kinds. */
export function followingFigures(from: Told, to: Told): FollowingFigures {
  const [a, b] = [from.profile, to.profile];
  if (a.kind === "face tooth" && b.kind === "face tooth") return ofFaceTooth([from, to], a, b);
  return a.kind !== "face tooth" && b.kind === a.kind ? ofSpline([from, to], a.kind) : NONE;
}

/** Of a spline: a rim or bore that its part file does not give, since it then follows tip and root diameter. */
function ofSpline(both: readonly Told[], kind: SplineProfile["kind"]): FollowingFigures {
  const key = kind === "internal spline" ? "profile.rim diameter" : "profile.bore diameter";
  const backs = both.map((one) => ({
    diameter: one.profile.kind === "face tooth" ? Number.NaN : one.profile.backDiameter,
    given: !leavesOut(one, key),
  }));
  if (backs.every(({ given }) => given)) return NONE;
  /** True of the one's that gives none, where the other does not give the same. */
  const follows = (diameter: number): boolean =>
    backs.some((one) => one.diameter === diameter && !one.given) &&
    backs.every((one) => one.diameter !== diameter || !one.given);
  return {
    keys: backs.some(({ given }) => given) ? [] : ["backDiameter"],
    settle: (profile) =>
      profile.kind === "face tooth" || !follows(profile.backDiameter)
        ? profile
        : { ...profile, backDiameter: defaultBack(profile) },
  };
}

/**
 * Of a face tooth: the tip land where neither part file gives it, or the tooth at half its height is as thick in both, since it then follows
 * pitch and flanks' angles; the base where neither gives it, since it follows the height; and the contact likewise, since it is then what
 * fillet and chamfer leave of the flank.
 */
function ofFaceTooth(both: readonly Told[], a: FaceToothProfile, b: FaceToothProfile): FollowingFigures {
  const thickness = (of: FaceToothProfile) => of.tipLand + faceToothTaper(of) / 2;
  const pitch = (of: FaceToothProfile) => (Math.PI * of.meanDiameter) / of.teeth;
  const ofPitch = neitherTells(both, "profile.tip land");
  const landFollows = ofPitch || Math.abs(thickness(a) - thickness(b)) <= 1e-9 * thickness(a);
  const baseFollows = neitherTells(both, "profile.base thickness");

  /** The figure as one of the two has it, to the last digit, where pitch and flanks are that one's. */
  const land = (of: FaceToothProfile): number => {
    const whose = [a, b].find(
      (one) => faceToothTaper(one) === faceToothTaper(of) && (!ofPitch || pitch(one) === pitch(of)),
    );
    return whose?.tipLand ?? (ofPitch ? pitch(of) / 2 : thickness(a)) - faceToothTaper(of) / 2;
  };
  const base = (of: FaceToothProfile): number =>
    [a, b].find(({ height }) => height === of.height)?.baseThickness ?? of.baseThickness;
  const contact = (of: FaceToothProfile): readonly [number, number] => {
    const drive = of.loadedFlank === "drive";
    const [angle, radius] = drive
      ? [of.driveAngle, of.driveRootRadius]
      : [of.overrunAngle, of.overrunRootRadius];
    return straightFlank(of, angle, radius) ?? of.contact;
  };
  return {
    keys: [
      ...(landFollows ? ["tipLand"] : []),
      ...(baseFollows ? ["baseThickness"] : []),
      ...(a.contactGiven || b.contactGiven ? [] : ["contact"]),
    ],
    settle: (profile) =>
      profile.kind !== "face tooth" || profile === a
        ? profile
        : {
            ...profile,
            ...(landFollows && { tipLand: land(profile) }),
            ...(baseFollows && { baseThickness: base(profile) }),
            ...(!profile.contactGiven && { contact: contact(profile) }),
          },
  };
}
