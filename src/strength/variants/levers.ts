import {
  type Design,
  DesignError,
  lengthWords,
  type Profile,
  type StrengthChoice,
  type UnitChoice,
} from "../../design/index.ts";
import { reverseCase, reverses } from "./overRunCase.ts";
import { largestRootRadius, withRootRadius } from "./withRootRadius.ts";

/** A change of the part itself that may let its root stand more. */
export interface Lever {
  /** "a larger root radius", and what it is then: "R0.8 mm"; empty where the words say it. */
  readonly words: string;
  readonly at: string;
  /** Makes it, alone or on top of others. */
  readonly make: (design: Design) => Design;
  /** False for what changes no stress, so that the root as solved serves. */
  readonly solves: boolean;
}

/** What a lever brings, or several made together: the most that the part then stands at any hardness, over what it stands so now, less one. */
export interface Brought {
  readonly gain: number;
  /** Hardness to order with it, HRC; null where there is none still. */
  readonly order: readonly [number, number] | null;
  /** True where it is enough at every hardness that the steel's figures reach, and those are fewer than the tolerance takes. */
  readonly atAny: boolean;
}
export interface Gain extends Pick<Lever, "words" | "at">, Brought {}

/** Radius of the loaded root, mm; unbounded where it is as large as it can be. */
export function loadedRadius({ profile }: Design): number {
  const radius =
    profile.kind !== "face tooth"
      ? profile.rootRadius
      : profile.loadedFlank === "drive"
        ? profile.driveRootRadius
        : profile.overrunRootRadius;
  return radius === "full" ? Number.POSITIVE_INFINITY : radius;
}

/** A wall is tried that many times as thick. */
const THICKER = 1.5;

/**
 * A radius half-way to the largest that fits, of the other flank's root too where the torque turned round loads that (of both at once where
 * they are alike), a wall half as thick again (one held fast on its far side is none), and a better surface of the root.
 */
export function leversOf(design: Design): Lever[] {
  return [...radiusLevers(design), ...wallLever(design), ...surfaceLevers(design)];
}

export const CLEAN = "a root free of tool marks and cracks: finish it and inspect it";

/** A flaw taken out; where shocks come again and again the next better finish that a shop has, and peening. */
function surfaceLevers({ strength }: Design): Lever[] {
  if (!strength) return [];
  const { flawDepth = 0, shocks, finish, peened } = strength;
  const lever = (words: string, changed: Partial<StrengthChoice>): Lever => ({
    words,
    at: "",
    make: (design) =>
      design.strength ? { ...design, strength: { ...design.strength, ...changed } } : design,
    solves: false,
  });
  const rough = finish === "as forged" || finish === "hot rolled";
  return [
    ...(flawDepth > 0 ? [lever(CLEAN, { flawDepth: 0 })] : []),
    ...(shocks > 1 && rough ? [lever("machined roots", { finish: "machined" })] : []),
    ...(shocks > 1 && finish === "machined" ? [lever("ground roots", { finish: "ground" })] : []),
    ...(shocks > 1 && !peened ? [lever("shot-peened roots", { peened: true })] : []),
  ];
}

/** Told as it is tried: in hundredths of a millimetre, or thousandths of an inch. */
const inTold = (mm: number, units: UnitChoice): number =>
  units === "inch"
    ? Number((Math.round((1000 * mm) / 25.4) * 0.0254).toPrecision(15))
    : Math.round(100 * mm) / 100;

