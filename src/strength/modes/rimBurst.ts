import type { RootField } from "../field/rootField.ts";
import type { SteelState } from "../steel/steelState.ts";
import { type Mode, remembered, sources } from "./mode.ts";

export function rimBurst({ tooth }: RootField, steel: SteelState): Mode {
  const { hoopPerTorque } = tooth;
  const applies = hoopPerTorque > 1e-9;
  const per = (strength: number) => (strength * tooth.wall * tooth.faceWidth) / hoopPerTorque;
  return {
    id: "rim burst",
    title: "rim bursts through the root",
    torque: applies ? { low: per(steel.yield.low), high: per(steel.tensile.high) } : null,
    governs: applies,
    formula:
      "T = S w b / N₁: mean hoop stress in the wall w behind the root, from yield to tensile strength; " +
      "N₁ = W sin γ / (2 sin(π/z)) the hoop tension between two teeth under unit torque",
    source: `statics of a tooth's sector; ${sources(steel.tensile, steel.yield)}`,
    memory: remembered(steel.tensile, steel.yield),
    note: applies
      ? ""
      : tooth.kind === "internal spline"
        ? "flanks that do not spread the rim"
        : "no rim behind the root",
  };
}
