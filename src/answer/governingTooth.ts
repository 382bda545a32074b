import { type Design, formatPercent } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** The tooth whose root lies at a place: its number, 0-based, and how many pitches past its middle the place is. */
export function toothAt(
  { profile }: Design,
  built: ProfileOutline,
  { x, y }: { readonly x: number; readonly y: number },
): { readonly tooth: number; readonly across: number } {
  const pitches =
    profile.kind === "face tooth"
      ? (x * profile.teeth) / (Math.PI * profile.meanDiameter)
      : (Math.atan2(y, x) * built.sectors) / (2 * Math.PI);
  const nearest = Math.round(pitches);
  return { tooth: (nearest + profile.teeth) % profile.teeth, across: pitches - nearest };
}

/** Teeth whose share is this near to the largest carry as much. */
const ALIKE = 0.99;

/** "the root told is that of tooth 5, which carries nothing: …", where it is not that of a tooth that carries most; null where it is. */
export function idleRootNote(
  design: Design,
  built: ProfileOutline,
  place: { readonly x: number; readonly y: number },
): string | null {
  const { sharing } = design.load;
  if (sharing.mode !== "teeth") return null;
  const { tooth } = toothAt(design, built, place);
  const carries = sharing.weights[tooth]!;
  if (carries >= ALIKE * Math.max(...sharing.weights)) return null;
  const share = carries > 0 ? `${formatPercent(carries)} of the torque` : "nothing";
  const body = design.profile.kind === "face tooth" ? "base" : "ring";
  return `the root told is that of tooth ${tooth + 1}, which carries ${share}: what the loaded teeth do to the ${body} opens it further than their own`;
}