function radiusLevers(design: Design): Lever[] {
  const { profile } = design;
  const larger = largerRadius(design);
  const lever = (root: string, from: number, radius: number, make: Lever["make"]): Lever => ({
    words: from === 0 ? `a radius in place of the sharp ${root}` : `a larger ${root} radius`,
    at: `R${lengthWords(design.units).length(radius)}`,
    make,
    solves: true,
  });
  const loaded = (root: string) =>
    larger === null ? [] : [lever(root, loadedRadius(design), larger, (of) => withRootRadius(of, larger))];
  if (profile.kind !== "face tooth") return loaded("root");
  const { loadedFlank } = profile;
  if (!reverses(design)) return loaded(`${loadedFlank} root`);
  const [key, other] =
    loadedFlank === "drive"
      ? (["overrunRootRadius", "over-run"] as const)
      : (["driveRootRadius", "drive"] as const);
  const withOther = (of: Design, radius: number): Design =>
    of.profile.kind === "face tooth" ? { ...of, profile: { ...of.profile, [key]: radius } } : of;
  const turned = reverseCase(design);
  const back = turned && largerRadius(turned);
  if (profile[key] === loadedRadius(design)) {
    // what fits both
    const both = turned ? Math.min(larger ?? 0, back ?? 0) : (larger ?? 0);
    return both === 0
      ? []
      : [lever("root", profile[key], both, (of) => withOther(withRootRadius(of, both), both))];
  }
  return [
    ...loaded(`${loadedFlank} root`),
    ...(back === null
      ? []
      : [lever(`${other} root`, loadedRadius(turned!), back, (of) => withOther(of, back))]),
  ];
}

/** Half-way to the largest that fits at the loaded root, mm; null where hardly more fits, or the tooth cannot be cut. */
function largerRadius(design: Design): number | null {
  const own = loadedRadius(design);
  if (!Number.isFinite(own)) return null;
  try {
    const radius = inTold((own + largestRootRadius(design)) / 2, design.units);
    return radius > 1.02 * own ? radius : null;
  } catch (error) {
    if (error instanceof DesignError) return null;
    throw error;
  }
}

const withProfile =
  (changed: { readonly baseThickness: number } | { readonly backDiameter: number }): Lever["make"] =>
  (design) => ({ ...design, profile: { ...design.profile, ...changed } as Profile });

/** With another rim or bore, mm. */
export const withBack = (backDiameter: number): Lever["make"] => withProfile({ backDiameter });

/** With a spline so many times as large in all but its face width, as wider teeth as many as before. */
export const thicker =
  (times: number): Lever["make"] =>
  (design) => {
    const { profile } = design;
    if (profile.kind === "face tooth") return design;
    const { rootRadius, contact } = profile;
    return {
      ...design,
      profile: {
        ...profile,
        pitchDiameter: times * profile.pitchDiameter,
        module: times * profile.module,
        toothThickness: times * profile.toothThickness,
        tipDiameter: times * profile.tipDiameter,
        rootDiameter: times * profile.rootDiameter,
        backDiameter: times * profile.backDiameter,
        rootRadius: rootRadius === "full" ? rootRadius : times * rootRadius,
        tipChamfer: times * profile.tipChamfer,
        contact: [times * contact[0], times * contact[1]],
      },
    };
  };

/** The next smaller bore that a drawing tells: in tenths of a millimetre, or hundredths of an inch. */
export const boreInTold = (mm: number, units: UnitChoice): number =>
  units === "inch" ? (Math.floor((100 * mm) / 25.4 + 1e-9) / 100) * 25.4 : Math.floor(10 * mm + 1e-9) / 10;

function wallLever(design: Design): Lever[] {
  const { profile, units, load } = design;
  if (load.reaction === "held") return [];
  const say = lengthWords(units);
  if (profile.kind === "face tooth") {
    const baseThickness = inTold(THICKER * profile.baseThickness, units);
    return [
      {
        words: "a thicker base under the teeth",
        at: say.length(baseThickness),
        make: withProfile({ baseThickness }),
        solves: true,
      },
    ];
  }
  const more = (THICKER - 1) * (profile.backDiameter - profile.rootDiameter);
  const backDiameter = inTold(profile.backDiameter + more, units);
  if (!(backDiameter > 0)) return [];
  return [
    {
      words: "a thicker wall behind the teeth",
      at: `${profile.kind === "internal spline" ? "rim" : "bore"} ${say.length(backDiameter)}`,
      make: withBack(backDiameter),
      solves: true,
    },
  ];
}
