import { type Band, envelope } from "../arithmetic/band.ts";
import type { RootField } from "../field/rootField.ts";
import type { Settled } from "./conditions.ts";
import type { Mode } from "./mode.ts";
import {
  allowableBearing,
  allowableShear,
  DUDLEY_SOURCE,
  fatigueLifeFactor,
  inRow,
  shaftShear,
} from "./splineAllowables.ts";

export function publishedModes(
  root: RootField,
  { surface, shocks, ratio, distribution, cased }: Settled,
): Mode[] {
  const { tooth } = root;
  const hard = surface.hardnessLow;
  const shear = allowableShear(hard, cased);
  const bearing = allowableBearing(hard);
  const life = fatigueLifeFactor(shocks, ratio < 0);
  const spline = tooth.kind !== "face tooth";
  const { pitchDiameter: D, teeth: N, faceWidth: F, overload } = tooth;
  const torque = (allowable: number, size: number, counted: number): Band => {
    // the formula counts half the teeth in shear, all in bearing; the stated sharing counts its own
    const by = (share: number) => (allowable * life * D * N * F * size) / (2 * share * distribution);
    return envelope([counted, overload].map((share) => ({ low: by(share), high: by(share) })))!;
  };
  const unit = { torque: 1, ka: 1, km: 1, kf: life };
  const twist = tooth.shaft && shear.shear / shaftShear(unit, tooth.shaft.diameter, tooth.shaft.bore);
  const words = (row: { steel: string; hrc: readonly [number, number] }) =>
    spline
      ? `allowable of ${row.steel}${inRow(hard, { ...shear, hrc: row.hrc }) ? "" : ", the nearest softer row"}; a design limit, not a breaking torque`
      : "published for splines only";
  const shared = { governs: false, source: DUDLEY_SOURCE, memory: false };
  return [
    {
      id: "published shear",
      title: "published allowable shear of the teeth",
      torque: spline ? torque(shear.shear, tooth.pitchThickness, 2) : null,
      formula: "T = Ss D N F t Kf / (4 Km); half the teeth carry, or as many as stated",
      ...shared,
      note: words(shear),
    },
    {
      id: "published bearing",
      title: "published allowable pressure on the flanks",
      torque: spline ? torque(bearing.bearing, tooth.contactHeight, 1) : null,
      formula: "T = Sc D N F h Kf / (2 Km); all teeth carry, or as many as stated",
      ...shared,
      note: words(bearing),
    },
    {
      id: "published twist",
      title: "published allowable twist of the shaft",
      torque: twist === null ? null : { low: twist, high: twist },
      formula: "T = π (D⁴ − d⁴) Ss Kf / (16 D), D at the roots",
      ...shared,
      note: tooth.shaft ? words(shear) : "no shaft inside the teeth",
    },
  ];
}
