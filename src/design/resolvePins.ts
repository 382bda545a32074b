import type { PinChoice, Profile, UnitChoice } from "./design.ts";
import type { FaultSink, Gather } from "./gather.ts";
import { lengthWords } from "./lengthWords.ts";
import { SHEAR_RATIO } from "./overRunDefaults.ts";
import { edgeOf, FAR_OUT } from "./partEdge.ts";
import { placeOf } from "./pinPlace.ts";
import { formatLength, formatStress } from "./units.ts";

/** The pins of one design, defaults filled in; undefined where there are none. `ramps`: their mean radius, mm, NaN where none is known. */
export function resolvePins(g: Gather, profile: Profile | null, ramps: number): PinChoice | undefined {
  if (!g.hasSection("pins")) return undefined;
  if (!g.hasSection("over-run"))
    g.fault(
      "pins",
      "pins shear in over-running, and nothing is said of that",
      'add a section "over-run:" with spring force, ramp angle and mean radius, or leave the pins out',
    );
  g.alternatives("pins", "");
  const count = g.need("pins", "count");
  const diameter = g.need("pins", "diameter");
  const radius = g.need("pins", "radius");
  const planes =
    g.number("pins", "shear planes") ??
    g.take("pins.shear planes", 1, "1", "single shear; common practice, no source");
  checkPins(g, profile, { count, diameter, radius }, ramps);
  const shearStrength = shear(g);
  return shearStrength && { count, diameter, radius, planes, shearStrength };
}

/** Refuses pins that overlap, or stand where the part has no metal. */
export function checkPins(
  g: FaultSink,
  profile: Profile | null,
  { count, diameter, radius }: Pick<PinChoice, "count" | "diameter" | "radius">,
  ramps: number,
): void {
  if (diameter >= 2 * radius)
    g.fault(
      "pins.diameter",
      `pins of ${formatLength(diameter, g.units)} reach the middle of a circle of radius ${formatLength(radius, g.units)}`,
      `use less than ${lengthWords(g.units).atMost(2 * radius)}`,
    );
  else if (count > 1 && diameter >= 2 * radius * Math.sin(Math.PI / count))
    g.fault(
      "pins.diameter",
      `${count} pins of ${formatLength(diameter, g.units)} overlap on a circle of radius ${formatLength(radius, g.units)}`,
      `use less than ${lengthWords(g.units).atMost(2 * radius * Math.sin(Math.PI / count))}, or fewer pins`,
    );
  else if (profile && radius > FAR_OUT * edgeOf(profile))
    g.fault(
      "pins.radius",
      `${formatLength(radius, g.units)} lies far outside the teeth, which end at a radius of ${formatLength(edgeOf(profile), g.units)}`,
      "look at its unit, and at that of the other",
    );
  else if (profile) checkPlace(g, profile, { radius, diameter }, ramps);
}

/** Refuses pins that reach out of the metal of the part. */
function checkPlace(
  g: FaultSink,
  profile: Profile,
  { radius, diameter }: Pick<PinChoice, "radius" | "diameter">,
  ramps: number,
): void {
  const internal = profile.kind === "internal spline";
  const { inside, outside } = placeOf(profile, ramps);
  const [least, most] = [inside + diameter / 2, outside - diameter / 2];
  // a figure that is missing or was refused is NaN, and nothing follows from it
  if (!(radius > most || radius < least)) return;
  const say = lengthWords(g.units);
  const where =
    radius > most ? "reach outside the part" : internal ? "reach into its teeth" : "reach into its bore";
  g.fault(
    "pins.radius",
    `pins of ${formatLength(diameter, g.units)} at ${formatLength(radius, g.units)} ${where}`,
    least > most
      ? "use thinner pins"
      : `use ${[inside > 0 ? `${say.atLeast(least)} or more` : "", Number.isFinite(most) ? `${say.atMost(most)} or less` : ""].filter(Boolean).join(", ")}`,
  );
}

/** Pins stand in the hub about a shaft, close to its teeth; twice as far out their diameter was written for the radius. */
const HUB = 2;

/** Pins outside face teeth or a rim, or far from the teeth of a shaft, stand in a part of the ring that the file says nothing of. */
export function pinNotices(
  pins: PinChoice | undefined,
  profile: Profile | null,
  units: UnitChoice,
): string[] {
  if (!pins || !profile) return [];
  const outside = edgeOf(profile);
  const shaft = profile.kind === "external spline";
  if (!(shaft ? pins.radius > HUB * outside : pins.radius + pins.diameter / 2 > outside)) return [];
  const where = {
    "internal spline": ["outside the rim, which ends", "on a flange that reaches beyond it"],
    "external spline": ["far outside the teeth, which end", "in a hub that reaches that far"],
    "face tooth": ["outside the teeth, which end", "in a ring that reaches beyond them"],
  }[profile.kind];
  return [
    `the pins stand ${where[0]} at a radius of ${formatLength(outside, units)}: ${where[1]}; pins.radius is a radius, half the diameter of their circle`,
  ];
}

function shear(g: Gather): readonly [number, number] | undefined {
  const given = g.read("pins", "shear strength");
  if (given?.as === "window") return [given.low, given.high];
  const tensile = g.read("pins", "tensile strength");
  if (given === undefined && tensile === undefined)
    g.missing("pins", "shear strength", "neither it nor the tensile strength is given");
  if (tensile?.as !== "window") return undefined;
  const { low, high } = SHEAR_RATIO;
  const band = [low * tensile.low, high * tensile.high] as const;
  g.note(
    "pins.shear strength",
    `${formatStress(band[0], g.units)} to ${formatStress(band[1], g.units)}`,
    `${low} to ${high} of the tensile strength: 0.67 after Shigley, 0.6 for high-strength steel (from memory), to 0.75 (common practice)`,
  );
  return band;
}
