import type { Settled } from "./conditions.ts";
import { MANY } from "./fatigueLife.ts";

/**
 * What may come first and has no torque: fracture and fatigue of the root, where no fracture toughness is known at that hardness; its
 * fatigue under more than one shock, where no fatigue limit or no threshold is known there; fracture of the core behind a cracked case,
 * where the case's depth or the core's toughness is not told; cracks in the shaft from twist, where the published allowable for as many
 * shocks is under the required torque with its margin.
 */
export type Uncounted = "root" | "root fatigue" | "core" | "twist";

/** What each of them is called. */
export const UNCOUNTED_NAMES: Readonly<Record<Uncounted, string>> = {
  root: "fracture or fatigue of the root",
  "root fatigue": "fatigue of the root",
  core: "fracture of the core behind a cracked case",
  twist: "cracks in the shaft from twist",
};

interface Gap {
  readonly uncounted: Exclude<Uncounted, "twist">;
  readonly words: string;
}

/** Without its data the ways in which a hard part breaks are left out, and what is left looks strong. */
export function untold({ surface, body, cased, caseDepth, shocks }: Settled): Gap[] {
  const { name, toughness, fatigueLimit, threshold } = surface;
  const gaps: Gap[] = [];
  if (!toughness)
    gaps.push({
      uncounted: "root",
      words: `No fracture toughness is known for ${name} at this hardness: brittle fracture and fatigue from the root are not counted, though they may come first`,
    });
  if (shocks > 1 && !(fatigueLimit && threshold))
    gaps.push({
      uncounted: "root fatigue",
      words: `No ${[fatigueLimit ? "" : "fatigue limit", threshold ? "" : "threshold"].filter(Boolean).join(" and no ")} is known for ${name} at this hardness: fatigue from the root is not counted, though it may come first`,
    });
  if (cased && !caseDepth)
    gaps.push({
      uncounted: "core",
      words:
        "No case depth is told: fracture of the core behind a cracked case is not counted, though it may come first; give steel.case depth",
    });
  else if (cased && !body.toughness)
    gaps.push({
      uncounted: "core",
      words: `No fracture toughness is known for ${body.name} at this hardness: fracture of the core behind a cracked case is not counted, though it may come first`,
    });
  return gaps;
}

/** What repeated shocks do that no mode counts. */
export const repeated = ({ shocks, cased }: Settled): string[] => [
  ...(shocks > 1 && cased
    ? [
        "Fatigue of the core under the case is not counted: a thin case on a soft core can fail from beneath, under the torque told",
      ]
    : []),
  ...(shocks > MANY
    ? [
        "Fatigue is counted as level beyond 10⁶ shocks; hard steel goes on falling, from flaws within, and there is no number here for that",
      ]
    : []),
];
