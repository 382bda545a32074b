import type { VariantResult } from "../answer/result.ts";
import { formatTorque } from "../design/index.ts";
import { columns } from "./columns.ts";
import { nameList } from "./defaultsEcho.ts";
import { printable } from "./printable.ts";

/**
 * Torque put on, torque taken up, and what is left over: the first thing to look at. Variants that carry the same
 * torques share a line with the largest residual among them. Of a repeating model it is told for one tooth, since
 * every tooth of such a model carries, whatever share of the part's teeth does.
 */
export function balanceBlock(results: readonly VariantResult[]): string[] {
  const several = new Set(results.map(({ design }) => design.part)).size > 1;
  const rows = new Map<string, { cells: string[]; names: string[]; residual: number }>();
  for (const { design, torque, model } of results) {
    const parts = model === "sector" ? design.profile.teeth : 1;
    const cells = [
      several ? printable(design.part, 44) : "",
      model === "sector" ? "one tooth" : "whole ring",
      formatTorque(torque.applied / parts, design.units),
      // the same but for round-off prints the same, whichever way its last figure is rounded
      formatTorque(
        (torque.imbalance < 1e-6 && torque.reaction !== 0 ? -torque.applied : torque.reaction) / parts,
        design.units,
      ),
    ];
    const key = cells.join("\n");
    const row = rows.get(key) ?? { cells, names: [], residual: 0 };
    row.names.push(design.variant);
    row.residual = Math.max(row.residual, torque.imbalance);
    rows.set(key, row);
  }
  const ofPart = (part: string) =>
    several ? results.filter(({ design }) => printable(design.part, 44) === part).length : results.length;
  const lines = [...rows.values()].map(({ cells: [part, ...cells], names, residual }) => [
    ...(several ? [part!] : []),
    ...cells,
    residual.toExponential(1),
    names.length === ofPart(part!) ? "all" : nameList(names, 2),
  ]);
  const head = [...(several ? ["part"] : []), "of", "applied", "reaction", "residual", "variants"];
  return ["Balance of torque (residual: what is left over, as a share)", ...columns([head, ...lines])];
}
