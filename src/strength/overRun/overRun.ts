import { type Design, MOST_RAMP, type OverRunChoice, type PinChoice } from "../../design/index.ts";
import type { Band } from "../arithmetic/band.ts";
import type { RootField } from "../field/rootField.ts";
import { designCapacity } from "../judge/designCapacity.ts";
import type { ModeId } from "../modes/mode.ts";
import type { Uncounted } from "../modes/uncounted.ts";
import { pinTorque } from "./pinShear.ts";
import { clickOverTorque, leastRamp, releaseVerdict } from "./rampRelease.ts";

/** A number at the low end of the friction band, in its middle and at its high end. */
export interface OverFriction<T> {
  readonly low: T;
  readonly middle: T;
  readonly high: T;
}

/** What gives way in over-running, and at which torque on the whole part, N·mm. */
export interface Giving {
  readonly what: "ring lets go" | "pins shear" | "root breaks";
  readonly torque: Band;
}

/** One end of the friction band. */
export interface OverRunEnd {
  /** Lowest low end of all that can give; null when nothing known does. */
  readonly first: Giving | null;
  /** What would come after it; null where the ring has let go, or nothing more is known. */
  readonly next: Giving | null;
  /**
   * What the margin is counted to here, the lesser of pins and root; null when neither is known. A ring that lets go loads its pins no
   * further than what lifts it takes, if over-running brings as much, and its root, should it stick, with all that over-running can bring.
   */
  readonly counted: Giving | null;
}

/**
 * One design in over-running: a load case of its own, beside what breaks first when it drives. Statics with Coulomb friction, slow
 * enough that nothing swings; the root's figures come from the solved field. N·mm, rad.
 */
export interface OverRun {
  readonly friction: OverFriction<number>;
  /** Torque at which the ring clicks over; null: at none, the pair holds itself. */
  readonly clickOver: OverFriction<number | null>;
  /** Over the whole band: it must let go, or hold, at both ends. */
  readonly verdict: "lets go" | "self-holding" | "depends on friction";
  /** Largest friction at which it still lets go; 0 when at none. */
  readonly holdsAbove: number;
  /** Smallest ramp angle that lets go at the high end of the band; null where none under 90° does. */
  readonly leastRamp: number | null;
  /**
   * Smallest ramp angle that lets go at the high end of the band before anything known gives (the low end of pins and root), and under
   * the largest torque that over-running can bring, the pins standing that with the margin wanted; null where none up to `MOST_RAMP` does.
   */
  readonly rampInTime: number | null;
  /** Torque at which the pins shear; null without pins. */
  readonly pins: Band | null;
  /** What governs the root in over-running; null where `rootUnknown` says why. */
  readonly root: {
    readonly mode: ModeId;
    readonly torque: Band;
    /** False where something that may come first is not counted, and what that is; see `Capacity`. */
    readonly vouched: boolean;
    readonly uncounted?: readonly Uncounted[];
    /** Torque up to which a shaft is vouched for in twist, where `uncounted` has that. */
    readonly allowedTwist?: number;
    /** True where it gives sooner at the low end of the friction than at the high one; told of both ends. */
    readonly lowFriction?: true;
  } | null;
  readonly rootUnknown: string;
  /** True where a root was to be counted and could not be: it may break before anything told. */
  readonly rootMissed: boolean;
  /** Low friction, where it lets go most easily, and high friction, where it sticks. */
  readonly slippery: OverRunEnd;
  readonly sticky: OverRunEnd;
  /**
   * Torque that over-running can bring before something breaks: pins or root while the ring holds, the root alone where it lets go.
   * Low end: high friction and every strength at its worst; high end: low friction and every strength at its best. Infinite where
   * nothing known breaks.
   */
  readonly value: Band;
  /** Largest torque over-running can bring. */
  readonly torque: number;
  /** What is `counted` over what comes on it: low end at high friction, every strength at its worst; high end the other way round. */
  readonly margin: Band;
}

/** Torque at which the pins shear, from the low end of their strength to the high one. */
export const pinBand = (pins: PinChoice): Band => ({
  low: pinTorque(pins, pins.shearStrength[0]),
  high: pinTorque(pins, pins.shearStrength[1]),
});

/** The coupling that a design's over-run section describes, and without its ramp. */
export const couplingOf = ({ meanRadius, rampAngle, spline }: OverRunChoice) => ({
  meanRadius,
  ramp: rampAngle,
  spline,
});

/**
 * What over-running does to a design; null where its part file says nothing of it. `root` is the `overRunField` of its
 * `overRunCases`: null where there is none though it is asked for, which `unread` gives the reason of, and undefined where it is not.
 */
