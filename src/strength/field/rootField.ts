import type { Design } from "../../design/index.ts";
import type { Outline } from "../../geometry/index.ts";
import { type Mesh, nearestNode } from "../../mesh/index.ts";
import {
  baseDiameter,
  type ProfileOutline,
  straightThicknessAt,
  toothThicknessAt,
} from "../../profile/index.ts";
import {
  type EdgeLoad,
  evaluator,
  type NodalStress,
  type Solution,
  type Support,
} from "../../solver/index.ts";
import { type CornerIntensity, cornerIntensity } from "./cornerIntensity.ts";
import { lineStress, type RootPaths } from "./criticalDistance.ts";
import type { OpeningPath, PlaceSampler } from "./openingPath.ts";
import { repeatedSampler } from "./repeatedSampler.ts";
import type { WallForces } from "./ringWall.ts";
import { placesBeside, probePaths, type RootStart, readPaths } from "./rootPlaces.ts";
import type { Shaft } from "./shaftTwist.ts";
import { type ToothSection, toothSections } from "./toothSections.ts";
import { withoutSink } from "./torqueSink.ts";
import { decidingSections } from "./wallSections.ts";

/** What a solved pass must carry for a root field to be read from it. */
export interface SolvedRoot {
  readonly model: { readonly outline: Outline; readonly mesh: Mesh; readonly copies: number };
  readonly loads: {
    readonly loads: readonly EdgeLoad[];
    readonly supports: readonly Support[];
    /** Torque of the whole part that the loads stand for, and that of the most loaded tooth, N·mm. */
    readonly shockTorque: number;
    readonly perTooth: number;
    /** Of the flank tractions of all teeth of the model, signed, N·mm; more than the shock torque where a sector stands for a share. */
    readonly appliedTorque: number;
    /** Contact pressure on it, MPa. */
    readonly pressure: number;
  };
  readonly solution: Pick<Solution, "displacement">;
  readonly stress: NodalStress;
  readonly answer: {
    readonly root: {
      readonly sharp: boolean;
      readonly peakPrincipal: { readonly stress: number; readonly x: number; readonly y: number } | null;
      readonly highestVonMises: { readonly stress: number } | null;
      readonly pushOverPull: number | null;
      readonly nominal: { readonly stress: number };
    };
    /** Where the governing root's averaged stress was read, then further places of roots, worst tooth of each. */
    readonly starts: () => readonly RootStart[];
    /** Where roots are pushed, the hardest pushed first; none where none is. */
    readonly pushedStarts: () => readonly RootStart[];
  };
}

/**
 * All that strength needs of one solved variant, per N·mm of torque on the whole part, so that every question of steel
 * and hardness is arithmetic. Plain data. Stresses "per torque" are MPa/(N·mm) = 1/mm³.
 */
export interface RootField extends RootPaths, RootStart {
  readonly sharp: boolean;
  /** Of further places behind which the stress is higher at some depth; mostly none. */
  readonly others: readonly RootPaths[];
  /** Paths from where roots are pushed, stresses with the opposite sign: what a torque that reverses pulls open. Null where none is pushed, absent where
   * nobody asked. */
  readonly pushed?: RootPaths | null;
  /** The same of a torque turned round, where that loads a flank that is no mirror image of this one; absent where it does. */
  readonly reverse?: ReversedRoot;
  /** The same of a ring kept flat, where this one is of a ring that dishes: whatever gives first of either counts. */
  readonly keptFlat?: RootField;
  /** The same at the low end of a band of friction, where this one is of its high end: whatever gives first at either counts. */
  readonly lowFriction?: RootField;
  /** Largest principal stress along the root, per torque; null where sharp. */
  readonly peakPrincipal: number | null;
  /** Highest von Mises stress along any root, pulled or pushed, per torque: yielding begins there. Null where any is sharp. */
  readonly highestVonMises: number | null;
  /** How much harder the hardest pushed root is pushed than this one is pulled, 1 where it is not; null where this one is not pulled. */
  readonly pushOverPull: number | null;
  /** Nominal bending stress 6 W h / (b t²), per torque. */
  readonly nominal: number;
  /** Contact pressure on the most loaded flank, per torque. */
  readonly pressure: number;
  /** Singular field at the tip, per torque; null where rounded. */
  readonly corner: CornerIntensity | null;
  readonly tooth: ToothFigures;
  /** Forces in the wall (of face teeth the base) between two teeth, at the sections of the part that may give in first. */
  readonly walls: readonly WallForces[];
}

