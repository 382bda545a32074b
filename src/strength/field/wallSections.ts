import type { FaceToothProfile, SplineProfile } from "../../design/index.ts";
import type { ProfileOutline } from "../../profile/index.ts";
import type { PlaceSampler } from "./openingPath.ts";
import { decidingWalls, type WallForces, type WallSection, wallForces } from "./ringWall.ts";
import { withoutSink } from "./torqueSink.ts";

/** What of a solved pass its walls are judged by; see `SolvedRoot`. */
export interface SolvedWall {
  readonly model: { readonly copies: number };
  readonly loads: { readonly shockTorque: number; readonly perTooth: number; readonly appliedTorque: number };
}

/** Forces in the wall between two teeth (of face teeth the base), at the sections that may give in first, per N·mm of torque on the part. */
export function decidingSections(
  profile: SplineProfile | FaceToothProfile,
  built: ProfileOutline,
  pass: SolvedWall,
  sampler: PlaceSampler,
): WallForces[] {
  return decidingWalls(
    profile.kind === "face tooth"
      ? ofBase(profile, built, pass, sampler)
      : ofRing(profile, built, pass, sampler),
  );
}

/** Sections across the wall of one gap. */
const SECTIONS = 13;

/**
 * Sections of the wall, in the gap after each tooth of the model from the foot of one tooth to that of the next; a ring of one
 * sector has the same in all. A sector whose teeth carry more than their part stands for a ring of which only some do: the tooth's own
 * force bends and shears the wall beside it, but all teeth together stretch the ring no more than the torque does.
 */
function ofRing(
  profile: SplineProfile,
  built: ProfileOutline,
  { model, loads }: SolvedWall,
  sampler: PlaceSampler,
): WallForces[] {
  const radii = [profile.rootDiameter / 2, profile.backDiameter / 2].sort((a, b) => a - b) as [
    number,
    number,
  ];
  const middle = Math.PI / built.sectors;
  const foot = Math.max(...built.corners.map(({ x, y }) => Math.abs(Math.atan2(y, x))));
  const stretched = model.copies === 1 ? loads.shockTorque / (loads.perTooth * profile.teeth) : 1;
  // a shaft takes its torque along its axis: the shear on the way to the bore, where the plane model holds it, is none of the wall's
  const at =
    profile.kind === "external spline" ? withoutSink(loads, profile.faceWidth, Infinity, sampler) : sampler;
  const [from, to] = radii;
  const sections: WallSection[] = [];
  for (let tooth = 0; tooth < model.copies; tooth++)
    for (let k = 0; k < SECTIONS; k++) {
      // close to the corners, not in them: a sharp one is a stress without bound
      const off = 0.98 * (middle - foot) * ((2 * k) / (SECTIONS - 1) - 1);
      sections.push({ x: 0, angle: (2 * tooth + 1) * middle + off, from, to });
    }
  return sections.map((section) => {
    const forces = wallForces(at, section, profile.faceWidth, 1 / loads.shockTorque);
    return { ...forces, normal: stretched * forces.normal };
  });
}

/** Sections across the base under each fillet of a gap, and under the land between them: the worst stands where a fillet ends, or just in it. */
const BASE_SECTIONS = 9;

/** Where a flank meets the root line, where its fillet begins on that, and the fillet's radius, mm. */
interface Foot {
  readonly foot: number;
  readonly end: number;
  readonly radius: number;
}

/** How far a fillet stands above the root line so far from where it begins, mm. */
const filletAbove = ({ radius }: Foot, into: number): number =>
  into > 0 ? radius - Math.sqrt(Math.max(0, radius * radius - into * into)) : 0;

/** The same of a face tooth's base, from its back to the root line, as the model holds it: evenly along its back. */
function ofBase(
  profile: FaceToothProfile,
  built: ProfileOutline,
  { model, loads }: SolvedWall,
  sampler: PlaceSampler,
): WallForces[] {
  const { baseThickness, faceWidth } = profile;
  const pitch = (Math.PI * profile.meanDiameter) / profile.teeth;
  // from foot to foot, in the neighbour's place the second; beside the land fillets make the base thicker
  const [left, right] = built.corners
    .map(({ x, radius, materialAngle }) => {
      const setback = radius > 0 ? -radius / Math.tan(materialAngle / 2) : 0;
      return x > 0
        ? { foot: x, end: x + setback, radius }
        : { foot: x + pitch, end: x - setback + pitch, radius };
    })
    .sort((a, b) => a.foot - b.foot) as [Foot, Foot];
  // close to a sharp corner, not in it: its stress is without bound
  const clear = 0.01 * (right.foot - left.foot);
  const stretches = [
    [left.foot + clear, Math.max(left.end, left.foot + clear)],
    [Math.max(left.end, left.foot + clear), Math.min(right.end, right.foot - clear)],
    [Math.min(right.end, right.foot - clear), right.foot - clear],
  ] as const;
  const places = stretches.flatMap(([from, to]) =>
    Array.from({ length: BASE_SECTIONS }, (_, k) => from + ((to - from) * k) / (BASE_SECTIONS - 1)),
  );
  const sections: WallSection[] = [];
  for (let tooth = 0; tooth < model.copies; tooth++)
    for (const x of new Set(places)) {
      const to = Math.max(filletAbove(left, left.end - x), filletAbove(right, x - right.end));
      sections.push({ x: x + pitch * tooth, angle: Math.PI / 2, from: -baseThickness, to });
    }
  return sections.map((section) => wallForces(sampler, section, faceWidth, 1 / loads.shockTorque));
}
