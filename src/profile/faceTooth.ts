import {
  AS_TOLD,
  degrees,
  type FaceToothProfile,
  type Fault,
  type LengthWords,
  lengthWords,
  type UnitChoice,
} from "../design/index.ts";
import { chamferRemedy } from "./chamferRemedy.ts";
import { LEAST_BAND } from "./filletLimits.ts";

/** Base under the root line, as a share of the tooth's height, below which the plane model means nothing. */
const LEAST_BASE = 0.2;
/** A land left on tip or root is at least this share of the pitch wide. */
const LEAST_LAND = 1e-4;

type Name = "drive" | "over-run";

/** One flank of the tooth, on the +x side of a tooth centred on x = 0; the other side is mirrored. */
export interface ToothSide {
  readonly name: Name;
  /** From the part's axis, rad. */
  readonly angle: number;
  /** x where the flank meets the root line, mm. */
  readonly foot: number;
  /** A fillet of radius ρ touches root line and flank at ρ × this from the corner. */
  readonly setback: number;
  readonly wanted: number | "full";
  readonly loaded: boolean;
}

/** A face tooth with everything settled but its fillets. */
export interface FaceTooth {
  readonly profile: FaceToothProfile;
  readonly drive: ToothSide;
  readonly overrun: ToothSide;
  readonly pitch: number;
  /** Width of the root between the corners of neighbouring teeth, mm. */
  readonly gap: number;
  readonly chamfer: number;
  /** Contact band before the fillet, heights; null where the part file's band is at fault. */
  readonly band: readonly [number, number] | null;
  readonly notes: readonly string[];
  /** How its faults tell lengths. */
  readonly say: LengthWords;
}

/** Checks all but the root radii; null where the faults leave no tooth to speak of. */
export function settleFaceTooth(
  profile: FaceToothProfile,
  faults: Fault[],
  units: UnitChoice,
): FaceTooth | null {
  const say = lengthWords(units);
  const fault = (key: string, problem: string, remedy: string) =>
    faults.push({ key: `profile.${key}`, problem, remedy });
  const { teeth, meanDiameter, height, tipLand, tipChamfer, baseThickness, driveAngle, overrunAngle } =
    profile;

  if (!Number.isInteger(teeth) || teeth < 2)
    fault("teeth", `a face coupling of ${teeth} teeth cannot be drawn`, "use a whole number, 2 or more");
  if (!(meanDiameter > 0))
    fault("mean diameter", `${say.diameter(meanDiameter)} is no circle`, "give a diameter above 0");
  if (!(height > 0)) fault("height", `${say.length(height)} is no height`, "give a height above 0");
  if (!(tipLand > 0)) fault("tip land", `${say.length(tipLand)} is no land`, "give a width above 0");
  for (const [key, angle] of [
    ["drive flank angle", driveAngle],
    ["over-run flank angle", overrunAngle],
  ] as const)
    if (!(angle > -0.5237 && angle < 1.3964))
      fault(key, `${degrees(angle)} from the axis makes no tooth`, "use an angle between -30° and 80°");
  for (const [key, radius] of [
    ["drive root radius", profile.driveRootRadius],
    ["over-run root radius", profile.overrunRootRadius],
  ] as const)
    if (radius !== "full" && !(radius >= 0))
      fault(key, `${say.length(radius)} is no radius`, "use 0 for sharp, a radius, or full");
  if (!(tipChamfer >= 0))
    fault("tip chamfer", `${say.length(tipChamfer)} is no length`, "use 0 for none, or a length");
  if (!(profile.contact[0] < profile.contact[1]))
    fault(
      "contact",
      `the band from ${say.range(profile.contact[0], profile.contact[1])} has no height`,
      "give two heights above the root line, the smaller first",
    );
  if (height > 0 && !(baseThickness >= AS_TOLD * LEAST_BASE * height))
    fault(
      "base thickness",
      `${say.length(baseThickness)} under a tooth ${say.length(height)} high is too thin to carry the root's stress`,
      `use ${say.atLeast(LEAST_BASE * height)} or more; what stands in the part is best`,
    );
  if (faults.some(({ key }) => key !== "profile.base thickness" && key !== "profile.contact")) return null;

  const pitch = (Math.PI * meanDiameter) / teeth;
  const foot = (angle: number) => tipLand / 2 + height * Math.tan(angle);
  const rootWidth = foot(driveAngle) + foot(overrunAngle);
  const gap = pitch - rootWidth;
  const least = LEAST_LAND * pitch;
  const lean = Math.tan(driveAngle) + Math.tan(overrunAngle);
  let sound = true;
  if (rootWidth < AS_TOLD * least) {
    sound = false;
    // only back-cuts narrow the root: the flanks meet at the height where land and lean cancel
    fault(
      "height",
      `the back-cut flanks cross ${say.length(height + tipLand / lean, 4)} above the root line`,
      `use a height of ${say.atMost((tipLand - least) / -lean)} or less, less back-cut, or a wider tip land`,
    );
  }
  if (gap < AS_TOLD * least) {
    sound = false;
    const land = tipLand + gap - least;
    fault(
      "tip land",
      `tip land and flanks take ${say.length(rootWidth)} at the root, and the pitch is ${say.length(pitch)} (π × ${say.diameter(meanDiameter)} / ${teeth})`,
      land > 0
        ? `use a tip land of ${say.atMost(land)} or less, flanks nearer the axis, or fewer teeth`
        : "use flanks nearer the axis, less height, or fewer teeth",
    );
  }
  if (pitch - tipLand < AS_TOLD * least && gap >= AS_TOLD * least) {
    sound = false;
    fault(
      "tip land",
      `a land of ${say.length(tipLand)} leaves no space in a pitch of ${say.length(pitch)} (π × ${say.diameter(meanDiameter)} / ${teeth})`,
      `use ${say.atMost(pitch - least)} or less, or fewer teeth`,
    );
  }
  if (!sound) return null;

  const side = (name: Name, angle: number, wanted: number | "full"): ToothSide => ({
    name,
    angle,
    foot: foot(angle),
    setback: Math.tan(Math.PI / 4 - angle / 2),
    wanted,
    loaded: profile.loadedFlank === name,
  });
  const notes: string[] = [];
  const drive = side("drive", driveAngle, profile.driveRootRadius);
  const overrun = side("over-run", overrunAngle, profile.overrunRootRadius);
  const chamfer = checkChamfer(profile, say, fault);
  const band = settleBand(profile, drive.loaded ? drive : overrun, chamfer, say, fault);
  if (baseThickness < height)
    notes.push(
      `base thickness ${say.length(baseThickness)} is less than the tooth is high: where the reaction is taken then shows in the root stress`,
    );
  return { profile, drive, overrun, pitch, gap, chamfer, band, notes, say };
}

