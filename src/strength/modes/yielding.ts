import type { Band } from "../arithmetic/band.ts";
import { PLASTIC_FORMULA, PLASTIC_SOURCE, plasticTooth } from "../field/plasticLimit.ts";
import { BASE_SOURCE, WALL_FORMULA, WALL_SOURCE, wallsBand } from "../field/ringWall.ts";
import type { RootField } from "../field/rootField.ts";
import type { SteelState } from "../steel/steelState.ts";
import type { Settled } from "./conditions.ts";
import { type Mode, remembered, sources } from "./mode.ts";

/** A mode whose torque can always be said. */
type Limit = Mode & { readonly torque: Band };

/** A spot of the root reaches yield: no failure yet. */
export function firstYield(root: RootField, steel: SteelState, cased: boolean): Mode {
  const peak = root.highestVonMises;
  return {
    id: "first yield",
    title: "first yield at the root",
    torque: peak === null ? null : { low: steel.yield.low / peak, high: steel.yield.high / peak },
    governs: false,
    formula: "T = Sy / (highest von Mises stress of any root, per torque)",
    source: `finite elements; yield: ${sources(steel.yield)}`,
    memory: remembered(steel.yield),
    note:
      peak === null
        ? "a sharp corner yields at its tip under any torque; that is not yet failure"
        : cased
          ? "a spot of the case yields; the shares of yield in tables are of the softer core"
          : "a spot of the root yields; in a ductile steel that is not yet failure",
  };
}

/** The weakest section of the tooth is plastic throughout. @returns the mode with its torque, which other modes are held under. */
export function plasticSection({ tooth }: RootField, { body, say }: Settled): Limit {
  const { torque, section } = plasticTooth(tooth, body.yield);
  return {
    id: "plastic section",
    title: "tooth section fully plastic",
    torque,
    governs: true,
    formula: PLASTIC_FORMULA,
    source: `${PLASTIC_SOURCE}; yield: ${sources(body.yield)}`,
    memory: true,
    note:
      section.height > 0
        ? `weakest ${say.length(section.height, 3)} above the root line, where it is ${say.length(section.thickness, 3)} thick`
        : "",
  };
}

/** The wall, or the base of face teeth, is plastic throughout between two teeth. */
export function wallSection({ tooth, walls }: RootField, { body }: Settled): Limit {
  const ring = tooth.kind !== "face tooth";
  return {
    id: "wall section",
    title: `${ring ? "wall" : "base"} between the teeth fully plastic`,
    torque: wallsBand(walls, tooth.faceWidth, body.yield, ring),
    governs: true,
    formula: WALL_FORMULA,
    source: `${ring ? WALL_SOURCE : BASE_SOURCE}; yield: ${sources(body.yield)}`,
    memory: true,
    note: ring
      ? "the first section of the ring; others take over some of it before the ring collapses"
      : "the base as thick as the part file has it, held evenly along its back; what stiffens it behind is not counted",
  };
}

/** Bearing strength of a flank over its yield strength. */
const BEARING: Band = { low: 0.9, high: 1.5 };

/** The flanks crush under the contact. */
export function crushing(root: RootField, steel: SteelState): Mode {
  return {
    id: "flank crushing",
    title: "flanks crush",
    torque: {
      low: (BEARING.low * steel.yield.low) / root.pressure,
      high: (BEARING.high * steel.yield.high) / root.pressure,
    },
    governs: true,
    formula: "T = 0.9 to 1.5 Sy / (contact pressure per torque)",
    source: `uniform contact pressure; bearing strength 0.9 to 1.5 of yield (common practice, from memory); yield: ${sources(steel.yield)}`,
    memory: true,
    note: "even contact over the band; edge contact crushes sooner",
  };
}
