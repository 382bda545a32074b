import type { VariantResult } from "../answer/result.ts";
import { formatTorque } from "../design/index.ts";
import { columns } from "./columns.ts";
import { printable } from "./printable.ts";

/**
 * Torque put on, torque taken up, and what is left over, variant by variant: the first thing to look at. Of a
 * repeating model it is told for one tooth, since every tooth of such a model carries, whatever share of the
 * part's teeth does.
 */
export function balanceBlock(results: readonly VariantResult[]): string[] {
  const rows = results.map(({ design: { variant, units, profile }, torque, model }) => {
    const parts = model === "sector" ? profile.teeth : 1;
    return [
      printable(variant, 40),
      model === "sector" ? "one tooth" : "whole ring",
      formatTorque(torque.applied / parts, units),
      formatTorque(torque.reaction / parts, units),
      torque.imbalance.toExponential(1),
    ];
  });
  return [
    "Balance of torque (residual: what is left over, as a share)",
    ...columns([["variant", "of", "applied", "reaction", "residual"], ...rows]),
  ];
}
