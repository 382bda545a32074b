import { halveTo } from "../../numerics/index.ts";

/**
 * Questions asked the other way round: which size gives that capacity. `solve` is whatever works a design out, solver and
 * all; it is asked as few times as safety allows, and the answer is one it has itself been asked.
 */

/** One answer of `solve`. */
export interface Trial {
  readonly x: number;
  readonly value: number;
}

export type Found =
  | {
      readonly kind: "found";
      /** The answer, on the side of the limit that satisfies, and what `solve` says of it. */
      readonly x: number;
      readonly value: number;
      /** The nearest place known not to satisfy; null when the whole range does. */
      readonly outside: Trial | null;
      readonly trials: readonly Trial[];
      /** False when the trials are not in order: there may then be other answers. */
      readonly monotone: boolean;
    }
  | {
      readonly kind: "none";
      /** The best that the range gives. */
      readonly best: Trial;
      readonly trials: readonly Trial[];
    };

export interface Search {
  readonly from: number;
  readonly to: number;
  /** Value to reach. */
  readonly target: number;
  /** How near the answer must lie to the limit. */
  readonly tolerance: number;
}

/**
 * Smallest x in [from, to] with solve(x) ≥ target, where solve rises with x: false position (Illinois) kept inside a
 * bracket that is halved whenever a step gains too little.
 */
export function smallestReaching(solve: (x: number) => number, search: Search): Found {
  const { from, to, target, tolerance } = search;
  if (!(to > from) || !(tolerance > 0))
    throw new Error(`inverse: nothing lies between ${from} and ${to} at a tolerance of ${tolerance}`);
  const trials: Trial[] = [];
  const ask = (x: number): Trial => {
    const value = solve(x);
    if (Number.isNaN(value)) throw new Error(`inverse: no value at ${x}`);
    const trial = { x, value };
    trials.push(trial);
    return trial;
  };
  let high = ask(to);
  let low = ask(from);
  if (low.value >= target) return found(low, null, trials);
  if (high.value < target) {
    return { kind: "none", best: trials.reduce((a, b) => (b.value > a.value ? b : a)), trials };
  }
  let lowMiss = low.value - target;
  let highMiss = high.value - target;
  let side = 0;
  for (let k = 0; high.x - low.x > tolerance && k < 200; k++) {
    const width = high.x - low.x;
    let x = Number.isFinite(highMiss)
      ? low.x + (width * -lowMiss) / (highMiss - lowMiss)
      : (low.x + high.x) / 2;
    // never nearer to an end than the tolerance asks: the next trial then closes the bracket
    x = Math.min(high.x - tolerance / 2, Math.max(low.x + tolerance / 2, x));
    if (k % 4 === 3) x = (low.x + high.x) / 2;
    const trial = ask(x);
    const miss = trial.value - target;
    if (miss >= 0) {
      high = trial;
      highMiss = miss;
      if (side === 1) lowMiss /= 2;
      side = 1;
    } else {
      low = trial;
      lowMiss = miss;
      if (side === -1) highMiss /= 2;
      side = -1;
    }
  }
  return found(high, low, trials);
}

/** Largest x in [from, to] with solve(x) ≥ target, where solve falls with x. */
export function largestReaching(solve: (x: number) => number, search: Search): Found {
  const back = (x: number) => search.from + search.to - x;
  const turned = smallestReaching((x) => solve(back(x)), search);
  const turn = (trial: Trial): Trial => ({ x: back(trial.x), value: trial.value });
  const trials = turned.trials.map(turn);
  if (turned.kind === "none") return { kind: "none", best: turn(turned.best), trials };
  return { ...turned, x: back(turned.x), outside: turned.outside && turn(turned.outside), trials };
}

function found(at: Trial, outside: Trial | null, trials: readonly Trial[]): Found {
  const sorted = [...trials].sort((a, b) => a.x - b.x);
  const monotone = sorted.every((one, k) => k === 0 || one.value >= sorted[k - 1].value * (1 - 1e-9));
  return { kind: "found", x: at.x, value: at.value, outside, trials, monotone };
}

