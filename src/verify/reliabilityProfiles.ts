import type { Design, FaceToothProfile, Profile, SplineProfile } from "../design/index.ts";
import { largestFillet } from "../profile/index.ts";

/** One design of the reliability study, and what is varied in it. */
export interface StudyDesign {
  readonly name: string;
  /** Root radius as a share of the largest that fits; 0 is sharp. */
  readonly radiusShare: number;
  readonly loaded: "all" | 1 | 2;
  readonly design: Design;
}

const DEGREE = Math.PI / 180;

/** Teeth, module mm, flank angle degrees, addendum, dedendum and tooth thickness over module (thickness over pitch), rim over module. */
type SplineSet = readonly [
  teeth: number,
  module: number,
  angle: number,
  addendum: number,
  dedendum: number,
  thickness: number,
  back: number,
];
/** Teeth, mean diameter mm, height, tip land and base over pitch, drive and over-run angle degrees, the flank loaded. */
type FaceSet = readonly [
  teeth: number,
  meanDiameter: number,
  height: number,
  land: number,
  base: number,
  drive: number,
  overrun: number,
  loadedFlank: "drive" | "over-run",
];

const INVOLUTE_INTERNAL: readonly SplineSet[] = [
  [9, 3, 30, 0.4, 0.7, 0.5, 2],
  [17, 2, 30, 0.4, 0.75, 0.5, 4.7],
  [24, 1, 37.5, 0.35, 0.55, 0.49, 1.2],
  [40, 1.25, 20, 0.45, 0.65, 0.51, 0.8],
];
const INVOLUTE_EXTERNAL: readonly SplineSet[] = [
  [8, 4, 25, 0.5, 0.7, 0.5, 1.4],
  [14, 2.5, 30, 0.45, 0.65, 0.5, 2.5],
  [22, 1.5, 30, 0.5, 0.7, 0.48, 3],
  [36, 0.8, 20, 0.5, 0.75, 0.47, 3],
];
const STRAIGHT_INTERNAL: readonly SplineSet[] = [
  [6, 6, 0, 0.4, 0.4, 0.48, 1.5],
  [10, 3, 15, 0.45, 0.45, 0.5, 2],
  [16, 2, 30, 0.35, 0.35, 0.52, 0.9],
];
const STRAIGHT_EXTERNAL: readonly SplineSet[] = [
  [6, 6, 0, 0.4, 0.4, 0.5, 1],
  [8, 4, -5, 0.35, 0.35, 0.46, 1.6],
  [12, 2.5, 20, 0.5, 0.5, 0.5, 2.4],
];
const FACE: readonly FaceSet[] = [
  [5, 80, 0.15, 0.4, 0.2, 0, 20, "drive"],
  [11, 55, 0.28, 0.35, 0.5, -2, 8, "drive"],
  [12, 60, 0.2, 0.3, 0.3, 2, 40, "over-run"],
  [18, 90, 0.22, 0.45, 0.6, 5, 5, "drive"],
  [24, 100, 0.25, 0.4, 0.25, -4, 15, "drive"],
];
/** Of the proportions of a standard's fillet root, 30° and 45°, whose largest radii take up all of the root. */
const FULL_INTERNAL: readonly SplineSet[] = [[11, 2, 45, 0.4, 0.6, 0.5, 2]];
const FULL_EXTERNAL: readonly SplineSet[] = [[12, 2, 30, 0.5, 0.9, 0.5, 3]];

/** What each profile is tried with in turn: share of the largest radius, teeth loaded. */
const TRIALS: readonly (readonly [share: number, loaded: "all" | 1 | 2])[] = [
  [0.02, "all"],
  [0.1, 1],
  [0.35, "all"],
  [0.7, 2],
  [1, "all"],
];
/** A whole ring of more teeth than this is left out: nothing but its size is new. */
const MOST_RING_TEETH = 18;

/** The designs of the study, always the same and in the same order: 21 profiles, five trials of each, and seven sharp ones. */
export function studyDesigns(): StudyDesign[] {
  const profiles: [string, Profile][] = [
    ...INVOLUTE_INTERNAL.map((set) => splineOf("internal spline", "involute", set)),
    ...INVOLUTE_EXTERNAL.map((set) => splineOf("external spline", "involute", set)),
    ...STRAIGHT_INTERNAL.map((set) => splineOf("internal spline", "straight", set)),
    ...STRAIGHT_EXTERNAL.map((set) => splineOf("external spline", "straight", set)),
    ...FACE.map(faceOf),
    ...FULL_INTERNAL.map((set) => splineOf("internal spline", "involute", set)),
    ...FULL_EXTERNAL.map((set) => splineOf("external spline", "involute", set)),
  ];
  const designs: StudyDesign[] = [];
  for (const [k, [name, profile]] of profiles.entries()) {
    for (const [share, loaded] of TRIALS) {
      // where the ring is too large, the same radius with all teeth alike
      const teeth = profile.teeth > MOST_RING_TEETH ? "all" : loaded;
      designs.push({
        name,
        radiusShare: share,
        loaded: teeth,
        design: designOf(name, withRadius(profile, share), teeth),
      });
    }
    if (k % 3 === 0) {
      designs.push({
        name,
        radiusShare: 0,
        loaded: "all",
        design: designOf(name, withRadius(profile, 0), "all"),
      });
    }
  }
  return designs;
}

