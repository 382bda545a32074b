import { type Band, leastBand } from "../arithmetic/band.ts";
import type { RootField } from "../field/rootField.ts";
import type { Settled } from "./conditions.ts";
import { flawMode } from "./flawFracture.ts";
import type { Mode } from "./mode.ts";
import { type RootFracture, rootFracture } from "./rootFracture.ts";
import { crushing, firstYield, plasticSection, wallSection } from "./yielding.ts";

/** What one shock does, under a torque of one sense. */
export interface StaticModes {
  readonly modes: readonly Mode[];
  readonly fracture: RootFracture;
  /** Torque of one shock at which the root goes, N·mm: where the lines of fatigue begin. */
  readonly once: Band;
}

export function staticModes(root: RootField, how: Settled): StaticModes {
  const { surface, body, cased, caseDepth, flaw } = how;
  const section = plasticSection(root, how);
  const wall = wallSection(root, how);
  // whichever of tooth and wall gives in first is where the root is pulled open
  const plastic = leastBand(section.torque, wall.torque);
  const fracture = rootFracture(root, surface, plastic, cased);
  const modes: Mode[] = [
    firstYield(root, surface, cased),
    section,
    ...fracture.modes,
    wall,
    crushing(root, surface),
  ];
  const flawed = flaw > 0 ? flawMode(root, how, surface, flaw, fracture.linear, false) : null;
  if (flawed) modes.push(flawed);
  if (cased && caseDepth)
    modes.push(
      flawMode(root, how, body, caseDepth[1], rootFracture(root, body, plastic, false).linear, true),
    );
  return { modes, fracture, once: flawed?.torque ?? fracture.torque ?? plastic };
}
