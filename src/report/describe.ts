import type { VariantResult } from "../answer/result.ts";
import { type Design, formatTorque, MM_PER_INCH, MPA_PER_KSI } from "../design/index.ts";
import { angleText, figures, lengthText, shareText, trimmed } from "./units.ts";

/** Root radius as a drawing writes it: "sharp", "R0.8 mm (0.0315 in)", "full radius"; of a face tooth the loaded flank's. */
export function rootText(design: Design): string {
  const { profile, units } = design;
  if (profile.kind !== "face tooth") return radiusText(profile.rootRadius, units);
  return radiusText(
    profile.loadedFlank === "drive" ? profile.driveRootRadius : profile.overrunRootRadius,
    units,
  );
}

/** One root's radius in the same words. */
export function radiusText(radius: number | "full", units: Design["units"]): string {
  return radius === "full" ? "full radius" : radius === 0 ? "sharp" : `R${lengthText(radius, units)}`;
}

/** "17 of 17 teeth at half share …": how many teeth carry, in words. */
export function sharingText(design: Design): string {
  const { sharing } = design.load;
  const { teeth } = design.profile;
  if (sharing.mode === "share") {
    return `${shareText(sharing.fraction)} of ${teeth} teeth (${trimmed(teeth * sharing.fraction, 2)} carry alike)`;
  }
  if (sharing.worstOf !== undefined) return `${shareText(sharing.worstOf)} of ${teeth} teeth, worst choice`;
  const carrying = sharing.weights.filter((w) => w !== 0).length;
  const most = Math.max(...sharing.weights);
  return `${carrying} of ${teeth} teeth carry; most loaded ${shareText(most)} of the torque`;
}

/** "150 N·m (111 lbf·ft) × 1.8 shock = 270 N·m (199 lbf·ft)". */
export function loadText(result: VariantResult): string {
  const { load, units } = result.design;
  return `${formatTorque(load.torque, units)} × ${trimmed(load.shockFactor, 3)} shock = ${formatTorque(result.torque.shock, units)}`;
}

/** "8620 case at case 58..61 HRC, core 30..38 HRC". */
export const steelName = ({ grade, hardnessText }: NonNullable<VariantResult["steel"]>): string =>
  `${grade} at ${hardnessText}`;

/** "4340 at 38..42 HRC, yield 1090–1180 MPa (158–171 ksi)". */
export function steelText(result: VariantResult): string {
  const { steel, design } = result;
  if (!steel) return "no steel named";
  const range = (scale: number) => `${figures(steel.yieldLow / scale)}–${figures(steel.yieldHigh / scale)}`;
  const metric = `${range(1)} MPa`;
  const inch = `${range(MPA_PER_KSI)} ksi`;
  const band = design.units === "metric" ? metric : design.units === "inch" ? inch : `${metric} (${inch})`;
  return `${steelName(steel)}, yield ${band}`;
}

/** Kind of profile with its tooth count and flank, in trade words. */
export function profileText(design: Design): string {
  const { profile } = design;
  if (profile.kind === "face tooth") {
    const back =
      profile.driveAngle < 0 ? `${angleText(-profile.driveAngle)} back-cut` : angleText(profile.driveAngle);
    return `face tooth, ${profile.teeth} teeth, drive flank ${back}, over-run ${angleText(profile.overrunAngle)} from axis`;
  }
  const flank =
    profile.flank.form === "involute"
      ? `${angleText(profile.flank.pressureAngle)} involute`
      : profile.flank.angle === 0
        ? "parallel flanks"
        : `straight flanks at ${angleText(profile.flank.angle)}`;
  // nobody counts parallel teeth in modules
  const size =
    profile.flank.form === "straight"
      ? `pitch Ø${lengthText(profile.pitchDiameter, design.units)}`
      : design.units === "inch"
        ? `diametral pitch ${trimmed(MM_PER_INCH / profile.module, 3)} /in`
        : `module ${trimmed(profile.module, 4)} mm`;
  return `${profile.kind}, ${profile.teeth} teeth, ${size}, ${flank}`;
}

/** What a profile stands on: the surface that takes the reaction. */
export const BACK = { "internal spline": "rim", "external spline": "bore", "face tooth": "back" } as const;

/** What the model leaves out, in one line. */
export function modelLimits(result: VariantResult): string {
  const { design, model } = result;
  const back = BACK[design.profile.kind];
  const friction =
    design.load.friction === 0 ? "no flank friction" : `flank friction ${trimmed(design.load.friction, 3)}`;
  return [
    `2D ${design.material.state}, linear elastic (no yielding), ${model}`,
    "even pressure on the contact band",
    friction,
    design.load.reaction === "held" ? `${back} held` : `reaction as even shear on the ${back}`,
    "no misalignment, wear or tool marks",
  ].join("; ");
}

/** "5.39"; in words where a sharp root or one that is not pulled has none. */
export function ktText({ root }: Pick<VariantResult, "root">): string {
  return root.kt !== null ? figures(root.kt) : root.sharp ? "unbounded (sharp)" : "not pulled";
}

/**
 * Estimated error of a result: "±1.2 %", or "±1.2 %, not 0.5 %" where the target was not met. Below a tenth of a per
 * cent the estimate is worth no more figures, unless that much was asked for.
 */
export function errorText({ root, accuracy }: Pick<VariantResult, "root" | "accuracy">): string {
  const small = root.errorEstimate < 0.001 && accuracy.target >= 0.001;
  const estimate = small ? "< 0.1 %" : `±${figures(100 * root.errorEstimate, 2)} %`;
  return accuracy.met ? estimate : `${estimate}, not ${figures(100 * accuracy.target, 2)} %`;
}
