import type { Load, OverRunChoice, Profile } from "./design.ts";
import type { Gather } from "./gather.ts";
import { OILED_BAND } from "./overRunDefaults.ts";
import { checkRampRadius, checkSplineRadius } from "./overRunPlace.ts";
import { formatAngle, formatLength, formatTorque } from "./units.ts";

/**
 * The over-run section of one design, defaults filled in; undefined where there is none. Without a profile or a load the section's own
 * faults are still told.
 */
export function resolveOverRun(
  g: Gather,
  profile: Profile | null,
  load: Load | null,
): OverRunChoice | undefined {
  if (!g.hasSection("over-run")) return undefined;
  const face = profile?.kind === "face tooth" ? profile : null;
  const springForce = g.need("over-run", "spring force");
  const friction = frictionBand(g);

  let rampAngle = g.number("over-run", "ramp angle");
  if (face && rampAngle !== undefined && Math.abs(rampAngle - face.overrunAngle) > 1e-6)
    g.fault(
      "over-run.ramp angle",
      `${formatAngle(rampAngle)} is not the tooth's own over-run flank, ${formatAngle(face.overrunAngle)}`,
      'leave it out, and change "ramp angle" under "profile" instead',
    );
  if (rampAngle === undefined && face)
    rampAngle = g.take(
      "over-run.ramp angle",
      face.overrunAngle,
      formatAngle(face.overrunAngle),
      "the tooth's own over-run flank",
    );
  if (rampAngle === undefined && profile)
    g.missing("over-run", "ramp angle", "a spline has no ramp of its own");

  g.alternatives("over-run", "");
  const across = g.number("over-run", "mean diameter");
  const place = across === undefined ? "mean radius" : "mean diameter";
  let meanRadius = across === undefined ? g.number("over-run", "mean radius") : across / 2;
  if (face && meanRadius !== undefined && Math.abs(meanRadius - face.meanDiameter / 2) > face.faceWidth / 2)
    g.fault(
      `over-run.${place}`,
      `${formatLength(meanRadius, g.units)} lies off the teeth, whose mean radius is ${formatLength(face.meanDiameter / 2, g.units)}`,
      "leave it out",
    );
  if (meanRadius === undefined && face)
    meanRadius = g.take(
      "over-run.mean radius",
      face.meanDiameter / 2,
      formatLength(face.meanDiameter / 2, g.units),
      "half the mean diameter",
    );
  if (meanRadius === undefined && profile)
    g.missing("over-run", "mean radius", "a spline does not tell where its ramps are");

  if (meanRadius !== undefined && profile && profile.kind !== "face tooth")
    checkRampRadius(g, profile, meanRadius, place);

  const spline = slidingSpline(g, profile);
  // told as a diameter it is none by mistake
  if (g.has("over-run", "spline radius") && !g.has("over-run", "spline diameter") && spline && profile)
    checkSplineRadius(g, profile, spline.radius);
  let torque = g.number("over-run", "torque");
  if (torque === undefined && load) {
    const shock = load.torque * load.shockFactor;
    torque = shock;
    if (Number.isFinite(shock))
      g.note("over-run.torque", formatTorque(shock, g.units), "torque × shock factor");
  }
  return {
    rampAngle: rampAngle ?? Number.NaN,
    meanRadius: meanRadius ?? Number.NaN,
    springForce,
    friction,
    spline,
    torque: torque ?? Number.NaN,
  };
}

function frictionBand(g: Gather): readonly [number, number] {
  const given = g.read("over-run", "friction");
  if (given === undefined)
    return g.take(
      "over-run.friction",
      OILED_BAND,
      `${OILED_BAND[0].toFixed(2)}..${OILED_BAND[1].toFixed(2)}`,
      "oiled hardened steel; common practice, no source",
    );
  if (given.as !== "window") return [Number.NaN, Number.NaN];
  if (given.high === 0)
    g.fault(
      "over-run.friction",
      "leaves no friction at all, and steel on steel has some",
      "give a band such as 0.08..0.20, or leave it out",
    );
  return [given.low, given.high];
}

/** The spline on which the ring slides: a spline part's own unless told otherwise, a face tooth's only when told. */
function slidingSpline(g: Gather, profile: Profile | null): OverRunChoice["spline"] {
  const across = g.number("over-run", "spline diameter");
  const radius = across === undefined ? g.number("over-run", "spline radius") : across / 2;
  const angle = g.number("over-run", "spline pressure angle");
  if (profile && profile.kind !== "face tooth") {
    const { flank, pitchDiameter } = profile;
    // a straight flank's angle is from its tooth's centre line, half a tooth from which it leans away from the hoop direction besides
    const lean = profile.toothThickness / pitchDiameter;
    const own =
      flank.form === "involute"
        ? flank.pressureAngle
        : Math.abs(flank.angle + (profile.kind === "internal spline" ? -lean : lean));
    return {
      radius:
        radius ??
        g.take(
          "over-run.spline radius",
          pitchDiameter / 2,
          formatLength(pitchDiameter / 2, g.units),
          "the part's own pitch radius: its ring slides on it",
        ),
      pressureAngle:
        angle ??
        g.take(
          "over-run.spline pressure angle",
          own,
          formatAngle(own),
          flank.form === "involute" ? "the part's own" : "of the part's own flanks from the hoop direction",
        ),
    };
  }
  if ((radius === undefined) !== (angle === undefined)) {
    if (profile)
      g.missing(
        "over-run",
        radius === undefined ? "spline radius" : "spline pressure angle",
        "the sliding spline's other figure is given",
      );
    return null;
  }
  if (radius === undefined || angle === undefined) {
    if (profile)
      g.note("over-run.spline radius", "none", "no sliding spline given: nothing drags but the ramp itself");
    return null;
  }
  return { radius, pressureAngle: angle };
}
