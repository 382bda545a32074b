import type { Design, Fault, SteelChoice } from "../../design/index.ts";
import type { ProfileOutline } from "../../profile/index.ts";
import { type RootField, wallBehind } from "../field/rootField.ts";
import { type Conditions, settle } from "../modes/conditions.ts";
import { catalogueOf } from "../steel/ownSteels.ts";
import {
  type Brought,
  boreInTold,
  type Lever,
  leversOf,
  loadedRadius,
  thicker,
  withBack,
} from "../variants/levers.ts";
import { largestRootRadius } from "../variants/withRootRadius.ts";
import { assess, type Capacity } from "./capacity.ts";
import { type HardnessWindow, hardnessWindow } from "./hardnessWindow.ts";
import type { ShaftTrials } from "./shaftRemedies.ts";
import { type Levers, tryLevers } from "./tryLevers.ts";

/** What a design asks of its steel: steel and conditions as `assess` takes them; null where no steel is named. */
export function designQuery({
  steel,
  strength,
  load,
  units,
}: Design): { readonly query: SteelChoice; readonly conditions: Conditions } | null {
  if (!steel) return null;
  const depth = steel.core?.caseDepth;
  return {
    query: steel,
    conditions: {
      ...strength,
      requiredTorque: strength?.requiredTorque ?? load.torque * load.shockFactor,
      ...(depth && { caseDepth: depth }),
      units,
    },
  };
}

/** What a sector stands for where some of the teeth carry and nobody says which. */
export function evenSharing({
  load: { sharing },
  profile: { teeth },
}: Pick<Design, "load" | "profile">): string[] {
  if (sharing.mode !== "share" || sharing.fraction >= 1) return [];
  return sharing.fraction * teeth < 1.001
    ? [
        "one tooth carries, and the model has every tooth carry as much: with the others unloaded its root and the wall may see some 20 % more, on thin " +
          "metal several times as much, or less; without which teeth: evenly the whole ring is solved with that one loaded",
      ]
    : [
        "every tooth of the model is loaded alike, as if the ones that carry stood evenly round the part: where they stand side by side, or " +
          "the metal behind them is thin, roots and wall may see more, up to several times as much and on thin metal more than ten times; which teeth: worst finds the ones that do it, loaded teeth names them, and the whole ring is solved",
      ];
}

/** Faults of steel and conditions that can be known before anything is solved; keys as in the part file, without places. */
export function checkStrength(
  design: Design,
  { rootThickness }: Pick<ProfileOutline, "rootThickness">,
): readonly Fault[] {
  const asked = designQuery(design);
  if (!asked) return [];
  const catalogue = catalogueOf(asked.query);
  const read = settle(
    { rootThickness, wall: wallBehind(design.profile) },
    asked.query,
    asked.conditions,
    catalogue,
  );
  return "faults" in read ? read.faults : [];
}

/**
 * All modes of a design in its own steel on its solved root; null where no steel is named. @param required what it must stand, N·mm, in
 * place of the required torque in drive.
 */
export function designCapacity(
  root: RootField,
  design: Design,
  required?: number,
): { readonly capacity: Capacity } | { readonly faults: readonly Fault[] } | null {
  const asked = designQuery(design);
  if (!asked) return null;
  const conditions =
    required === undefined ? asked.conditions : { ...asked.conditions, requiredTorque: required };
  return assess(root, asked.query, conditions, catalogueOf(asked.query));
}

/**
 * The hardness window of a design, with its own margin and tolerance; null where no steel is named. @param solve the root field of another
 * design, null where it cannot be solved: with it what to change first is what was found to carry more.
 */
export function designWindow(
  root: RootField,
  design: Design,
  solve?: (of: Design) => RootField | null,
): { readonly window: HardnessWindow } | { readonly faults: readonly Fault[] } | null {
  const asked = designQuery(design);
  if (!asked) return null;
  const { tolerance = 2, margin = 1 } = design.strength ?? {};
  const catalogue = catalogueOf(asked.query);
  const atLargest = loadedRadius(design) >= largestRootRadius(design);
  const brought = (made: readonly Lever[], now: number): Brought | null => {
    const changed = made.reduce((so, { make }) => make(so), design);
    const field = made.some(({ solves }) => solves) ? solve!(changed) : root;
    const found = windowOf(changed, field);
    if (!found) return null;
    const { best, aim, whole } = found;
    return { gain: best.torque / now - 1, order: aim, atAny: whole && !aim };
  };
  const levers = (now: number): Levers => tryLevers(leversOf(design), (made) => brought(made, now));
  const windowOf = (changed: Design, field: RootField | null): HardnessWindow | null => {
    const found = field && designWindow(field, changed);
    return found && !("faults" in found) ? found.window : null;
  };
  const shaft = (room: boolean): ShaftTrials => {
    const enough = (changed: Design): boolean => {
      const made = windowOf(changed, solve!(changed));
      return made !== null && (room ? made.aim !== null || made.whole : made.satisfying.length > 0);
    };
    return {
      bore: (mm) => enough(withBack(mm)(design)),
      thicker: (times) => enough(thicker(times)(design)),
      round: (mm) => boreInTold(mm, design.units),
    };
  };
  return hardnessWindow(root, asked.query, asked.conditions, {
    tolerance,
    margin,
    atLargest,
    catalogue,
    ...(solve && { levers, shaft }),
  });
}
