import { tenthUp } from "../arithmetic/tenths.ts";
import { plasticTooth } from "../field/plasticLimit.ts";
import type { RootField } from "../field/rootField.ts";
import { elasticTwist, plasticTwist, TWIST_SOURCE } from "../field/shaftTwist.ts";
import type { SteelState } from "../steel/steelState.ts";
import type { Settled } from "./conditions.ts";
import { type Mode, sources } from "./mode.ts";
import { rootFracture } from "./rootFracture.ts";

/** The teeth may hold and the shaft behind them not: a plane model knows no twist along the axis. */
export function shaftTwistMode({ tooth: { shaft } }: RootField, steel: SteelState, shocks: number): Mode {
  const shear = (strength: number) => strength / Math.sqrt(3);
  // a shaft that is to stand many shocks is not to be twisted further by each
  const least = (strength: number) =>
    shocks > 1 ? elasticTwist(shear(strength), shaft!) : plasticTwist(shear(strength), shaft!);
  return {
    id: "shaft twist",
    title: "shaft twists off at the roots",
    torque: shaft && { low: least(steel.yield.low), high: plasticTwist(shear(steel.tensile.high), shaft) },
    governs: shaft !== null,
    formula:
      "T = π τ (D³ − d³) / 12, D at the roots: twisted fully plastic, τ from yield to tensile strength over √3; " +
      "low end of more than one shock: first yield, π τ (D⁴ − d⁴) / (16 D)",
    source: `${TWIST_SOURCE}; ${sources(steel.tensile, steel.yield)}`,
    memory: true,
    note: shaft
      ? "as a smooth round shaft: the roots are notches in twist too, and cracks from twist are not counted"
      : "no shaft inside the teeth",
  };
}

/**
 * Torque that the shaft in twist is not vouched for above, N·mm: no mode counts its fatigue, nor brittle fracture from roots that are
 * notches in twist too or from a flaw in them, but the published allowable, with its life factor, leaves room for both. Null where there is
 * no shaft, or where one shock on a ductile shaft without a flaw only yields it.
 */
export function allowedTwist(root: RootField, how: Settled, modes: readonly Mode[]): number | null {
  const published = modes.find(({ id }) => id === "published twist")?.torque ?? null;
  if (!published) return null;
  const { hardest, flaw, shocks } = how;
  // a window of hardness is no more ductile than its hard end
  const breaks = () =>
    rootFracture(root, hardest, plasticTooth(root.tooth, hardest.yield).torque, false).regime !==
    "plastic limit";
  return shocks > 1 || flaw > 0 || breaks() ? published.low : null;
}

/** Beyond so many times nobody makes the same part thicker. */
const FAR_THICKER = 10;

/** "some 1.2 times as thick, bore and all": a shaft that must be. */
export const asThick = (times: number, bored: boolean): string =>
  times < FAR_THICKER
    ? `some ${tenthUp(times)} times as thick${bored ? ", bore and all" : ""}`
    : "far thicker";

/**
 * What must be said of cracks in the shaft from twist.
 *
 * @param first the modes that come first
 * @param allowed torque that twist is vouched for up to, N·mm (`allowedTwist`)
 */
export function twistFatigue(
  { required, margin }: Settled,
  first: readonly (Mode | null)[],
  allowed: number | null,
): string[] {
  if (allowed === null) return [];
  const wanted = margin * required;
  if (allowed < wanted) {
    // an allowable torque grows with the cube of a shaft's diameter
    const times = Math.cbrt(wanted / allowed);
    const size = asThick(times, true) + (times < FAR_THICKER ? "," : "");
    return [
      `Cracks in the shaft from twist are not counted, and the published allowable twist for that many shocks is ${Math.floor((100 * allowed) / wanted)} % of the required torque${margin === 1 ? "" : " with its margin"}: ` +
        `nothing here says that the shaft stands them. One ${size} does, else have it judged`,
    ];
  }
  return first.some((mode) => mode?.id === "shaft twist")
    ? [
        "The shaft’s twist is among what comes first, and cracks are not counted in it: from the roots they can end it well under the torque told",
      ]
    : [];
}
