import type { Design } from "../design/index.ts";
import type { Outline } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";
import type { NodalStress } from "../solver/index.ts";
import type { Capacity, OverRun, RootField, SteelStrength } from "../strength/index.ts";

export type { SteelStrength } from "../strength/index.ts";

/** A stress, MPa, and where it is (mm; the model's own axes). */
export interface PlacedStress {
  readonly stress: number;
  readonly x: number;
  readonly y: number;
}

/** Largest values on one zone of the boundary. */
export interface ZonePeak {
  readonly zone: string;
  readonly principal: PlacedStress;
  readonly vonMises: PlacedStress;
}

/** The governing root of one variant. */
export interface RootAnswer {
  /** True where the root corner is sharp: its peak is unbounded, and both peaks below are null. */
  readonly sharp: boolean;
  readonly peakPrincipal: PlacedStress | null;
  readonly peakVonMises: PlacedStress | null;
  /**
   * Highest von Mises stress along any root: where another is pushed harder than this one is pulled, more than `peakVonMises`,
   * and yielding begins there. Null where any root is sharp.
   */
  readonly highestVonMises: PlacedStress | null;
  /**
   * How much harder the hardest pushed root is pushed than this one is pulled, 1 where it is not: by peaks and averages where all
   * roots are rounded, by averages where one is sharp. A torque that reverses swaps the two. Null where this one is not pulled.
   */
  readonly pushOverPull: number | null;
  /**
   * Estimated discretisation error of `peakPrincipal` (or, sharp, of the average opening stress), as a fraction of it; of
   * `peakVonMises` at a root that is not pulled (tension under a fifth of it). At least what `highestVonMises`, or the peak for another
   * root's, may be told too low by.
   */
  readonly errorEstimate: number;
  /**
   * Mean stress over `distance` from the surface inward: along the corner's bisector or the normal at the peak, or along the normal at
   * another place of root and flank where the mean is more than 2 % higher.
   */
  readonly average: {
    readonly distance: number;
    /** Component that opens the path (normal to it), MPa. */
    readonly opening: number;
    /** Mean of the first principal stress along the same path, MPa. */
    readonly principal: number;
    /** Start of the path and its unit direction into the material. */
    readonly x: number;
    readonly y: number;
    readonly dx: number;
    readonly dy: number;
  };
  /** Hand formula for the root section, to be redone by hand. */
  readonly nominal: {
    readonly stress: number;
    readonly formula: string;
    /** Force across the tooth N, arm mm, root thickness mm, face width mm. */
    readonly force: number;
    readonly arm: number;
    readonly thickness: number;
    readonly width: number;
  };
  /** Peak tensile root stress over nominal; null where the peak is unbounded, or the root is not pulled. */
  readonly kt: number | null;
  readonly contactPressure: number;
}

/** One pass of the adaptive loop. */
export interface Pass {
  readonly unknowns: number;
  readonly elements: number;
  /** The governing quantity, MPa, and the estimated error as a fraction; see `RootAnswer.errorEstimate`. */
  readonly value: number;
  readonly estimate: number;
}

/** What a ring of face teeth that changes its shape has more mean opening stress at its governing root than the strip that is solved, as a share. */
export interface Growth {
  /** Of the ring as the part file has it: counted in what the root stands, not in the stresses told. 0 under one in a hundred, and of splines. */
  readonly share: number;
  /** Of one that is free to dish, counted or not; 0 likewise. */
  readonly dished: number;
}

/** Everything one variant answers, as plain data: what `results.json` carries. */
export interface VariantResult {
  readonly design: Design;
  readonly torque: {
    /** torque × shock factor, N·mm. */
    readonly shock: number;
    /** Share of the most loaded tooth, N·mm. */
    readonly perTooth: number;
    /** Torque of all tractions on the loaded flanks of the model (all sectors), N·mm, and of the reaction. */
    readonly applied: number;
    readonly reaction: number;
    /** |applied + reaction| / |applied|. */
    readonly imbalance: number;
  };
  readonly root: RootAnswer;
  readonly zones: readonly ZonePeak[];
  readonly steel: SteelStrength | null;
  /** What strength needs of the solved root, whatever the steel; null where it, or that of a case beside it, could not be read. */
  readonly rootField: RootField | null;
  /** Why it could not be read; null where it was. */
  readonly rootUnread: string | null;
  /** What breaks first, at which torque; null when no steel is named. */
  readonly capacity: Capacity | null;
  /** The same of the flank that over-running loads, where that is another than the one loaded here; null otherwise. */
  readonly overRunRootField: RootField | null;
  /** Whether the ring lets go in over-running and what gives first; null when the part file says nothing of it. */
  readonly overRun: OverRun | null;
  readonly growth: Growth;
  readonly model: "sector" | "whole ring";
  readonly mesh: {
    readonly nodes: number;
    readonly elements: number;
    readonly unknowns: number;
    /** Smallest corner angle, degrees. */
    readonly minAngle: number;
    /** Least ratio of the Jacobian's minimum to its mean over an element. */
    readonly minJacobian: number;
    readonly areaError: number;
  };
  /** Whether the answer came as near as asked, and if not, which limit stopped it. */
  readonly accuracy: {
    /** Estimated error asked for, as a fraction. */
    readonly target: number;
    readonly met: boolean;
    readonly stoppedBy: "unknowns" | "passes" | null;
  };
  readonly checks: {
    /** Scaled residual of the equations. */
    readonly residual: number;
    /** |strain energy − half the work of the loads| over the former. */
    readonly energyGap: number;
    /** Largest jump of stress between elements round the governing root's peak, over the highest stress there. */
    readonly stressJump: number;
    /** Largest force at a support over the force on a tooth; null where the rim is held. */
    readonly supportForce: number | null;
  };
  readonly passes: readonly Pass[];
  /** Milliseconds. */
  readonly times: {
    readonly mesh: number;
    readonly assemble: number;
    readonly order: number;
    readonly factor: number;
    readonly solve: number;
    readonly recover: number;
    readonly estimate: number;
    readonly total: number;
  };
  readonly notes: readonly string[];
}

/** The field behind a result: what a map is drawn from. */
export interface VariantField {
  readonly outline: Outline;
  readonly mesh: Mesh;
  readonly stress: NodalStress;
}