function splineOf(
  kind: SplineProfile["kind"],
  form: "involute" | "straight",
  [teeth, module, angle, addendum, dedendum, thickness, back]: SplineSet,
): [string, SplineProfile] {
  const way = kind === "external spline" ? 1 : -1;
  const pitchDiameter = module * teeth;
  const rootDiameter = pitchDiameter - way * 2 * dedendum * module;
  const tipDiameter = pitchDiameter + way * 2 * addendum * module;
  // contact from 40 to 85 % of the height, on the involute
  const base = form === "involute" ? pitchDiameter * Math.cos(angle * DEGREE) : 0;
  const from = rootDiameter + 0.4 * (tipDiameter - rootDiameter);
  const to = rootDiameter + 0.85 * (tipDiameter - rootDiameter);
  const contact: [number, number] = [Math.max(base, Math.min(from, to)), Math.max(from, to)];
  const name = `${kind}, ${teeth} teeth, module ${module}, ${form} ${angle}°`;
  return [
    name,
    {
      kind,
      teeth,
      flank: form === "involute" ? { form, pressureAngle: angle * DEGREE } : { form, angle: angle * DEGREE },
      pitchDiameter,
      module,
      toothThickness: thickness * Math.PI * module,
      tipDiameter,
      rootDiameter,
      backDiameter: rootDiameter - way * 2 * back * module,
      rootRadius: 0,
      tipChamfer: 0,
      contact,
      contactGiven: false,
      faceWidth: 10,
    },
  ];
}

function faceOf([teeth, meanDiameter, height, land, base, drive, overrun, loadedFlank]: FaceSet): [
  string,
  FaceToothProfile,
] {
  const pitch = (Math.PI * meanDiameter) / teeth;
  const name = `face tooth, ${teeth} teeth, Ø${meanDiameter}, ${drive}° and ${overrun}°, ${loadedFlank}`;
  return [
    name,
    {
      kind: "face tooth",
      teeth,
      meanDiameter,
      height: height * pitch,
      driveAngle: drive * DEGREE,
      overrunAngle: overrun * DEGREE,
      tipLand: land * pitch,
      driveRootRadius: 0,
      overrunRootRadius: 0,
      tipChamfer: 0,
      baseThickness: base * pitch,
      faceWidth: 9,
      contact: [0.4 * height * pitch, 0.85 * height * pitch],
      contactGiven: false,
      loadedFlank,
    },
  ];
}

/** The profile with both roots at a share of the largest radius that fits (of a face tooth each side's own). */
function withRadius(profile: Profile, share: number): Profile {
  if (share === 0) return profile;
  const radius = share * largestFillet(profile, "loaded").radius;
  if (profile.kind !== "face tooth") return { ...profile, rootRadius: radius };
  const [loaded, other] =
    profile.loadedFlank === "drive"
      ? (["driveRootRadius", "overrunRootRadius"] as const)
      : (["overrunRootRadius", "driveRootRadius"] as const);
  const half = { ...profile, [loaded]: radius };
  // what the loaded side leaves over
  return { ...half, [other]: Math.min(share, 0.9) * largestFillet(half, "unloaded").radius };
}

function designOf(name: string, profile: Profile, loaded: "all" | 1 | 2): Design {
  const height =
    profile.kind === "face tooth" ? profile.height : Math.abs(profile.tipDiameter - profile.rootDiameter) / 2;
  // two loaded teeth stand a third of the ring apart
  const second = Math.round(profile.teeth / 3);
  const weights = Array.from({ length: profile.teeth }, (_, k) =>
    loaded === 1 ? Number(k === 0) : k === 0 || k === second ? 0.5 : 0,
  );
  return {
    part: name,
    variant: "study",
    note: "",
    profile,
    load: {
      torque: 100_000,
      shockFactor: 1,
      sharing: loaded === "all" ? { mode: "share", fraction: 1 } : { mode: "teeth", weights },
      friction: 0,
      reaction: "uniform shear",
    },
    steel: null,
    material: { E: 205_000, nu: 0.29, state: "plane stress" },
    averagingDistance: 0.05 * height,
    accuracy: 0.01,
    units: "metric",
    defaults: [],
  };
}