/** What a torque turned round does, per torque. */
export type ReversedRoot = Omit<RootField, "reverse">;

/** Figures of the tooth and of the ring behind it, mm. */
export interface ToothFigures {
  readonly kind: Design["profile"]["kind"];
  readonly teeth: number;
  /** Share of the torque on the most loaded tooth, times the number of teeth: 1 when all carry alike. */
  readonly overload: number;
  readonly faceWidth: number;
  /** Thickness of the tooth at its root, and distance from there to the middle of the contact band. */
  readonly rootThickness: number;
  readonly arm: number;
  /** Sections from there, the first, to the end of the contact. */
  readonly sections: readonly ToothSection[];
  /** Force across the most loaded tooth, N per N·mm of torque on the part. */
  readonly forcePerTorque: number;
  /** Mean (pitch) diameter at which Dudley's formulas count the load, and tooth thickness there. */
  readonly pitchDiameter: number;
  readonly pitchThickness: number;
  /** Radial height of the contact band. */
  readonly contactHeight: number;
  /** Angle between flank normal and hoop direction there, rad. */
  readonly pressureAngle: number;
  /** Wall between root circle and rim or bore, base thickness of a face tooth. */
  readonly wall: number;
  /** Whether the model holds the wall's far side fast: no thicker one then takes stress off the root. */
  readonly wallHeld: boolean;
  /**
   * Hoop tension of the ring between two teeth of an internal spline, N per N·mm of torque on the whole part, all teeth carrying alike;
   * negative where undercut flanks pull the ring inward, 0 for other parts.
   */
  readonly hoopPerTorque: number;
  /** What carries the torque on from the teeth of an external spline; null for other parts. */
  readonly shaft: Shaft | null;
}

/**
 * Statics of one tooth's sector cut at the middles of its gaps: the force's part along the tooth's axis is W sin γ, the hoop
 * tension N at both cuts has 2 N sin(π/z) along it, and an even reaction round the rim none. γ is the force's angle from square across
 * the tooth at the middle of the band, β the polar angle of that place from the axis, and W r cos(γ − β) its torque.
 */
function hoopPerTorque(profile: Design["profile"], radius: number, pressureAngle: number): number {
  if (profile.kind !== "internal spline") return 0;
  const place = toothThicknessAt(profile, 2 * radius) / (2 * radius);
  // an involute's angle is from the hoop direction where it touches, a straight flank's from square across its tooth
  const slant = profile.flank.form === "involute" ? pressureAngle + place : profile.flank.angle;
  const { teeth } = profile;
  return Math.sin(slant) / (2 * teeth * radius * Math.cos(slant - place) * Math.sin(Math.PI / teeth));
}

/** What a crack from the root goes through, mm: the tooth, or the wall behind it where that is thinner. */
export const cracksThrough = ({
  rootThickness,
  wall,
}: Pick<ToothFigures, "rootThickness" | "wall">): number => Math.min(rootThickness, wall);

/** Wall between root circle and rim or bore, mm; base thickness of a face tooth. */
export function wallBehind(profile: Design["profile"]): number {
  return profile.kind === "face tooth"
    ? profile.baseThickness
    : Math.abs(profile.backDiameter - profile.rootDiameter) / 2;
}

export interface RootFieldOptions {
  /** Paths are read out to this distance, mm; default twice the tooth's root thickness. */
  readonly length?: number;
  /** Step between paths, rad; default 3°. */
  readonly step?: number;
  /** Whether to read what is pushed, which a torque that reverses asks for; by default where the design's does. */
  readonly pushed?: boolean;
}

/**
 * Reads the governing root of a solved pass: its paths at all angles, the intensities of a sharp corner, and the
 * tooth's figures, divided by the torque of the pass. Paths that cross the sector's cut go on in its neighbour.
 */
