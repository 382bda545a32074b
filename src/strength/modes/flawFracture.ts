import { type Band, leastBand } from "../arithmetic/band.ts";
import { fractureRegime, plasticTooth } from "../field/plasticLimit.ts";
import { wallsBand } from "../field/ringWall.ts";
import { cracksThrough, type RootField } from "../field/rootField.ts";
import { FLAW_FORMULA, FLAW_SOURCE, flawUpTo, withFlaw } from "../field/surfaceFlaw.ts";
import type { SteelState } from "../steel/steelState.ts";
import type { Settled } from "./conditions.ts";
import { type Mode, sources } from "./mode.ts";
import { bounded } from "./rootFracture.ts";

export function flawMode(
  root: RootField,
  how: Settled,
  steel: SteelState,
  depth: number,
  linear: Band | null,
  fromCase: boolean,
): Mode {
  const intensity = flawUpTo(root, depth, cracksThrough(root.tooth));
  // what the crack leaves of the section is all that can yield
  const { tooth } = root;
  const { torque: left } = plasticTooth(tooth, how.body.yield, depth);
  // and of the wall
  const wallLeft = wallsBand(root.walls, tooth.faceWidth, how.body.yield, tooth.kind !== "face tooth", depth);
  const plastic = leastBand(left, wallLeft);
  const words = {
    id: fromCase ? ("cracked case" as const) : ("flaw fracture" as const),
    title: fromCase
      ? `core breaks behind a case cracked ${how.say.length(depth)} deep`
      : `brittle fracture from a flaw ${how.say.length(depth)} deep in the root`,
    formula: FLAW_FORMULA,
    source: `${FLAW_SOURCE}; K_Ic: ${sources(steel.toughness)}`,
    memory: true,
  };
  const { toughness } = steel;
  if (!(intensity > 0) || !toughness || !linear) {
    const why = toughness ? "nothing pulls a flaw open up to that depth" : "no toughness is known";
    return {
      ...words,
      torque: plastic,
      governs: true,
      note: `${why}: the plastic limit of the section left`,
    };
  }
  const at = (end: "low" | "high") => withFlaw(toughness[end] / intensity, linear[end]);
  const torque = { low: bounded(at("low"), plastic.low), high: bounded(at("high"), plastic.high) };
  const regime = fractureRegime(at("low"), plastic.low);
  return {
    ...words,
    torque,
    // in either regime: the plastic limit of the whole section is not that of what is left
    governs: true,
    note:
      regime === "plastic limit"
        ? "linear fracture no longer holds at this toughness: the plastic limit of the section left governs"
        : root.sharp
          ? "on the safe side for a crack out of a sharp corner"
          : how.cased && !fromCase
            ? "the case's own compression is not counted"
            : "",
  };
}
