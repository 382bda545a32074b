import {
  type Design,
  type FrictionOf,
  type Load,
  loadsOverRunFlank,
  type OverRunChoice,
  ownFriction,
  type PinChoice,
  type Profile,
  type StrengthChoice,
  withFriction,
} from "../../design/index.ts";
import type { Change } from "../arithmetic/fairSplit.ts";
import { same } from "../arithmetic/same.ts";
import { followingFigures } from "./followingFigures.ts";
import { neitherTells } from "./leftOut.ts";
import { reverses } from "./overRunCase.ts";
import { profileChanges } from "./profileChanges.ts";

/** Two variants taken apart: what they differ in, and every variant between them. */
export interface VariantChanges {
  /** Root first; empty when nothing that bears on what the part stands differs. */
  readonly changes: readonly Change[];
  /** The first variant with these changes made; with all of them it is the second but for its name, note and torque. */
  readonly mix: (made: ReadonlySet<string>) => Design;
  /** True when the mix is another geometry or another load on it, so that it must be solved and not only judged. */
  readonly needsSolve: (id: string) => boolean;
  /** False for what has no part in the torque that breaks the part when it drives: springs, friction, pins. */
  readonly bearsOnDrive: (id: string) => boolean;
  /** True for what bears on over-running by itself, whatever the root: ramp, springs, friction, pins. */
  readonly bearsOnRelease: (id: string) => boolean;
}

/** The torque required, the margin and the heat treater's tolerance change no capacity. */
const STRENGTH_GROUPS: readonly (readonly [
  id: string,
  title: string,
  keys: readonly (keyof StrengthChoice)[],
])[] = [
  ["finish", "surface of the root", ["finish"]],
  ["peening", "shot peening", ["peened"]],
  ["flaw", "flaw in the root", ["flawDepth"]],
  ["duty", "shocks asked for", ["shocks", "torqueRatio"]],
  ["distribution", "distribution factor", ["distributionFactor"]],
];

/** Of the over-run section: the largest torque it can bring is asked for, and changes nothing. */
const OVER_RUN_GROUPS: readonly (readonly [id: string, title: string, key: keyof OverRunChoice])[] = [
  ["ramp angle", "ramp angle", "rampAngle"],
  ["ramp radius", "mean radius of the ramps", "meanRadius"],
  ["springs", "springs", "springForce"],
  ["friction", "friction of ramps and spline", "friction"],
  ["sliding spline", "sliding spline", "spline"],
];

const PIN_GROUPS: readonly (readonly [id: string, title: string, keys: readonly (keyof PinChoice)[]])[] = [
  ["pins", "pins", ["count", "diameter", "radius", "planes"]],
  ["pin strength", "strength of the pins", ["shearStrength"]],
];

/** Of a case-hardened steel it may be the case, the core, or how deep the case is. */
function hardnessTitle(from: Design["steel"], to: Design["steel"]): string {
  const a = from?.core;
  const b = to?.core;
  if (!a || !b) return "hardness";
  const parts = [
    ...(from.hardnessLow === to.hardnessLow && from.hardnessHigh === to.hardnessHigh
      ? []
      : ["case hardness"]),
    ...(a.hardnessLow === b.hardnessLow && a.hardnessHigh === b.hardnessHigh ? [] : ["core hardness"]),
    ...(same(a.caseDepth, b.caseDepth) ? [] : ["case depth"]),
  ];
  return parts.length > 0 ? parts.join(", ") : "hardness";
}