export function buildRootField(
  design: Design,
  built: ProfileOutline,
  pass: SolvedRoot,
  options: RootFieldOptions = {},
): RootField {
  const { profile, material } = design;
  const { root } = pass.answer;
  const { outline, mesh } = pass.model;
  const torque = pass.loads.shockTorque;
  if (!(torque > 0)) throw new Error(`root field: solved under a torque of ${torque} N·mm`);
  const problem = {
    outline,
    mesh,
    material,
    thickness: profile.faceWidth,
    loads: pass.loads.loads,
    supports: pass.loads.supports,
  };
  const sampler = repeatedSampler(outline, evaluator(problem, pass.solution, pass.stress).stressAtPlace);
  const paths = pathSampler(profile, pass, sampler);
  const most = options.length ?? 2 * built.rootThickness;
  const scale = 1 / torque;
  const leastAt = ({ x, y, radius, scale: size }: RootStart) =>
    Math.min(most / 4, radius === 0 ? 4 * largestSideAt(mesh, x, y) : size / 20);
  const cornerAt = ({ x, y, dx: bisectorX, dy: bisectorY, materialAngle }: RootStart, by: number) =>
    perTorque(cornerIntensity(problem, pass.solution, { x, y, bisectorX, bisectorY, materialAngle }), by);
  const pathsFrom = (start: RootStart): RootPaths => {
    const corner = start.radius === 0 ? cornerAt(start, torque) : null;
    return {
      corner,
      paths: readPaths(paths, start, { corner, least: leastAt(start), most, scale, ...options }),
    };
  };
  const [start, ...starts] = pass.answer.starts();
  const first = pathsFrom(start);
  // half-way through tooth or wall the line criterion has long given way to the plastic section
  const through = cracksThrough({ rootThickness: built.rootThickness, wall: wallBehind(profile) });
  const deep = Math.min(most, through / 2);
  const others = placesBeside(
    first,
    starts,
    [leastAt(start) / 10, deep],
    (other) => probePaths(paths, other, { least: Math.min(leastAt(other), deep / 2), most: 2 * deep, scale }),
    pathsFrom,
  );
  return {
    sharp: start.radius === 0,
    ...start,
    ...first,
    others,
    ...((options.pushed ?? (design.strength?.torqueRatio ?? 0) < 0) && {
      pushed: pushedPaths(
        pass.answer.pushedStarts(),
        leastAt,
        deep,
        (other) => {
          const corner = other.radius === 0 ? cornerAt(other, -torque) : null;
          const range = { corner, least: leastAt(other), most, scale: -scale, step: PUSHED_STEP };
          // behind a wall too thin for a path nothing is pushed open
          const none = corner === null && probePaths(paths, other, range).length === 0;
          return { corner, paths: none ? [] : readPaths(paths, other, range) };
        },
        (other) => probePaths(paths, other, { least: leastAt(other), most, scale: -scale }),
      ),
    }),
    peakPrincipal: root.peakPrincipal ? root.peakPrincipal.stress / torque : null,
    highestVonMises: root.highestVonMises ? root.highestVonMises.stress / torque : null,
    pushOverPull: root.pushOverPull,
    nominal: root.nominal.stress / torque,
    pressure: pass.loads.pressure / torque,
    tooth: toothFigures(design, built, pass),
    walls: decidingSections(profile, built, pass, sampler),
  };
}

/** Of paths that are pushed it is enough to know the worst within a per cent or two: they bound a range of stress. rad. */
const PUSHED_STEP = Math.PI / 30;

/** Paths from the hardest pushed place, with those of others that are pushed harder at some depth. */
function pushedPaths(
  [first, ...starts]: readonly RootStart[],
  leastAt: (start: RootStart) => number,
  deep: number,
  pathsFrom: (start: RootStart) => RootPaths,
  probe: (start: RootStart) => readonly OpeningPath[],
): RootPaths | null {
  if (!first) return null;
  const hardest = pathsFrom(first);
  if (hardest.paths.length === 0) return null;
  const others = placesBeside(
    hardest,
    starts,
    [leastAt(first) / 10, deep],
    (other) => (other.radius === 0 ? pathsFrom(other).paths : probe(other)),
    pathsFrom,
  );
  return { ...hardest, others };
}

/** A root with what a torque turned round does, highest friction beside highest and lowest beside lowest; a ring that dishes one way round is kept flat, or not, the other way round as well. */
export function withReverse(root: RootField, reverse: RootField): RootField {
  const { keptFlat, lowFriction = reverse.lowFriction && root } = root;
  return {
    ...root,
    reverse,
    ...(keptFlat && { keptFlat: { ...keptFlat, reverse: reverse.keptFlat ?? reverse } }),
    ...(lowFriction && {
      lowFriction: withReverse(alone(lowFriction), alone(reverse.lowFriction ?? reverse)),
    }),
  };
}

/** A root at one friction. */
function alone({ lowFriction: _low, ...root }: RootField): RootField {
  return root;
}

