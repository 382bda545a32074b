import type { Design } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { nodalResultant } from "../solver/index.ts";
import type { VariantResult } from "./result.ts";
import type { SolvedPass } from "./solvePass.ts";

/**
 * Torques of the whole part, N·mm: of the flank tractions, and of the rim's traction together with what the
 * supports had to hold (internal minus applied nodal forces; the forces between tied cut sides cancel in it).
 */
export function torqueBalance(
  { profile }: Design,
  built: ProfileOutline,
  { model, loads, solution }: Pick<SolvedPass, "model" | "loads" | "solution">,
): Pick<VariantResult["torque"], "applied" | "reaction" | "imbalance"> {
  const held = nodalResultant(model.mesh.xy, solution.reaction);
  const heldTorque = profile.kind === "face tooth" ? (-held.fx * profile.meanDiameter) / 2 : held.moment;
  const applied = loads.appliedTorque;
  const reaction = loads.reactionTorque + heldTorque * (model.kind === "sector" ? built.sectors : 1);
  return { applied, reaction, imbalance: Math.abs(applied + reaction) / Math.abs(applied) };
}
