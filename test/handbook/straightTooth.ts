import type { VariantResult } from "../../src/answer/index.ts";
import type { Design, FaceToothProfile } from "../../src/design/index.ts";
import { buildProfile, type ProfileOutline } from "../../src/profile/index.ts";

/** Dimensions of a straight-flanked tooth on a block as `tooth-root.json`, section "projection", names them, mm. */
export interface StraightTooth {
  readonly B: number;
  readonly betaDeg: number;
  readonly hp: number;
  readonly hl: number;
  readonly r: number;
}

/**
 * That tooth as a face tooth of 1 mm width under 1 N square to its flank, and a result that carries nothing but its load and a
 * given peak: what hand formulas are put to, without solving.
 */
export function straightTooth(
  { B, betaDeg, hp, hl, r }: StraightTooth,
  peak: number,
): { readonly result: VariantResult; readonly built: ProfileOutline } {
  const beta = (betaDeg * Math.PI) / 180;
  const half = 0.06 * (B / 2) * Math.cos(beta);
  const profile: FaceToothProfile = {
    kind: "face tooth",
    teeth: 10,
    meanDiameter: 80 / Math.PI, // a pitch of 8 mm, the reference's block
    height: hp,
    driveAngle: beta,
    overrunAngle: beta,
    tipLand: B - 2 * hp * Math.tan(beta),
    driveRootRadius: r,
    overrunRootRadius: r,
    tipChamfer: 0,
    baseThickness: 4,
    faceWidth: 1,
    contact: [hl - half, hl + half],
    contactGiven: true,
    loadedFlank: "drive",
  };
  const built = buildProfile(profile);
  const perTooth = (Math.cos(beta) * profile.meanDiameter) / 2;
  const force = Math.cos(beta);
  const nominal = {
    formula: "6 W h / (b t²)",
    force,
    arm: built.bandMiddle,
    thickness: built.rootThickness,
    width: 1,
    stress: (6 * force * built.bandMiddle) / built.rootThickness ** 2,
  };
  const design = {
    part: "straight tooth",
    variant: "reference",
    profile,
    load: {
      torque: 10 * perTooth,
      shockFactor: 1,
      friction: 0,
      sharing: { mode: "share", fraction: 1 },
      reaction: "uniform shear",
    },
    steel: null,
    units: "metric",
  } as unknown as Design;
  const result = {
    design,
    torque: { shock: 10 * perTooth, perTooth },
    root: {
      sharp: false,
      peakPrincipal: { stress: peak, x: B / 2, y: r / 2 },
      nominal,
      kt: peak / nominal.stress,
      contactPressure: 1 / (0.06 * B),
      average: { distance: 0.1, opening: peak / 2, principal: peak / 2 },
    },
  } as unknown as VariantResult;
  return { result, built };
}
