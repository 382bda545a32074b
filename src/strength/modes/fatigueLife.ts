import type { Band } from "../arithmetic/band.ts";
import type { RootPaths } from "../field/criticalDistance.ts";
import { criticalDistance, lineStress } from "../field/criticalDistance.ts";
import type { RootField } from "../field/rootField.ts";
import { withFlaw } from "../field/surfaceFlaw.ts";
import data from "../steel/steelData.json" with { type: "json" };
import type { SteelState } from "../steel/steelState.ts";
import {
  type Finish,
  fatigueNotchFactor,
  goodmanAmplitude,
  meanStressShare,
  surfaceFactors,
} from "./fatigueNotch.ts";

/** How the part is shocked and finished. */
export interface FatigueCase {
  /** Smallest over largest torque of one shock; 0: one way from nothing, −1: both ways alike. */
  readonly ratio: number;
  readonly finish: Finish;
  readonly peened: boolean;
  /** Stress intensities of a stated flaw per torque; absent: none. */
  readonly flaw?: FlawPulls;
}

/** Shocks between which life is a straight line in log–log. */
export const FEW = 1e3;
export const MANY = 1e6;

/** Fully reversed stress for 10³ reversals over tensile strength: 0.9 in textbooks, 0.77 for hard steel (both from memory). */
const SHORT_LIFE: Band = { low: 0.77, high: 0.9 };
/** Gain of the fatigue limit by peening: 22 % (4120-type tube) to 41 % (carburised 8620, SAE 2002-01-1003). */
export const PEENING: Band = { low: 1.22, high: 1.41 };
export const PEENING_SOURCE =
  "peening: + 22 % (mailing-list quotation of C. Smith) to + 41 % (SAE 2002-01-1003, carburised 8620); not counted below 1000 shocks";

export const FATIGUE_FORMULA =
  "Δσ(N) = (1 − R) T s̄(L(N)), L(10⁶) = (1/π)(ΔKth/Δσ0)², straight in log–log to the static L at 10³ shocks; Δσ0 by the mean stress of R (of the stress at the root), surface and peening";
export const FATIGUE_SOURCE =
  "critical distances in fatigue (Taylor 2007), with a distance that depends on life (L. Susmel and D. Taylor 2007, from memory); mean stress by Goodman (low) and Murakami & Endo (high)";

/** Torque against number of shocks, at one end of every band. Falls with the number. */
export type LifeCurve = (shocks: number) => number;

export interface LifeCurves {
  readonly low: LifeCurve;
  readonly high: LifeCurve;
}

/** Stress range of a plain specimen, MPa, at 10³ and 10⁶ shocks, low and high end; and at 10⁶ polished, unpeened. */
function plainRanges(steel: SteelState, how: FatigueCase): { low: Ranges; high: Ranges } | null {
  const limit = steel.fatigueLimit;
  if (!limit) return null;
  const surface = surfaceFactors(how.finish, steel.tensile);
  const peen = how.peened ? PEENING : { low: 1, high: 1 };
  const most = (1 - how.ratio) * steel.tensile.high;
  const hv = Number.isFinite(steel.hv.high) ? steel.hv.high : 700;
  const low = (s: number) => 2 * goodmanAmplitude(s, steel.tensile.low, how.ratio);
  const high = (s: number) => Math.min(most, 2 * s * meanStressShare(hv, how.ratio));
  return {
    low: {
      few: low(SHORT_LIFE.low * steel.tensile.low),
      many: low(limit.low * surface.low * peen.low),
      plain: low(limit.low),
    },
    high: {
      few: Math.min(
        most,
        2 * goodmanAmplitude(SHORT_LIFE.high * steel.tensile.high, steel.tensile.high, how.ratio),
      ),
      many: high(limit.high * surface.high * peen.high),
      plain: high(limit.high),
    },
  };
}

interface Ranges {
  readonly few: number;
  readonly many: number;
  readonly plain: number;
}

/**
 * Smallest over largest stress of a root under a torque of that ratio, for estimates that know no distance. A torque that reverses loads
 * the other flanks, so that each root is pushed as its mirror image was (of teeth that carry in a pattern with a mirror image, as in that): by the hardest pushed root's measure no root sees a wider range.
 */
export function stressRatio({ pushOverPull }: RootField, torqueRatio: number): number {
  return torqueRatio < 0 ? torqueRatio * (pushOverPull ?? 1) : torqueRatio;
}

/** Threshold at stress ratio R: that at R = 0 times (1 − R)^γ above it; compression counts for nothing. MPa√mm. */
export function thresholdAt(threshold: Band, ratio: number): Band {
  if (ratio <= 0) return threshold;
  const { low, high } = data.general.thresholdRatio;
  return { low: threshold.low * (1 - ratio) ** high, high: threshold.high * (1 - ratio) ** low };
}

