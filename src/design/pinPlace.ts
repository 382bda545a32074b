import type { PinChoice, Profile } from "./design.ts";
import { edgeOf } from "./partEdge.ts";

/** Largest diameter, mm, of as many pins on the same circle that neither overlap nor reach out of the metal; not reached itself. */
export function largestPin({ count, radius, diameter }: PinChoice, profile: Profile, ramps: number): number {
  const apart = count > 1 ? 2 * radius * Math.sin(Math.PI / count) : 2 * radius;
  const { inside, outside } = placeOf(profile, ramps);
  // a ring of face teeth may go on beyond them, as it does where its pins reach there already
  const edge = profile.kind === "face tooth" ? edgeOf(profile) : outside;
  const within = radius + diameter / 2 <= edge ? 2 * (edge - radius) : 2 * (outside - radius);
  return Math.min(apart, 2 * (radius - inside), within);
}

/**
 * Radii between which pins stand in the metal of the part, mm: of an internal spline between root and rim; beside face teeth, and on the flange
 * that carries ramps beyond the rim (`ramps` being their mean radius, NaN where none is known), wherever the ring goes on.
 */
export function placeOf(
  profile: Profile,
  ramps: number,
): { readonly inside: number; readonly outside: number } {
  if (profile.kind === "face tooth") return { inside: 0, outside: Number.POSITIVE_INFINITY };
  const rim = profile.backDiameter / 2;
  return profile.kind === "internal spline"
    ? { inside: profile.rootDiameter / 2, outside: ramps <= rim ? rim : Number.POSITIVE_INFINITY }
    : // beside an external spline, a shaft, pins stand in the hub; only its bore is no place for them
      { inside: profile.backDiameter / 2, outside: Number.POSITIVE_INFINITY };
}
