import { halve } from "../numerics/index.ts";
import type { LoadedTooth } from "./loadedTooth.ts";

/** A section straight across the tooth through a point of its loaded root, mm. */
export interface RootSection {
  /** Thickness across. */
  readonly thickness: number;
  /** Height of the section above the root line. */
  readonly height: number;
  /** Distance of the section below the point where the load's line cuts the section's middle line; negative where that lies below it. */
  readonly arm: number;
  /** Fillet radius at the section; 0 = sharp. */
  readonly radius: number;
  /** Where the point that was looked for is not on the fillet: the end that was taken instead. */
  readonly end: "flank end" | "root end" | null;
}

/**
 * The section at the point of the loaded root whose tangent stands at `tilt` to the tooth's middle line (ISO 6336-3: 30°
 * for external teeth; 60° for internal ones, from memory). At a sharp root it goes through the corner.
 */
export function tangentSection(tooth: LoadedTooth, tilt: number): RootSection | null {
  const { fillet } = tooth;
  if (!fillet) return cornerSection(tooth);
  if (fillet(0).tilt >= tilt) return sectionAt(tooth, fillet(0).s, fillet(0).y, "flank end");
  if (fillet(1).tilt <= tilt) return sectionAt(tooth, fillet(1).s, fillet(1).y, "root end");
  const [last] = halve((u) => fillet(u).tilt < tilt, 0, 1, 60);
  const { s, y } = fillet(last);
  return sectionAt(tooth, s, y, null);
}

/**
 * Lewis's section: a parabola with its vertex where the load's line cuts the tooth's middle is a beam of even strength,
 * and the section where it touches the root is the weakest, that is the one with the largest arm / thickness². At a sharp root
 * it goes through the corner. Null where the load's line passes under every section of the fillet, and bends none.
 */
export function lewisSection(tooth: LoadedTooth): RootSection | null {
  const { fillet } = tooth;
  if (!fillet) {
    const section = cornerSection(tooth);
    return section.arm > 0 ? section : null;
  }
  const STEPS = 200;
  const at = (u: number) => {
    const { s, y } = fillet(u);
    return sectionAt(tooth, s, y, null);
  };
  const weakness = (u: number) => {
    const section = at(u);
    return section ? section.arm / section.thickness ** 2 : Number.NEGATIVE_INFINITY;
  };
  let best = 0;
  for (let k = 1; k <= STEPS; k++) if (weakness(k / STEPS) > weakness(best / STEPS)) best = k;
  // golden section between the neighbours of the best
  let low = Math.max(0, best - 1) / STEPS;
  let high = Math.min(STEPS, best + 1) / STEPS;
  const GOLDEN = (Math.sqrt(5) - 1) / 2;
  for (let k = 0; k < 60; k++) {
    const a = high - GOLDEN * (high - low);
    const b = low + GOLDEN * (high - low);
    if (weakness(a) >= weakness(b)) high = b;
    else low = a;
  }
  const section = at((low + high) / 2);
  if (!section || !(section.arm > 0)) return null;
  return { ...section, end: low < 1e-9 ? "flank end" : high > 1 - 1e-9 ? "root end" : null };
}

/** The section through the corners that the flanks would make with the root line if there were no fillets. */
export function cornerSection(tooth: LoadedTooth): RootSection {
  const { corner, otherCorner, radius } = tooth;
  const arm = tooth.lineHeight((corner.s + otherCorner.s) / 2) - corner.y;
  return { thickness: corner.s - otherCorner.s, height: corner.y, arm, radius, end: null };
}

/** The section straight across at a point of the loaded side; null where the other side does not reach that height. */
function sectionAt(tooth: LoadedTooth, s: number, y: number, end: RootSection["end"]): RootSection | null {
  const other = tooth.otherSide(y);
  if (other === null || !(s + other > 0)) return null;
  const arm = tooth.lineHeight((s - other) / 2) - y;
  return { thickness: s + other, height: y, arm, radius: tooth.radius, end };
}
