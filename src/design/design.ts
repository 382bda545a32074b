/**
 * A complete design: every number resolved, in mm, N, MPa, N·mm and radians. What the part file said and
 * what was taken by default is kept beside it, so that every report can echo it.
 */
import type { ROOT_FINISHES } from "./keys.ts";

/** Where in the part file something stands, 1-based. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

/**
 * One thing only the user can put right. `key` is the dotted path of the part file ("profile.root radius"),
 * `problem` says what is wrong, `remedy` what would do, with the number that would work.
 */
export interface Fault {
  readonly key: string;
  readonly problem: string;
  readonly remedy: string;
  readonly place?: Place;
  /** Names of the variants that have it, of those read so far; absent where it is the whole file's. */
  readonly variants?: readonly string[];
}

/** Thrown with all faults found, never only the first. */
export class DesignError extends Error {
  override readonly name = "DesignError";
  readonly faults: readonly Fault[];
  constructor(faults: readonly Fault[]) {
    super(faults.map(faultLine).join("\n"));
    this.faults = faults;
  }
}

/** "hub.yaml:12:11 profile.root radius: 1.20 mm does not fit …; use 0.83 mm or less, or 0 for sharp" */
export function faultLine({ key, problem, remedy, place }: Fault): string {
  const at = place ? `${place.file}:${place.line}:${place.column} ` : "";
  return `${at}${key ? `${key}: ` : ""}${problem}; ${remedy}`;
}

/** Involute flank: pressure angle at the pitch circle, rad. */
export interface InvoluteFlank {
  readonly form: "involute";
  readonly pressureAngle: number;
}

/**
 * Straight flank: `angle` is measured from the tooth's own centreline, rad; 0 = parallel flanks, positive =
 * the tooth grows thinner towards its tip, negative = thicker.
 */
export interface StraightFlank {
  readonly form: "straight";
  readonly angle: number;
}

/**
 * A spline seen along its axis. Internal: the teeth point inward, `tipDiameter < rootDiameter <
 * backDiameter` (the rim). External: they point outward, `backDiameter` (the bore) `< rootDiameter < tipDiameter`.
 */
export interface SplineProfile {
  readonly kind: "internal spline" | "external spline";
  readonly teeth: number;
  readonly flank: InvoluteFlank | StraightFlank;
  readonly pitchDiameter: number;
  /** Pitch diameter over teeth. */
  readonly module: number;
  /** Arc length along the pitch circle, mm. */
  readonly toothThickness: number;
  readonly tipDiameter: number;
  readonly rootDiameter: number;
  /** Rim (outside) diameter of an internal spline, bore of an external one. */
  readonly backDiameter: number;
  /** 0 = sharp; "full" = one arc across the root, touching both flanks and the root circle. */
  readonly rootRadius: number | "full";
  /** 45° chamfer on the tooth's tip corners, leg length along the flank, mm; 0 = none. */
  readonly tipChamfer: number;
  /** Contact band on the flank as two diameters, ascending. */
  readonly contact: readonly [number, number];
  /** True when the part file gave the band; a defaulted band may be trimmed to the flank that the fillet leaves. */
  readonly contactGiven: boolean;
  readonly faceWidth: number;
}

/**
 * A face (dog or ramp) tooth unrolled at the mean diameter; x runs along the pitch, y along the part's axis,
 * the root line at y = 0. Angles are measured from the part's axis, rad: positive makes the tooth thinner
 * towards its tip, negative is a back-cut. The drive flank is on the tooth's +x side.
 */
export interface FaceToothProfile {
  readonly kind: "face tooth";
  readonly teeth: number;
  readonly meanDiameter: number;
  readonly height: number;
  readonly driveAngle: number;
  readonly overrunAngle: number;
  readonly tipLand: number;
  readonly driveRootRadius: number | "full";
  readonly overrunRootRadius: number | "full";
  readonly tipChamfer: number;
  readonly baseThickness: number;
  /** Radial width, mm: the thickness of the plane model. */
  readonly faceWidth: number;
  /** True where a hub, flange or seat keeps the ring from turning about its own section, into a cone; either way it is free to grow in diameter. */
  readonly keptFlat?: true;
  /** Contact band on the loaded flank as two heights above the root line, ascending. */
  readonly contact: readonly [number, number];
  readonly contactGiven: boolean;
  readonly loadedFlank: "drive" | "over-run";
}

export type Profile = SplineProfile | FaceToothProfile;

