import type { Band } from "../arithmetic/band.ts";
import type { RootPaths } from "../field/criticalDistance.ts";
import { cracksThrough, type RootField } from "../field/rootField.ts";
import { flawUpTo } from "../field/surfaceFlaw.ts";
import type { Settled } from "./conditions.ts";
import {
  criticalDistanceLife,
  FATIGUE_FORMULA,
  FATIGUE_SOURCE,
  type LifeCurves,
  lifeTorque,
  notchFactorLife,
  PEENING_SOURCE,
  shocksAt,
} from "./fatigueLife.ts";
import { NOTCH_SENSITIVITY_SOURCE, SURFACE_SOURCE, surfaceFactors } from "./fatigueNotch.ts";
import { type Mode, sources } from "./mode.ts";

export function fatigueModes(root: RootField, how: Settled, once: Band): Mode[] {
  const steel = how.surface;
  const words = how.shocks === 1 ? "1 shock" : `${how.shocks} shocks`;
  const beyond = surfaceFactors(how.finish, steel.tensile).beyond
    ? "; surface factor read beyond its 400 to 1600 MPa"
    : "";
  const { pushOverPull: push } = root;
  const pushed =
    how.ratio < 0 && push !== null && push > 1.005
      ? `; a root is pushed ${push.toFixed(2)} times as hard as this one is pulled, and the range counts that`
      : "";
  const few = how.shocks < 1000 ? "; under 1000 shocks the line runs straight to the static strength" : "";
  const shared = {
    source: [
      FATIGUE_SOURCE,
      SURFACE_SOURCE,
      ...(how.peened ? [PEENING_SOURCE] : []),
      `fatigue limit: ${sources(steel.fatigueLimit)}; threshold: ${sources(steel.threshold)}`,
    ].join("; "),
    memory: true,
  };
  const filled = (life: LifeCurves) => ({
    torque: lifeTorque(life, how.shocks),
    shocks: { low: shocksAt(life.low, how.required), high: shocksAt(life.high, how.required) },
  });
  const { flaw: depth, ...bare } = how;
  const pulls = (of: RootPaths | null | undefined) =>
    of ? flawUpTo(of, depth, cracksThrough(root.tooth)) : 0;
  const { reverse = root } = root;
  const given =
    depth > 0
      ? {
          ...bare,
          flaw: {
            pull: pulls(root),
            push: pulls(root.pushed),
            pullBack: pulls(reverse),
            pushBack: pulls(reverse.pushed),
          },
        }
      : bare;
  const byDistance = criticalDistanceLife(root, [steel, ...how.within], given, once);
  // one Kt knows neither another root under the torque turned round nor a push that is not told against the pull
  const unlike =
    how.ratio < 0 && (root.reverse !== undefined || push === null)
      ? `not stated where the torque reverses: ${root.reverse ? "turned round it loads another root" : "what pushes the root is not told against what pulls it"}`
      : "";
  const byKf = unlike ? null : notchFactorLife(root, steel, bare, once);
  return [
    {
      id: "fatigue",
      title: how.flaw > 0 ? `fatigue from the flaw in the root, ${words}` : `fatigue from the root, ${words}`,
      torque: null,
      governs: byDistance !== null,
      formula: FATIGUE_FORMULA,
      ...shared,
      note: byDistance
        ? `critical distance; scatter of life is far wider than that of torque${pushed}${beyond}${few}`
        : `no fatigue data for ${steel.name} at this hardness`,
      ...(byDistance ? filled(byDistance) : {}),
    },
    {
      id: "fatigue by Kf",
      title: `fatigue by Kf, ${words}`,
      torque: null,
      governs: false,
      formula: "Δσ(N) = (1 − R) T Kf s_nom, Kf = 1 + q (Kt − 1), R of the stress",
      source: `${NOTCH_SENSITIVITY_SOURCE}; ${shared.source}`,
      memory: true,
      note: byKf
        ? `second estimate, Kf ${byKf.kf.low.toFixed(2)} to ${byKf.kf.high.toFixed(2)} at every life (on the safe side below 10⁶ shocks)${pushed}${beyond}${few}`
        : root.sharp
          ? "a sharp root has no Kt"
          : unlike ||
            "notch sensitivity is not stated for this tensile strength (340 to 1700 MPa) or radius (0.1 mm and more)",
      ...(byKf ? filled(byKf) : {}),
    },
  ];
}
