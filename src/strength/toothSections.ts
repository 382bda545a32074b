import type { Design } from "../design/index.ts";
import { type ProfileOutline, toothThicknessAt } from "../profile/index.ts";

/** A section square across a tooth, mm. */
export interface ToothSection {
  /** Distance from the root line. */
  readonly height: number;
  readonly thickness: number;
  /** From the section to the middle of what of the contact band lies above it. */
  readonly arm: number;
  /** Share of the force across the tooth that is pressed on above it. */
  readonly share: number;
}

/** Sections from the root line to the foot of the contact band, and from there to its end. */
const BELOW = 16;
const WITHIN = 16;

/**
 * Sections of a tooth between its root line and the end of its contact. An even pressure p pushes it across with p b for each unit of
 * height, however its flank is shaped, so a section bears the share of the band above it. A tooth that tapers and is loaded near its tip
 * may give in above its root.
 */
export function toothSections(profile: Design["profile"], built: ProfileOutline): ToothSection[] {
  const [foot, end] = bandHeights(built);
  const heights: number[] = [];
  // the root line itself stands in the tooth's figures
  for (let k = 1; k <= BELOW; k++) heights.push((foot * k) / BELOW);
  for (let k = 1; k < WITHIN; k++) heights.push(foot + ((end - foot) * k) / WITHIN);
  return heights.flatMap((height) => {
    const thickness = thicknessAt(profile, built, height);
    const from = Math.max(height, foot);
    const share = (end - from) / (end - foot);
    return thickness > 0 && height > 0 ? [{ height, thickness, arm: (from + end) / 2 - height, share }] : [];
  });
}

/** Heights of the contact band over the root line, mm. */
function bandHeights({ contact, rootRadiusPosition: root }: ProfileOutline): [number, number] {
  // of a spline the band is told in diameters, of a face tooth in heights over its root line
  const [a, b] = root === 0 ? contact : contact.map((diameter) => Math.abs(diameter / 2 - root));
  return a! < b! ? [a!, b!] : [b!, a!];
}

/** Thickness straight across, flanks continued without fillets and chamfers; NaN where they do not reach. */
function thicknessAt(profile: Design["profile"], built: ProfileOutline, height: number): number {
  const { rootThickness } = built;
  if (profile.kind === "face tooth")
    return rootThickness + ((profile.tipLand - rootThickness) * height) / profile.height;
  const radius = built.rootRadiusPosition + (profile.kind === "external spline" ? height : -height);
  return 2 * radius * Math.sin(toothThicknessAt(profile, 2 * radius) / (2 * radius));
}
