import type { SplineProfile } from "../design/index.ts";
import { splineFlank } from "./splineFlank.ts";

/**
 * What a shop measures on a spline tooth, and the involute function it rests on. Angles rad; lengths in the
 * unit they are given in.
 */

/** Involute function inv φ = tan φ − φ, for 0 ≤ φ < π/2. */
export function inv(angle: number): number {
  // the difference cancels near zero: there the series φ³/3 + 2φ⁵/15 + 17φ⁷/315 is exact to rounding
  if (Math.abs(angle) < 0.01) {
    const a2 = angle * angle;
    return angle * a2 * (1 / 3 + a2 * (2 / 15 + (a2 * 17) / 315));
  }
  return Math.tan(angle) - angle;
}

/**
 * The angle φ in [0, π/2) whose involute function is `value`, to rounding.
 *
 * Newton on tan φ − φ, whose slope is tan² φ, kept inside a bracket that halves whenever a step leaves it.
 * @throws Error when value is negative or not finite: no angle has it.
 */
export function inverseInvolute(value: number): number {
  if (!(value >= 0) || value === Infinity)
    throw new Error(`inverseInvolute: no angle has the involute ${value}`);
  if (value === 0) return 0;
  let low = 0;
  let high = Math.PI / 2;
  // inv φ ≈ φ³/3 for small angles; inv φ ≈ 1/(π/2 − φ) − π/2 for large ones
  let angle = value < 1 ? Math.min(1.1, Math.cbrt(3 * value)) : Math.PI / 2 - 1 / (value + Math.PI / 2);
  for (let k = 0; k < 100; k++) {
    const miss = inv(angle) - value;
    if (miss > 0) high = angle;
    else low = angle;
    const tangent = Math.tan(angle);
    let next = angle - miss / (tangent * tangent);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (Math.abs(next - angle) <= 1e-16 * angle) return next;
    angle = next;
  }
  return angle;
}

/** Base circle of an involute spline, mm; null for straight flanks. */
export function baseDiameter(profile: SplineProfile): number | null {
  return profile.flank.form === "involute"
    ? profile.pitchDiameter * Math.cos(profile.flank.pressureAngle)
    : null;
}

/**
 * Tooth thickness, mm, as an arc on the circle of diameter `diameter`; the flanks are taken to run on past tip and
 * root (below the base circle of an external involute: radially). NaN where they do not reach that circle.
 */
export function toothThicknessAt(profile: SplineProfile, diameter: number): number {
  const flank = splineFlank(profile);
  return diameter * flank.halfAngle(flank.placeAt(diameter / 2));
}

/** The same straight across, mm. */
export function straightThicknessAt(profile: SplineProfile, diameter: number): number {
  return diameter * Math.sin(toothThicknessAt(profile, diameter) / diameter);
}

export interface PinInput {
  readonly teeth: number;
  readonly pitchDiameter: number;
  readonly pressureAngle: number;
  readonly pinDiameter: number;
}

export interface PinMeasurement {
  /** Over two pins (external) or between two pins (internal), in the unit of the input. */
  readonly measurement: number;
  /** Pressure angle at the pin's centre, rad. */
  readonly pinAngle: number;
  /** Diameter at which the pin touches the flank; the measurement means something only inside the true involute. */
  readonly contactDiameter: number;
}

/**
 * Measurement over two pins of an external involute spline, as nearly opposite as the tooth count allows:
 * inv φe = t/D + inv φ + d/Db − π/N; M = Db / cos φe + d, for odd N with Db cos(90°/N).
 * Source: ANSI B92.1 / AGMA 2002 form (standard involute geometry). Exact.
 */
export function overPins(input: PinInput & { readonly toothThickness: number }): PinMeasurement {
  const { teeth, pitchDiameter, pressureAngle, pinDiameter, toothThickness } = input;
  const base = pitchDiameter * Math.cos(pressureAngle);
  const involute = toothThickness / pitchDiameter + inv(pressureAngle) + pinDiameter / base - Math.PI / teeth;
  if (!(involute >= 0))
    throw new Error(`overPins: a pin of ${pinDiameter} sinks to the root before it touches the involute`);
  const pinAngle = inverseInvolute(involute);
  const roll = Math.tan(pinAngle) - pinDiameter / base;
  return {
    measurement: (base * oddFactor(teeth)) / Math.cos(pinAngle) + pinDiameter,
    pinAngle,
    // a pin that touches below the base circle does not touch the involute at all
    contactDiameter: roll >= 0 ? base * Math.hypot(1, roll) : Number.NaN,
  };
}

/**
 * Measurement between two pins of an internal involute spline:
 * inv φi = s/D + inv φ − d/Db with the space width s; M = Db / cos φi − d, for odd N with Db cos(90°/N).
 * Source: ANSI B92.1 / AGMA 2002 form (standard involute geometry). Exact.
 */
export function betweenPins(input: PinInput & { readonly spaceWidth: number }): PinMeasurement {
  const { teeth, pitchDiameter, pressureAngle, pinDiameter, spaceWidth } = input;
  const base = pitchDiameter * Math.cos(pressureAngle);
  const involute = spaceWidth / pitchDiameter + inv(pressureAngle) - pinDiameter / base;
  if (!(involute >= 0)) throw new Error(`betweenPins: a pin of ${pinDiameter} does not enter the space`);
  const pinAngle = inverseInvolute(involute);
  return {
    measurement: (base * oddFactor(teeth)) / Math.cos(pinAngle) - pinDiameter,
    pinAngle,
    contactDiameter: base * Math.hypot(1, Math.tan(pinAngle) + pinDiameter / base),
  };
}

/** With an odd count the two pins are not quite opposite. */
function oddFactor(teeth: number): number {
  return teeth % 2 === 0 ? 1 : Math.cos(Math.PI / (2 * teeth));
}

/**
 * Measurement over pins (external) or between pins (internal) of an involute spline profile, mm.
 * @throws Error for straight flanks, which pins of this formula do not measure.
 */
export function pinMeasurement(profile: SplineProfile, pinDiameter: number): PinMeasurement {
  const { teeth, pitchDiameter, flank, toothThickness } = profile;
  if (flank.form !== "involute") throw new Error("pinMeasurement: the flanks are straight, not involute");
  const input = { teeth, pitchDiameter, pressureAngle: flank.pressureAngle, pinDiameter };
  return profile.kind === "external spline"
    ? overPins({ ...input, toothThickness })
    : betweenPins({ ...input, spaceWidth: (Math.PI * pitchDiameter) / teeth - toothThickness });
}