/**
 * A root with the push of another load of the same part beside its own. @param distance averaged over which, mm, the two are held against
 * the pull.
 */
export function withPushed(root: RootField, pushing: RootField, distance: number): RootField {
  const { pushed: harder, keptFlat: flatHarder } = pushing;
  const keptFlat =
    root.keptFlat && flatHarder ? { keptFlat: withPushed(root.keptFlat, flatHarder, distance) } : {};
  if (!harder) return { ...root, ...keptFlat };
  const { pushed: own, pushOverPull } = root;
  const beside = own ? [{ paths: own.paths, corner: own.corner }, ...(own.others ?? [])] : [];
  const mean = (of: RootPaths) => lineStress(of, distance / 2).stress;
  return {
    ...root,
    ...keptFlat,
    pushed: { ...harder, others: [...(harder.others ?? []), ...beside] },
    pushOverPull: pushOverPull === null ? null : Math.max(pushOverPull, mean(harder) / mean(root)),
  };
}

/**
 * Stresses that cracks are driven by. A shaft takes its torque along its axis: what shear the plane model piles up on the way to the bore,
 * where it holds the torque, over that at the root circle, is none of a crack's. Elsewhere the field as it is.
 */
function pathSampler(profile: Design["profile"], { loads }: SolvedRoot, sampler: PlaceSampler): PlaceSampler {
  return profile.kind === "external spline"
    ? withoutSink(loads, profile.faceWidth, profile.rootDiameter / 2, sampler)
    : sampler;
}

function perTorque(found: CornerIntensity, torque: number): CornerIntensity {
  return { ...found, k1: found.k1 / torque, k2: found.k2 === null ? null : found.k2 / torque };
}

/** Longest element side that ends at the node nearest to (x, y), mm. */
function largestSideAt(mesh: Mesh, x: number, y: number): number {
  const { xy, elements } = mesh;
  const node = nearestNode(mesh, x, y);
  let longest = 0;
  for (let e = 0; e < elements.length; e += 6) {
    if (elements[e] !== node && elements[e + 1] !== node && elements[e + 2] !== node) continue;
    for (let a = 0; a < 3; a++) {
      const i = elements[e + a];
      longest = Math.max(longest, Math.hypot(xy[2 * i] - xy[2 * node], xy[2 * i + 1] - xy[2 * node + 1]));
    }
  }
  return longest;
}

/** Figures of the most loaded tooth, mm and N per N·mm. */
export function toothFigures(
  design: Design,
  built: ProfileOutline,
  { loads }: Pick<SolvedRoot, "loads">,
): ToothFigures {
  const { profile } = design;
  const face = profile.kind === "face tooth";
  const lever = face ? profile.meanDiameter / 2 : built.bandMiddle;
  const pitchDiameter = face ? profile.meanDiameter : profile.pitchDiameter;
  const base = face ? null : baseDiameter(profile);
  const height = face ? profile.height : Math.abs(profile.tipDiameter - profile.rootDiameter) / 2;
  const middle = face
    ? built.rootThickness +
      ((profile.tipLand - built.rootThickness) * built.bandMiddle) / Math.max(height, built.bandMiddle)
    : straightThicknessAt(profile, pitchDiameter);
  const pressureAngle = face
    ? profile.loadedFlank === "drive"
      ? profile.driveAngle
      : profile.overrunAngle
    : base === null
      ? Math.abs(profile.flank.form === "straight" ? profile.flank.angle : 0)
      : Math.acos(Math.min(1, base / (2 * built.bandMiddle)));
  return {
    kind: profile.kind,
    teeth: profile.teeth,
    overload: (loads.perTooth * profile.teeth) / loads.shockTorque,
    faceWidth: profile.faceWidth,
    rootThickness: built.rootThickness,
    arm: Math.abs(built.bandMiddle - built.rootRadiusPosition),
    sections: toothSections(design, built),
    forcePerTorque: loads.perTooth / loads.shockTorque / lever,
    pitchDiameter,
    pitchThickness: middle,
    contactHeight: face ? built.contact[1] - built.contact[0] : (built.contact[1] - built.contact[0]) / 2,
    pressureAngle,
    wall: wallBehind(profile),
    wallHeld: design.load.reaction === "held",
    hoopPerTorque: hoopPerTorque(profile, built.bandMiddle, pressureAngle),
    shaft:
      profile.kind === "external spline"
        ? { diameter: profile.rootDiameter, bore: profile.backDiameter }
        : null,
  };
}