/** log–log between (10³, a) and (10⁶, b), level beyond. */
function between(shocks: number, a: number, b: number): number {
  const t = Math.min(1, Math.max(0, Math.log(shocks / FEW) / Math.log(MANY / FEW)));
  return a * (b / a) ** t;
}

/** Pull and push of what a flaw of stated depth brings, √mm/mm³ (MPa√mm per N·mm). */
export interface FlawPulls {
  readonly pull: number;
  readonly push: number;
  /** The same of a torque turned round. */
  readonly pullBack: number;
  readonly pushBack: number;
}

/** A push that outweighs the pull by more earns no wider range: the rules of mean stress are stated for less. */
const LEAST_RATIO = -3;

/**
 * Life by critical distance, line criterion. A stated flaw lowers it by its own
 * range of intensity, from K_Ic to the threshold (no flaw is better than none after El Haddad 1979, from memory). Under 10³ shocks the curve runs straight (log–log) to the static strength of one shock, `once`. Null
 * when the steel lacks the data.
 *
 * A torque that reverses loads the other flanks, so that each root is pushed as its mirror image was, and pulled as that was: at the distance
 * that counts, between the worst pull T s̄ and the worst push back, R T p̄, or between the pull back and the worst push (see `pushCounted`),
 * whichever is worse. At R = −1 neither of the two flanks comes first, and which one is called the loaded one makes no difference.
 *
 * @param steels the steel over its window of hardness, then at hardnesses in it. A weaker one has the longer distance, so that behind a root
 * where the stress falls fast a harder one may stand less: the curves reach from the lowest to the highest of all.
 */
export function criticalDistanceLife(
  root: RootField,
  [steel, ...within]: readonly [SteelState, ...SteelState[]],
  given: FatigueCase,
  once: Band,
): LifeCurves | null {
  const whole = lifeOf(root, steel, given, once);
  if (!whole || within.length === 0) return whole;
  const all = [whole, ...within.flatMap((one) => lifeOf(root, one, given, once) ?? [])];
  return {
    low: (shocks) => Math.min(...all.map(({ low }) => low(shocks))),
    high: (shocks) => Math.max(...all.map(({ high }) => high(shocks))),
  };
}

function lifeOf(root: RootField, steel: SteelState, given: FatigueCase, once: Band): LifeCurves | null {
  const inherent = data.general.inherentStrength;
  if (!steel.fatigueLimit || !steel.toughness || !steel.threshold) return null;
  const { threshold: ofSteel, toughness } = steel;
  const back = Math.max(0, -given.ratio);
  const plain = plainRanges(steel, given)!;

  /** Torque at which a stress between largest and smallest, both per torque, and the flaw's intensities allow no more. */
  const allowed = (
    end: "low" | "high",
    shocks: number,
    [most, least]: readonly [number, number],
    flaw: readonly [number, number] | null,
  ): number => {
    if (!(most - least > 0)) return Number.POSITIVE_INFINITY;
    const ranges = (given.ratio < 0 ? plainRanges(steel, { ...given, ratio: ratioOf(most, least) })! : plain)[
      end
    ];
    const torque = between(shocks, ranges.few, ranges.many) / (most - least);
    if (!flaw) return torque;
    // the flaw breaks at K_Ic in few shocks, stops growing under the threshold in many
    const threshold = thresholdAt(ofSteel, given.ratio)[end];
    const range = flaw[0] - flaw[1];
    if (!(range > 0)) return torque;
    const few = toughness[end] / Math.max(flaw[0], LEAST_PULL * range);
    return withFlaw(between(shocks, few, threshold / range), torque);
  };
  const ratioOf = (most: number, least: number): number =>
    most > 0 ? Math.max(LEAST_RATIO, least / most) : LEAST_RATIO;
  const reverse = (pull: number, push: number) =>
    [back * pull, -pushCounted(back * pull, push, back)] as const;
  const curve = (end: "low" | "high"): LifeCurve => {
    // σ0 is here in L alone, and a shorter L is a higher stress: both its ends are tried, at the same end of everything else
    const few = [inherent.low, inherent.high].map((share) =>
      criticalDistance(toughness[end], share * steel.tensile[end]),
    );
    const many = criticalDistance(thresholdAt(ofSteel, given.ratio)[end], plain[end].plain);
    return lifeCurve(once[end], (shocks) => {
      const torques = few.map((L) => {
        const distance = between(shocks, L, many);
        const pull = Math.max(0, lineStress(root, distance).stress);
        if (given.ratio >= 0) {
          const ratio = given.ratio;
          const flaw = given.flaw?.pull ? ([given.flaw.pull, ratio * given.flaw.pull] as const) : null;
          return allowed(end, shocks, [pull, ratio * pull], flaw);
        }
        const of = (some: RootPaths | null | undefined) =>
          some ? Math.max(0, lineStress(some, distance).stress) : 0;
        const push = of(root.pushed);
        const [pullBack, pushBack] = root.reverse
          ? [of(root.reverse), of(root.reverse.pushed)]
          : [pull, push];
        const flaw = given.flaw ?? null;
        return Math.min(
          allowed(end, shocks, [pull, -back * pushBack], flaw && [flaw.pull, -back * flaw.pushBack]),
          allowed(end, shocks, reverse(pullBack, push), flaw && reverse(flaw.pullBack, flaw.push)),
        );
      });
      return end === "low" ? Math.min(...torques) : Math.max(...torques);
    });
  };
  return { low: curve("low"), high: curve("high") };
}