/** Golden section: each step leaves this share of the bracket. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * The best of what golden section asks between two places, where `solve` rises to one height and falls beyond it: to within
 * `tolerance` of that height's place, or as soon as `target` is reached.
 */
export function highestBetween(
  solve: (x: number) => number,
  { from, to, target, tolerance }: Search,
): { readonly best: Trial; readonly trials: readonly Trial[] } {
  if (!(to > from) || !(tolerance > 0))
    throw new Error(`inverse: nothing lies between ${from} and ${to} at a tolerance of ${tolerance}`);
  const trials: Trial[] = [];
  const ask = (x: number): Trial => {
    const trial = { x, value: solve(x) };
    trials.push(trial);
    return trial;
  };
  let [low, high] = [from, to];
  let left = ask(high - GOLDEN * (high - low));
  let right = ask(low + GOLDEN * (high - low));
  const best = () => trials.reduce((a, b) => (b.value > a.value ? b : a));
  while (best().value < target && high - low > tolerance) {
    if (left.value > right.value) {
      high = right.x;
      right = left;
      left = ask(high - GOLDEN * (high - low));
    } else {
      low = left.x;
      left = right;
      right = ask(low + GOLDEN * (high - low));
    }
  }
  return { best: best(), trials };
}

/** Smallest root radius, mm, for a margin: `solve` gives the low end of a design's governing torque at that radius. */
export function smallestRootRadius(
  solve: (radius: number) => number,
  range: { readonly from: number; readonly to: number },
  requiredTorque: number,
  margin = 1,
  tolerance = 0.01,
): Found {
  return smallestReaching(solve, { ...range, target: margin * requiredTorque, tolerance });
}

/** Largest torque, N·mm, that leaves a margin: `solve` gives the margin's low end of the design re-solved at that torque. */
export function largestTorque(
  solve: (torque: number) => number,
  range: { readonly from: number; readonly to: number },
  margin = 1,
  tolerance = 1e-3 * range.to,
): Found {
  return largestReaching(solve, { ...range, target: margin, tolerance });
}

/** Where more of something stops paying. */
export interface PayingLimit {
  /** Beyond this, each further span of x buys less than the stated amount; null when it never pays, `to` when it always does. */
  readonly x: number | null;
  readonly always: boolean;
  readonly trials: readonly Trial[];
}

/**
 * The x beyond which each further `span` of it buys less than `gain`: found on an even grid as the last that still pays, then narrowed
 * by halving down to `tolerance`. What a span buys is asked over the span itself, so that the answer holds where it is looked at, and a
 * capacity with some scatter (every x has a mesh of its own) is not judged over stretches so short that the scatter decides.
 */
export function payingLimit(
  solve: (x: number) => number,
  {
    from,
    to,
    gain,
    span = (to - from) / 8,
    steps = 8,
    tolerance = (to - from) / 64,
  }: {
    readonly from: number;
    readonly to: number;
    readonly gain: number;
    readonly span?: number;
    readonly steps?: number;
    readonly tolerance?: number;
  },
): PayingLimit {
  if (!(to > from) || !(steps >= 2) || !(span > 0))
    throw new Error(`payingLimit: from ${from} to ${to} in ${steps} steps of ${span}`);
  const known = new Map<number, number>();
  const ask = (x: number): number => {
    const value = known.get(x) ?? solve(x);
    known.set(x, value);
    return value;
  };
  const width = Math.min(span, to - from);
  const pays = (x: number) => (ask(x + width) - ask(x)) * (span / width) >= gain;
  // the last span ends at `to`
  const last = to - width;
  const grid = Array.from({ length: steps + 1 }, (_, k) => from + ((last - from) * k) / steps);
  const paying = grid.findLastIndex(pays);
  const trials = () => [...known].map(([x, value]) => ({ x, value })).sort((a, b) => a.x - b.x);
  if (paying < 0) return { x: null, always: false, trials: trials() };
  if (paying === steps) return { x: to, always: true, trials: trials() };
  const [, x] = halveTo(pays, grid[paying], grid[paying + 1], tolerance);
  return { x, always: false, trials: trials() };
}
