import type { VariantResult } from "../answer/result.ts";
import { formatTorque } from "../design/index.ts";
import { columns } from "./columns.ts";
import { printable } from "./printable.ts";

/** Torque put on, torque taken up, and what is left over, variant by variant: the first thing to look at. */
export function balanceBlock(results: readonly VariantResult[]): string[] {
  const rows = results.map(({ design: { variant, units }, torque }) => [
    printable(variant, 40),
    formatTorque(torque.applied, units),
    formatTorque(torque.reaction, units),
    torque.imbalance.toExponential(1),
  ]);
  return ["Balance of torque", ...columns([["variant", "applied", "reaction", "residual"], ...rows])];
}