/**
 * How much of a push counts beside a pull that comes back with the share `back` of the torque: all of it as far as three times that pull,
 * and beyond that as much as comes back. So shocks one way, whose push does not count, and almost one way are not worlds apart, and of
 * full reversal all counts (convention of our own).
 */
function pushCounted(pull: number, push: number, back: number): number {
  const within = Math.min(push, -LEAST_RATIO * pull);
  return within + back * (push - within);
}

/** Where a flaw is pulled by less than this share of its range, it is pushed: no shock breaks it. */
const LEAST_PULL = 1e-3;

/** Life by Kf: nominal stress range times Kf. Null for a sharp root, or where q is not stated. */
export function notchFactorLife(
  root: RootField,
  steel: SteelState,
  given: FatigueCase,
  once: Band,
): (LifeCurves & { readonly kf: Band }) | null {
  const how = { ...given, ratio: stressRatio(root, given.ratio) };
  const ranges = plainRanges(steel, how);
  if (!ranges || root.peakPrincipal === null) return null;
  const kt = root.peakPrincipal / root.nominal;
  const kf = fatigueNotchFactor(kt, steel.tensile, root.radius);
  if (!kf) return null;
  const curve = (end: "low" | "high"): LifeCurve => {
    const factor = end === "low" ? kf.high : kf.low;
    return lifeCurve(
      once[end],
      (shocks) =>
        between(shocks, ranges[end].few, ranges[end].many) / ((1 - how.ratio) * factor * root.nominal),
    );
  };
  return { low: curve("low"), high: curve("high"), kf };
}

function lifeCurve(once: number, beyond: LifeCurve): LifeCurve {
  const atFew = Math.min(once, beyond(FEW));
  return (shocks) => {
    if (!(shocks >= 1)) throw new Error(`fatigue: ${shocks} shocks`);
    if (shocks >= FEW) return Math.min(atFew, beyond(shocks));
    return once * (atFew / once) ** (Math.log(shocks) / Math.log(FEW));
  };
}

/** Torque for a number of shocks, as a band. */
export function lifeTorque({ low, high }: LifeCurves, shocks: number): Band {
  return { low: low(shocks), high: high(shocks) };
}

/** How near the logarithm of a number of shocks is sought, and that of its torque. */
const NEAR = 1e-9;
const MET = 1e-12;

/** Number of shocks at a torque: 0 when the first breaks it, infinite below the torque for 10⁶. */
export function shocksAt(curve: LifeCurve, torque: number): number {
  if (torque > curve(1)) return 0;
  if (torque <= curve(MANY)) return Number.POSITIVE_INFINITY;
  // regula falsi after Illinois in log–log, where the curve is nearly straight; halving where it does not close in
  const over = (x: number) => Math.log(curve(Math.exp(x)) / torque);
  let [low, high] = [0, Math.log(MANY)];
  let [atLow, atHigh] = [over(low), over(high)];
  let before: boolean | null = null;
  for (let k = 0; high - low > NEAR; k++) {
    const chord = (low * atHigh - high * atLow) / (atHigh - atLow);
    const middle = k % 4 < 3 && chord > low && chord < high ? chord : (low + high) / 2;
    if (middle === low || middle === high) break; // neighbouring numbers
    const value = over(middle);
    const under = value < 0;
    // an end that stays twice is weighed half
    if (under) {
      high = middle;
      atHigh = value;
      if (before === under) atLow /= 2;
    } else {
      low = middle;
      atLow = value;
      if (before === under) atHigh /= 2;
      // met, and a little further it is not: no level stretch, of which the far end would be asked
      if (value < MET && over(Math.min(high, low + NEAR)) < 0) break;
    }
    before = under;
  }
  return Math.exp(low);
}