type Report = (key: string, problem: string, remedy: string) => void;

/** The chamfer's leg, mm, or 0 where it is at fault. */
function checkChamfer(profile: FaceToothProfile, say: LengthWords, fault: Report): number {
  const { tipChamfer, tipLand, height, driveAngle, overrunAngle } = profile;
  if (!(tipChamfer > 0)) return 0;
  const land = 0.499 * tipLand;
  const flank = (0.9 * height) / Math.max(Math.cos(driveAngle), Math.cos(overrunAngle));
  if (AS_TOLD * tipChamfer <= Math.min(land, flank)) return tipChamfer;
  fault(
    "tip chamfer",
    land < flank
      ? `${say.length(tipChamfer)} on both sides leaves no tip land of the ${say.length(tipLand)}`
      : `${say.length(tipChamfer)} takes nearly the whole flank`,
    `use ${say.atMost(Math.min(land, flank))} or less, or 0 for none`,
  );
  return 0;
}

function settleBand(
  profile: FaceToothProfile,
  loaded: ToothSide,
  chamfer: number,
  say: LengthWords,
  fault: Report,
): [number, number] | null {
  const [low, high] = profile.contact;
  const { height } = profile;
  if (!(low < high)) return null;
  const end = height - chamfer * Math.cos(loaded.angle);
  const slack = 1e-9 * height;
  const text = say.range(low, high);
  if (profile.contactGiven) {
    if (low < -slack || high > height + slack) {
      fault(
        "contact",
        `the band ${text} runs outside the flank, which spans 0 to ${say.length(height)} above the root line`,
        `keep the band within 0 and ${say.atMost(height, 5)}`,
      );
      return null;
    }
    if (high > end + slack) {
      fault(
        "tip chamfer",
        `${say.length(profile.tipChamfer)} cuts into the contact band ${text}: the flank ends at ${say.length(end)}`,
        chamferRemedy(
          say,
          (height - high) / Math.cos(loaded.angle),
          end > low + slack
            ? `end the band at ${say.atMost(end, 5)}`
            : `keep the band below ${say.atMost(end, 5)}`,
        ),
      );
      return null;
    }
    return [Math.max(0, low), Math.min(end, high)];
  }
  const from = Math.max(0, low);
  const to = Math.min(end, high);
  if (!(to - from >= LEAST_BAND * (high - low))) {
    fault(
      "contact",
      `less than a fifth of the usual band ${text} lies on the flank, which spans 0 to ${say.length(end)}`,
      "give the contact band as two heights on the flank, or a smaller tip chamfer",
    );
    return null;
  }
  return [from, to];
}

export function otherSide(tooth: FaceTooth, side: ToothSide): ToothSide {
  return side === tooth.drive ? tooth.overrun : tooth.drive;
}
