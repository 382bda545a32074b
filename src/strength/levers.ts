import { type Design, lengthWords } from "../design/index.ts";
import { largestRootRadius, withRootRadius } from "./withRootRadius.ts";

/** A change of the part itself that may let its root stand more. */
export interface Lever {
  /** "a larger root radius", and what it is then: "R0.8 mm". */
  readonly words: string;
  readonly at: string;
  readonly design: Design;
}

/** What a lever brings: the most that the part then stands at any hardness, over what it stands so now, less one. */
export interface Gain extends Pick<Lever, "words" | "at"> {
  readonly gain: number;
}

/** Radius of the loaded root, mm; unbounded where it is as large as it can be. */
export function loadedRadius({ profile }: Design): number {
  const radius =
    profile.kind !== "face tooth"
      ? profile.rootRadius
      : profile.loadedFlank === "drive"
        ? profile.driveRootRadius
        : profile.overrunRootRadius;
  return radius === "full" ? Number.POSITIVE_INFINITY : radius;
}

/** A wall is tried that many times as thick. */
const THICKER = 1.5;

/** A radius half-way to the largest that fits, and a wall half as thick again; a wall held fast on its far side is none. */
export function leversOf(design: Design): Lever[] {
  return [...radiusLever(design), ...wallLever(design)];
}

function radiusLever(design: Design): Lever[] {
  const own = loadedRadius(design);
  // told as it is tried, in hundredths
  const radius = Math.floor(50 * (own + largestRootRadius(design)) + 1e-6) / 100;
  if (!(radius > 1.02 * own && Number.isFinite(radius))) return [];
  const { profile, units } = design;
  const root = profile.kind === "face tooth" ? `${profile.loadedFlank} root` : "root";
  return [
    {
      words: own === 0 ? `a radius in place of the sharp ${root}` : `a larger ${root} radius`,
      at: `R${lengthWords(units).length(radius)}`,
      design: withRootRadius(design, radius),
    },
  ];
}

function wallLever(design: Design): Lever[] {
  const { profile, units, load } = design;
  if (load.reaction === "held") return [];
  const say = lengthWords(units);
  if (profile.kind === "face tooth") {
    const baseThickness = THICKER * profile.baseThickness;
    return [
      {
        words: "a thicker base under the teeth",
        at: say.length(baseThickness, 3),
        design: { ...design, profile: { ...profile, baseThickness } },
      },
    ];
  }
  const more = (THICKER - 1) * (profile.backDiameter - profile.rootDiameter);
  const backDiameter = profile.backDiameter + more;
  if (!(backDiameter > 0)) return [];
  return [
    {
      words: "a thicker wall behind the teeth",
      at: `${profile.kind === "internal spline" ? "rim" : "bore"} ${say.length(backDiameter, 3)}`,
      design: { ...design, profile: { ...profile, backDiameter } },
    },
  ];
}