/** The torque asked for is no change: capacity does not depend on it. */
export function variantChanges(from: Design, to: Design): VariantChanges {
  const changes: Change[] = [];
  const makers = new Map<string, (design: Design) => Design>();
  const solved = new Set<string>();
  const releasing = new Set<string>();
  const following = followingFigures(from, to);
  // that of the loaded flank, where neither part file gives it
  const frictionFollows = neitherTells([from, to], "load.friction");
  const add = (id: string, title: string, solve: boolean, make: (design: Design) => Design): void => {
    changes.push({ id, title });
    makers.set(id, make);
    if (solve) solved.add(id);
  };
  /** A change that bears on over-running, made together with what has that name already. */
  const addRelease = (id: string, title: string, make: (design: Design) => Design): void => {
    releasing.add(id);
    const before = makers.get(id);
    if (before) makers.set(id, (design) => make(before(design)));
    else add(id, title, false, make);
  };

  if (from.profile.kind !== to.profile.kind) {
    add("tooth", "the tooth itself", true, (design) => ({ ...design, profile: to.profile }));
  } else {
    for (const { id, title, values } of profileChanges(from, to, following))
      add(id, title, true, (design) => ({
        ...design,
        profile: { ...design.profile, ...values } as Profile,
      }));
  }
  const loadParts = [
    ...(same(from.load.sharing, to.load.sharing) ? [] : ["teeth sharing the load"]),
    ...(frictionFollows || same(frictionOf(from.load), frictionOf(to.load)) ? [] : ["friction on the flank"]),
    ...(from.load.reaction === to.load.reaction ? [] : ["where the reaction is taken"]),
  ];
  if (loadParts.length > 0) {
    const { sharing, reaction } = to.load;
    add("teeth sharing", loadParts.join(", "), true, (design) => ({
      ...design,
      load: {
        ...(frictionFollows ? design.load : withFriction(design.load, frictionOf(to.load))),
        sharing,
        reaction,
      },
    }));
  }
  if (!same(from.steel, to.steel)) {
    const id = from.steel?.grade === to.steel?.grade ? "hardness" : "steel and hardness";
    add(id, id === "hardness" ? hardnessTitle(from.steel, to.steel) : id, false, (design) => ({
      ...design,
      steel: to.steel,
    }));
  }
  const [before, after] = [from.strength, to.strength];
  if (before && after) {
    for (const [id, title, keys] of STRENGTH_GROUPS) {
      const differing = keys.filter((key) => !same(before[key], after[key]));
      if (differing.length === 0) continue;
      const values = Object.fromEntries(differing.map((key) => [key, after[key]]));
      const told = differing.every((key) => key === "torqueRatio") ? "torque ratio" : title;
      add(id, told, false, (design) => ({
        ...design,
        strength: { ...(design.strength ?? before), ...values },
      }));
    }
  }
  if (!same(from.material, to.material)) {
    add("elastic constants", "elastic constants", true, (design) => ({ ...design, material: to.material }));
  }
  // told of one only, over-running is no load case to split, and yet gives the flanks their friction
  const rubbed = [from, to].some(({ load }) => load.friction > 0);
  if (frictionFollows && !from.overRun !== !to.overRun && mayRub([from, to]))
    add(
      "friction",
      "friction on the flank, from over-running",
      rubbed,
      ({ overRun: _overRun, ...design }) => ({
        ...design,
        ...(to.overRun && { overRun: to.overRun }),
      }),
    );
  const inDrive = new Set(makers.keys());
  if (from.overRun && to.overRun) {
    const [a, b] = [from.overRun, to.overRun];
    for (const [id, title, key] of OVER_RUN_GROUPS) {
      if (same(a[key], b[key])) continue;
      // what is the tooth's own goes with the tooth
      const own = makers.has("tooth") && isOwn(from, to, key);
      addRelease(own ? "tooth" : id, title, (design) => ({
        ...design,
        overRun: { ...(design.overRun ?? a), [key]: b[key] },
      }));
    }
    if (frictionFollows && makers.has("friction") && mayRub([from, to])) {
      inDrive.add("friction");
      if (rubbed) solved.add("friction");
    }
    const [pinsBefore, pinsAfter] = [from.pins, to.pins];
    if (pinsBefore && pinsAfter) {
      for (const [id, title, keys] of PIN_GROUPS) {
        const differing = keys.filter((key) => !same(pinsBefore[key], pinsAfter[key]));
        if (differing.length === 0) continue;
        const values = Object.fromEntries(differing.map((key) => [key, pinsAfter[key]]));
        addRelease(id, title, (design) => ({
          ...design,
          pins: { ...(design.pins ?? pinsBefore), ...values },
        }));
      }
    } else if (pinsBefore || pinsAfter) {
      addRelease("pins", "pins", ({ pins: _pins, ...design }) => ({
        ...design,
        ...(pinsAfter && { pins: pinsAfter }),
      }));
    }
  }
  return {
    changes,
    mix: (made) => {
      const mixed = changes.reduce(
        (design, { id }) => (made.has(id) ? makers.get(id)!(design) : design),
        from,
      );
      const profile = following.settle(mixed.profile);
      const friction = frictionFollows
        ? ownFriction(profile, mixed.overRun?.friction)
        : frictionOf(mixed.load);
      return profile === mixed.profile && same(friction, frictionOf(mixed.load))
        ? mixed
        : { ...mixed, profile, load: withFriction(mixed.load, friction) };
    },
    needsSolve: (id) => solved.has(id),
    bearsOnDrive: (id) => inDrive.has(id),
    bearsOnRelease: (id) => releasing.has(id),
  };
}

/**
 * True where the friction of over-running is on a flank under the torque that drives, or under it turned round, in one of these or in what
 * lies between them: on the flank that over-running pushes, or on drive flanks that lean.
 */
const mayRub = (designs: readonly Design[]): boolean =>
  designs.some(({ overRun }) => overRun !== undefined) &&
  designs.some(
    (design) =>
      design.profile.kind === "face tooth" &&
      (loadsOverRunFlank(design.profile) || design.profile.driveAngle > 0 || designs.some(reverses)),
  );

/** What a load tells of friction. */
const frictionOf = ({ friction, frictionLow, otherFriction }: Load): FrictionOf => ({
  friction,
  ...(frictionLow !== undefined && { frictionLow }),
  ...(otherFriction && { otherFriction }),
});

/** Whether a figure of the over-run section is the part's own in both: of a sliding spline all that differs is left to the teeth. */
function isOwn(from: Design, to: Design, key: keyof OverRunChoice): boolean {
  const both = [from, to];
  const near = (a: number, b: number) => Math.abs(a - b) <= 1e-9 * Math.abs(b);
  if (key === "meanRadius")
    return both.every(
      ({ profile, overRun }) =>
        profile.kind === "face tooth" && overRun && near(overRun.meanRadius, profile.meanDiameter / 2),
    );
  const [a, b] = both.map(({ overRun }) => overRun?.spline);
  if (key !== "spline" || !a || !b) return false;
  const left = (name: string) => neitherTells(both, `over-run.${name}`);
  return (
    (same(a.radius, b.radius) || left("spline radius")) &&
    (same(a.pressureAngle, b.pressureAngle) || left("spline pressure angle"))
  );
}