/** How the torque reaches the teeth. */
export interface Load {
  /** Working torque, N·mm, before the shock factor. */
  readonly torque: number;
  readonly shockFactor: number;
  /**
   * `share`: that fraction of the teeth carries, alike; one repeating sector is solved with each tooth at
   * torque × shock factor / (teeth × share). `teeth` (a single tooth too): the whole ring is solved, tooth k (0-based, counted
   * counter-clockwise from the +x axis) carrying `weights[k]` of the shock torque; the weights sum to 1. With `worstOf` they are the
   * worst that teeth sharing that fraction can be, and empty until the ring was solved for that.
   */
  readonly sharing:
    | { readonly mode: "share"; readonly fraction: number }
    | { readonly mode: "teeth"; readonly weights: readonly number[]; readonly worstOf?: number };
  /**
   * Friction coefficient on the loaded flank: traction of friction × pressure along the flank, positive
   * dragging it towards the tooth's tip, negative towards its root; 0 = none.
   */
  readonly friction: number;
  /** Lowest friction on it where nobody tells one and a span may hold: what the part stands counts both ends. */
  readonly frictionLow?: number;
  /** Lowest and highest on the other flank, which a torque that reverses loads, where nobody tells one; absent: as on this one. */
  readonly otherFriction?: readonly [number, number];
  readonly reaction: "uniform shear" | "held";
}

/** The steel as the user named it. */
export interface SteelChoice {
  readonly grade: string;
  /** Hardness window converted to HRC, low ≤ high; of a case-hardened steel, the case. */
  readonly hardnessLow: number;
  readonly hardnessHigh: number;
  /** As written, for echoes: "54..56 HRC". */
  readonly hardnessText: string;
  /** Only of a case-hardened steel: the metal under the case. */
  readonly core?: {
    readonly hardnessLow: number;
    readonly hardnessHigh: number;
    readonly hardnessText: string;
    /** Case depth as written, "0.4..0.6 mm"; empty when not given. */
    readonly caseDepthText: string;
    /** The same, mm, smallest and largest; absent when not given. */
    readonly caseDepth?: readonly [number, number];
  };
  /** Only of a steel of the user's own: its strength data (and its core's), as his file has them. */
  readonly own?: readonly unknown[];
}

/** What the part must stand and how its root is made. */
export interface StrengthChoice {
  /** Torque of one shock on the whole part that it must stand, N·mm. */
  readonly requiredTorque: number;
  /** Margin wanted over it. */
  readonly margin: number;
  /** Shocks in a life. */
  readonly shocks: number;
  /** Smallest over largest torque of a shock. */
  readonly torqueRatio: number;
  readonly finish: (typeof ROOT_FINISHES)[number];
  readonly peened: boolean;
  /** Depth of a flaw in the root, mm; 0: none stated. */
  readonly flawDepth: number;
  /** What the heat treater holds, ± HRC. */
  readonly tolerance: number;
  /** Load distribution factor of the published spline formulas. */
  readonly distributionFactor: number;
}

/** How the sliding ring is let go in over-running. */
export interface OverRunChoice {
  /** Ramp from the part's axis, rad; negative where a face tooth's over-run flank is a back-cut. */
  readonly rampAngle: number;
  /** Mean radius of the ramps, mm. */
  readonly meanRadius: number;
  /** All springs together, N. */
  readonly springForce: number;
  /** Friction on ramps and spline, low and high end. */
  readonly friction: readonly [number, number];
  /** Spline on which the ring slides; null for none. */
  readonly spline: { readonly radius: number; readonly pressureAngle: number } | null;
  /** Largest torque that over-running can bring, N·mm. */
  readonly torque: number;
}

/** Pins that carry the torque of over-running while the ring does not let go. */
export interface PinChoice {
  readonly count: number;
  readonly diameter: number;
  /** Radius of the pin circle, mm. */
  readonly radius: number;
  /** Planes each pin is cut in, 1 or 2. */
  readonly planes: number;
  /** Shear stress at which a pin parts, MPa, low and high end. */
  readonly shearStrength: readonly [number, number];
}

/** A value nobody gave. `value` is ready to print; `source` says where the default comes from. */
export interface DefaultUsed {
  readonly key: string;
  readonly value: string;
  readonly source: string;
}

/** What numbers are printed in, first unit first: both where the file mixed metric and inch. */
export type UnitChoice = "metric" | "inch" | "both";

export interface Design {
  readonly part: string;
  /** Unique in the file; safe in messages after escaping, never used as a path unsanitised. */
  readonly variant: string;
  readonly note: string;
  readonly profile: Profile;
  readonly load: Load;
  readonly steel: SteelChoice | null;
  /** Absent where no steel is named. */
  readonly strength?: StrengthChoice;
  /** Absent where the part file says nothing of over-running. */
  readonly overRun?: OverRunChoice;
  readonly pins?: PinChoice;
  /** What the part file says that nothing is made of, a sentence each; absent when there is none. */
  readonly notices?: readonly string[];
  readonly material: {
    readonly E: number;
    readonly nu: number;
    readonly state: "plane stress" | "plane strain";
  };
  /** Distance over which corner stress is averaged, mm. */
  readonly averagingDistance: number;
  /** Target for the estimated error of the governing root stress, as a fraction. */
  readonly accuracy: number;
  readonly units: UnitChoice;
  readonly defaults: readonly DefaultUsed[];
}