export function designOverRun(
  design: Design,
  root: RootField | null | undefined,
  unread = "",
): OverRun | null {
  const { overRun, pins } = design;
  if (!overRun) return null;
  const found = root && designCapacity(root, design, overRun.torque);
  const capacity = found && "capacity" in found ? found.capacity : null;
  const twist = capacity?.uncounted.includes("twist")
    ? capacity.modes.find(({ id }) => id === "published twist")?.torque?.low
    : undefined;
  return assessOverRun(
    overRun,
    pins ? pinBand(pins) : null,
    capacity && {
      mode: capacity.governing.id,
      torque: capacity.stands,
      vouched: capacity.vouched,
      ...(!capacity.vouched && { uncounted: capacity.uncounted }),
      ...(twist !== undefined && { allowedTwist: twist }),
      ...(capacity.lowFriction && { lowFriction: true }),
    },
    {
      rootUnknown: capacity ? "" : unread || whyUncounted(design, root),
      rootMissed: !capacity && root !== undefined && (design.steel !== null || unread !== ""),
      wanted: design.strength?.margin ?? 1,
    },
  );
}

const whyUncounted = ({ steel }: Design, root: RootField | null | undefined): string =>
  !steel
    ? "no steel is named"
    : root === undefined
      ? "its root is not solved here"
      : "its root could not be read";

/** The same from the torques at which pins and root give, whatever they rest on. `wanted` is the margin that the ramp needed leaves the pins. */
export function assessOverRun(
  choice: OverRunChoice,
  pins: Band | null,
  root: OverRun["root"],
  {
    rootUnknown = "",
    rootMissed = false,
    wanted = 1,
  }: Partial<Pick<OverRun, "rootUnknown" | "rootMissed"> & { readonly wanted: number }> = {},
): OverRun {
  const coupling = couplingOf(choice);
  const { springForce, friction, torque } = choice;
  const [low, high] = friction;
  const at = (mu: number) => clickOverTorque(coupling, springForce, mu);
  const clicks = { low: at(low), middle: at((low + high) / 2), high: at(high) };
  const { verdict, holdsAbove } = releaseVerdict(coupling, springForce, friction);
  const least = leastRamp(coupling, high);
  const inTime = leastRamp(
    coupling,
    high,
    springForce,
    Math.min(
      torque,
      (pins?.low ?? Number.POSITIVE_INFINITY) / wanted,
      root?.torque.low ?? Number.POSITIVE_INFINITY,
    ),
  );
  const told = (click: number) => (Number.isFinite(click) ? click : null);

  const endOf = (click: number, end: "low" | "high") => {
    const lifts: Giving | null = Number.isFinite(click)
      ? { what: "ring lets go", torque: { low: click, high: click } }
      : null;
    const shear: Giving | null = pins && { what: "pins shear", torque: pins };
    const breaks: Giving | null = root && { what: "root breaks", torque: root.torque };
    const all = [lifts, shear, breaks].filter((one) => one !== null);
    all.sort((a, b) => a.torque.low - b.torque.low);
    const first = all[0] ?? null;
    // a ring that has let go is loaded no further
    const next = first?.what === "ring lets go" ? null : (all[1] ?? null);
    const ofPins = pins?.[end] ?? Number.POSITIVE_INFINITY;
    const ofRoot = root?.torque[end] ?? Number.POSITIVE_INFINITY;
    // letting go only beyond what holds it is no letting go
    const frees = click <= Math.min(ofPins, ofRoot);
    const margins = { pins: ofPins / (frees ? Math.min(click, torque) : torque), root: ofRoot / torque };
    return {
      told: { first, next, counted: margins.pins < margins.root ? shear : breaks },
      value: frees ? ofRoot : Math.min(ofPins, ofRoot),
      margin: Math.min(margins.pins, margins.root),
    };
  };
  // where it lets go most easily every strength is at its best, where it sticks at its worst
  const [slippery, sticky] = [endOf(clicks.low, "high"), endOf(clicks.high, "low")];
  return {
    friction: { low, middle: (low + high) / 2, high },
    clickOver: { low: told(clicks.low), middle: told(clicks.middle), high: told(clicks.high) },
    verdict,
    holdsAbove,
    leastRamp: least < Math.PI / 2 ? least : null,
    rampInTime: inTime <= (MOST_RAMP * Math.PI) / 180 ? inTime : null,
    pins,
    root,
    rootUnknown,
    rootMissed,
    slippery: slippery.told,
    sticky: sticky.told,
    value: { low: sticky.value, high: slippery.value },
    torque,
    margin: { low: sticky.margin, high: slippery.margin },
  };
}
