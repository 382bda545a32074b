import type { SplineProfile } from "../design/index.ts";
import { type Curve, involute, line } from "../geometry/index.ts";

/**
 * One flank of a spline tooth whose centreline is the +x axis: the flank on the counter-clockwise side,
 * material at smaller polar angles. The other flank is its mirror image.
 *
 * A point of the flank is named by its `place`, a number that grows with the distance from the axis: on an
 * involute the roll angle (tan of the local pressure angle), on its radial continuation below the base circle
 * r / rb − 1 < 0, on a straight flank the distance from the foot of the perpendicular dropped from the axis,
 * mm. Places, not radii, are what fillet and flank share: at the base circle the roll is the square root of
 * the radius, so a radius would lose half the digits there.
 */
export interface SplineFlank {
  readonly external: boolean;
  /** Radius of the base circle, mm; 0 for a straight flank. */
  readonly baseRadius: number;
  /** Place at radius r; NaN where the flank does not reach that circle. */
  placeAt(radius: number): number;
  radiusAt(place: number): number;
  /** Polar angle of the flank, which is half the tooth's angle there, rad. */
  halfAngle(place: number): number;
  /** Direction of the flank's tangent, away from the axis, rad. */
  direction(place: number): number;
  /** Place at `length` mm along the flank from `place` towards the axis (negative: away from it). */
  inward(place: number, length: number): number;
  /** The flank between two places, in order of travel; two curves where it passes the base circle. */
  curves(from: number, to: number): { readonly curve: Curve; readonly radial: boolean }[];
  /** The circle of radius `radius` in the space that touches flank and root circle; NaN fields where none does. */
  fillet(radius: number): FlankFillet;
}

export interface FlankFillet {
  /** Distance of the centre from the axis, mm, and its polar angle, rad, which is also that of the touch on the root circle. */
  readonly centreRadius: number;
  readonly centreAngle: number;
  /** Where it touches the flank. */
  readonly touch: number;
}

/** The flank of `profile`; sizes are not checked. */
export function splineFlank(profile: SplineProfile): SplineFlank {
  return profile.flank.form === "involute"
    ? involuteFlank(profile, profile.flank.pressureAngle)
    : straightFlank(profile, profile.flank.angle);
}

/**
 * Half the tooth's angle at roll t is origin − (t − atan t) for an external tooth, + for an internal one, where
 * the flank is that of the external tooth which fills the space. With s the circular tooth thickness this is
 * the thickness formula t_r = 2 r (s/D + inv φ − inv φ_r) of involute geometry.
 *
 * The fillet is found in closed form, as a pin between the teeth is: a curve parallel to an involute at
 * distance ρ is the involute of the same base circle turned by ρ / rb, and the centre lies on it at the
 * known distance root radius ± ρ from the axis.
 */
function involuteFlank(profile: SplineProfile, pressureAngle: number): SplineFlank {
  const external = profile.kind === "external spline";
  const rootRadius = profile.rootDiameter / 2;
  const rb = (profile.pitchDiameter / 2) * Math.cos(pressureAngle);
  const hand = external ? -1 : 1;
  const pitchHalfAngle = profile.toothThickness / profile.pitchDiameter;
  const origin = pitchHalfAngle - hand * (Math.tan(pressureAngle) - pressureAngle);
  const rollAt = (radius: number) => Math.sqrt((radius - rb) * (radius + rb)) / rb;
  return {
    external,
    baseRadius: rb,
    placeAt: (radius) => (radius >= rb ? rollAt(radius) : external ? radius / rb - 1 : Number.NaN),
    radiusAt: (place) => (place < 0 ? rb * (1 + place) : rb * Math.hypot(1, place)),
    halfAngle: (place) => (place <= 0 ? origin : origin + hand * (place - Math.atan(place))),
    direction: (place) => (place <= 0 ? origin : origin + hand * place),
    inward(place, length) {
      // along the involute the length from the base circle is rb t² / 2; signed, so that it runs on below it
      const fromBase = (place < 0 ? rb * place : (rb * place * place) / 2) - length;
      return fromBase < 0 ? fromBase / rb : Math.sqrt((2 * fromBase) / rb);
    },
    curves(from, to) {
      const radial = (a: number, b: number) => {
        const c = rb * Math.cos(origin);
        const s = rb * Math.sin(origin);
        return { curve: line((1 + a) * c, (1 + a) * s, (1 + b) * c, (1 + b) * s), radial: true };
      };
      const rolled = (a: number, b: number) => ({
        curve: involute(0, 0, rb, origin, hand, a, b),
        radial: false,
      });
      if (from >= 0 && to >= 0) return [rolled(from, to)];
      if (from <= 0 && to <= 0) return [radial(from, to)];
      return from < 0 ? [radial(from, 0), rolled(0, to)] : [rolled(from, 0), radial(0, to)];
    },
    fillet(radius) {
      const centreRadius = rootRadius - hand * radius;
      const radialTouch = Math.sqrt(rootRadius * (rootRadius + 2 * radius));
      // within rounding of the base circle the touch is on it
      if (external && radialTouch < rb * (1 - 1e-15)) {
        return {
          centreRadius,
          centreAngle: origin + Math.atan2(radius, radialTouch),
          touch: radialTouch / rb - 1,
        };
      }
      const roll = rollAt(centreRadius);
      return {
        centreRadius,
        centreAngle: origin + radius / rb + hand * (roll - Math.atan(roll)),
        // external: never below the base circle, which rounding could otherwise make it
        touch: external ? Math.max(0, roll - radius / rb) : roll + radius / rb,
      };
    },
  };
}

/**
 * The line at distance `offset` from the axis, in direction `tilt`: points offset · n + place · e with
 * e = (cos tilt, sin tilt) and n its left normal, which points into the space.
 */
function straightFlank(profile: SplineProfile, angle: number): SplineFlank {
  const external = profile.kind === "external spline";
  const rootRadius = profile.rootDiameter / 2;
  // thinner towards the tip: outward for an external tooth, inward for an internal one
  const tilt = external ? -angle : angle;
  const pitchHalfAngle = profile.toothThickness / profile.pitchDiameter;
  const offset = (profile.pitchDiameter / 2) * Math.sin(pitchHalfAngle - tilt);
  const pointX = (place: number) => place * Math.cos(tilt) - offset * Math.sin(tilt);
  const pointY = (place: number) => place * Math.sin(tilt) + offset * Math.cos(tilt);
  return {
    external,
    baseRadius: 0,
    placeAt: (radius) => Math.sqrt((radius - offset) * (radius + offset)),
    radiusAt: (place) => Math.hypot(place, offset),
    halfAngle: (place) => tilt + Math.atan2(offset, place),
    direction: () => tilt,
    inward: (place, length) => place - length,
    curves: (from, to) => [
      { curve: line(pointX(from), pointY(from), pointX(to), pointY(to)), radial: false },
    ],
    fillet(radius) {
      const centreRadius = external ? rootRadius + radius : rootRadius - radius;
      const across = offset + radius;
      const touch = Math.sqrt((centreRadius - across) * (centreRadius + across));
      return { centreRadius, centreAngle: tilt + Math.atan2(across, touch), touch };
    },
  };
}
