import type { Outline } from "../geometry/index.ts";

/** A sharp or rounded root corner of the repeating sector, before the fillet. */
export interface RootCorner {
  /** On the side of the tooth that is loaded (where the root is pulled), or on the other. */
  readonly side: "loaded" | "unloaded";
  /** Where flank and root line would meet without a fillet, mm. */
  readonly x: number;
  readonly y: number;
  /** Unit bisector of the material angle there, pointing into the material. */
  readonly bisectorX: number;
  readonly bisectorY: number;
  /** Angle of material between the two surfaces at the corner, rad (π < angle < 2π for a re-entrant corner). */
  readonly materialAngle: number;
  /** Radius cut, mm; 0 = sharp. */
  readonly radius: number;
  /** Largest radius that fits there, mm. */
  readonly largestRadius: number;
  /** Names of the fillet's edges, that on the tooth first; empty when sharp. */
  readonly edges: readonly string[];
}

/**
 * One repeating sector as an outline, with the tooth centred on the +x axis (face tooth: on x = 0), its two
 * cut sides tied, and what the later rooms must know about it without knowing what a spline is.
 *
 * Zones: "root" (fillets and root land), "flank", "tip" (tip land and chamfer), "rim" (the circle or line
 * that takes the reaction), "cut" (the two sides of the sector). The loaded flank is the one on the
 * clockwise side of a spline tooth, pushed counter-clockwise; of a face tooth the drive flank (+x side) or the over-run flank.
 */
export interface ProfileOutline {
  readonly outline: Outline;
  /** Edges of the loaded flank between the limits of the contact band; their ends are the band's ends. */
  readonly contactEdges: readonly string[];
  /** Edges that carry the reaction. */
  readonly reactionEdges: readonly string[];
  readonly corners: readonly RootCorner[];
  /** The contact band actually used: diameters of a spline, heights of a face tooth, ascending, mm. */
  readonly contact: readonly [number, number];
  /** Tooth thickness (straight chord) where the flanks, continued without fillets, meet the root line, mm. */
  readonly rootThickness: number;
  /** Radius of the root circle at the tooth (splines) or 0 (face tooth: the root line is y = 0), mm. */
  readonly rootRadiusPosition: number;
  /** Middle of the contact band as a radius (spline) or height (face tooth), mm. */
  readonly bandMiddle: number;
  /** Repeats in the whole part. */
  readonly sectors: number;
  /** Things done that nobody asked for ("contact band trimmed from … to …"), one sentence each. */
  readonly notes: readonly string[];
}
