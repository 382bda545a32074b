import type { Design } from "../../design/index.ts";
import { type ProfileOutline, splineFlank, straightThicknessAt } from "../../profile/index.ts";

/** A section square across a tooth, mm. */
export interface ToothSection {
  /** Distance from the root line. */
  readonly height: number;
  readonly thickness: number;
  /** Lever of what is pressed on above the section: from it to the middle of that, and what a pull towards the tip adds. */
  readonly arm: number;
  /** That pull over the force across the tooth; 0 where the load presses towards the root. */
  readonly pull: number;
  /** Share of the force across the tooth that is pressed on above it. */
  readonly share: number;
}

/** Sections from the root line to the foot of the contact band, and from there to its end. */
const BELOW = 16;
const WITHIN = 16;
/** Places at which the load above a section is read. */
const PLACES = 8;

/**
 * Sections of a tooth from its root line, the first, to the end of its contact. An even pressure p pushes it across with p b for each unit of
 * height, however its flank is shaped, so a section bears the share of the band above it. A tooth that tapers and is loaded near its tip
 * may give in above its root. A flank that leans by γ, with friction μ = tan φ towards the tip, is pulled along the tooth with tan(φ − γ) times
 * the force across: where that is towards the tip it bends the tooth further and stretches it. Where it presses towards the root it takes
 * more off the bending than it adds, and is not counted.
 */
export function toothSections(
  { profile, load }: Pick<Design, "profile" | "load">,
  built: ProfileOutline,
): ToothSection[] {
  const flank = loadedFlank(profile, built);
  const [foot, end] = bandHeights(profile, built);
  const heights: number[] = [];
  for (let k = 0; k <= BELOW; k++) heights.push((foot * k) / BELOW);
  for (let k = 1; k < WITHIN; k++) heights.push(foot + ((end - foot) * k) / WITHIN);
  return [...new Set(heights)].flatMap((height, k) => {
    const thickness = k === 0 ? built.rootThickness : flank.thickness(height);
    if (!(thickness > 0)) return [];
    const from = Math.max(height, foot);
    let along = 0;
    let turning = 0;
    for (let i = 0; i < PLACES; i++) {
      const at = from + ((i + 0.5) / PLACES) * (end - from);
      const slope = Math.tan(flank.lean(at));
      const pull = (load.friction - slope) / (1 + load.friction * slope);
      along += pull / PLACES;
      turning += (pull * flank.offset(at, height)) / PLACES;
    }
    const pulled = along > 0;
    return [
      {
        height,
        thickness,
        arm: (from + end) / 2 - height + (pulled ? Math.max(0, turning) : 0),
        pull: pulled ? along : 0,
        share: (end - from) / (end - foot),
      },
    ];
  });
}

/** Heights of the contact band over the root line, mm. */
function bandHeights(
  { kind }: Design["profile"],
  { contact, rootRadiusPosition: root }: ProfileOutline,
): [number, number] {
  // of a spline the band is told in diameters, of a face tooth in heights over its root line
  const [a, b] = kind === "face tooth" ? contact : contact.map((diameter) => Math.abs(diameter / 2 - root));
  return a! < b! ? [a!, b!] : [b!, a!];
}

interface LoadedFlank {
  /** Thickness of the tooth straight across, flanks continued without fillets and chamfers; NaN where they do not reach. */
  thickness(height: number): number;
  /** How far the loaded flank leans from the tooth's own direction, rad: positive where the tooth gets narrower. */
  lean(height: number): number;
  /** Distance of that flank at one height from the tooth's middle at another, mm. */
  offset(height: number, middleAt: number): number;
}

function loadedFlank(
  profile: Design["profile"],
  { rootThickness, rootRadiusPosition }: ProfileOutline,
): LoadedFlank {
  if (profile.kind === "face tooth") {
    const drive = profile.loadedFlank === "drive";
    const [loaded, other] = drive
      ? [profile.driveAngle, profile.overrunAngle]
      : [profile.overrunAngle, profile.driveAngle];
    const thickness = (height: number) => rootThickness - height * (Math.tan(loaded) + Math.tan(other));
    return {
      thickness,
      lean: () => loaded,
      offset: (height, middleAt) => thickness(middleAt) / 2 - (height - middleAt) * Math.tan(loaded),
    };
  }
  const tipward = profile.kind === "external spline" ? 1 : -1;
  const flank = splineFlank(profile);
  const radius = (height: number) => rootRadiusPosition + tipward * height;
  const thickness = (height: number) => straightThicknessAt(profile, 2 * radius(height));
  return {
    thickness,
    lean: (height) => -tipward * flank.direction(flank.placeAt(radius(height))),
    offset: (height) => thickness(height) / 2,
  };
}
