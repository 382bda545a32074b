import type { Band } from "../arithmetic/band.ts";
import { criticalDistance, lineStress, pointStress, type WorstPath } from "../field/criticalDistance.ts";
import { type FractureRegime, fractureRegime, twoCriteria } from "../field/plasticLimit.ts";
import type { RootField } from "../field/rootField.ts";
import type { SteelState } from "../steel/steelState.ts";
import { type Mode, sources } from "./mode.ts";

/** Fracture from the root under a torque of one sense; all null where no toughness is known. Torques N·mm. */
export interface RootFracture {
  /** Critical distance, mm, over all that toughness and strength may be. */
  readonly distance: Band | null;
  /** By linear fracture alone. */
  readonly linear: Band | null;
  /** The same, lowered for yielding. */
  readonly torque: Band | null;
  readonly regime: FractureRegime | null;
  readonly modes: readonly Mode[];
}

/**
 * Fracture from the root: linear, then with the plastic limit. The line criterion governs: its torque rises with the root radius all
 * the way from the sharp corner. The point criterion's does not (for a radius near L/2 it falls below the sharp corner's) and stands beside it.
 *
 * @param plastic torque at which tooth or wall is plastic throughout, N·mm
 * @param cased whether `steel` is the case of a softer core, for its words
 */
export function rootFracture(
  root: RootField,
  steel: SteelState,
  plastic: Band,
  cased: boolean,
): RootFracture {
  const words = fractureWords(steel, cased);
  const { toughness, inherent } = steel;
  if (!toughness) {
    const note = `no fracture toughness is known for ${steel.name} at this hardness`;
    const modes = [{ ...words, torque: null, governs: false, note }];
    return { distance: null, linear: null, torque: null, regime: null, modes };
  }
  const line = byLine(root, toughness, inherent);
  const under = ({ low, high }: Band): Band => ({
    low: bounded(low, plastic.low),
    high: bounded(high, plastic.high),
  });
  const torque = under(line.torque);
  const regime = fractureRegime(line.torque.low, plastic.low);
  return {
    // of any toughness with any strength of their bands: wider than between the ends that the torques are of
    distance: {
      low: criticalDistance(toughness.low, inherent.high),
      high: criticalDistance(toughness.high, inherent.low),
    },
    linear: line.torque,
    torque,
    regime,
    modes: [
      {
        ...words,
        torque,
        governs: regime !== "plastic limit",
        note:
          regime === "plastic limit"
            ? "linear fracture no longer holds at this toughness: the section's plastic limit governs"
            : `${pathWords(line.worst, root.sharp)}; ${regime === "linear fracture" ? "linear fracture holds" : "near the plastic limit: lowered for yielding by the two-criteria rule"}`,
      },
      {
        ...words,
        id: "root fracture by points",
        title: `${words.title}, point criterion`,
        torque: under(byPoint(root, toughness, inherent)),
        governs: false,
        note: "second estimate; near a radius of L/2 it is lower than for the sharp corner",
      },
    ],
  };
}

/** So many strengths of the inherent strength's band are looked at, in even ratio. */
const STRENGTHS = 9;

/** Linear fracture by the line criterion. @returns the torque, and the path that breaks at its low end. */
function byLine(
  root: RootField,
  toughness: Band,
  inherent: Band,
): { readonly torque: Band; readonly worst: WorstPath } {
  // where stress falls off faster than a crack's does, a higher strength breaks sooner: it counts over less of the path; the least may lie
  // anywhere in the band
  const ratio = inherent.high / inherent.low;
  const over = (K: number) =>
    Array.from({ length: STRENGTHS }, (_, k) => {
      const strength = inherent.low * ratio ** (k / (STRENGTHS - 1));
      const worst = lineStress(root, criticalDistance(K, strength), "fading");
      return { worst, torque: torqueOf(worst, strength) };
    });
  const low = over(toughness.low).reduce((a, b) => (b.torque < a.torque ? b : a));
  const high = Math.max(...over(toughness.high).map(({ torque }) => torque));
  return { torque: { low: low.torque, high }, worst: low.worst };
}

/** Linear fracture by the point criterion, N·mm. */
function byPoint(root: RootField, toughness: Band, inherent: Band): Band {
  const at = (K: number) =>
    [inherent.low, inherent.high].map((strength) =>
      torqueOf(pointStress(root, criticalDistance(K, strength), "fading"), strength),
    );
  return { low: Math.min(...at(toughness.low)), high: Math.max(...at(toughness.high)) };
}

function pathWords({ angle, elsewhere }: WorstPath, sharp: boolean): string {
  if (elsewhere) return "worst path from another place of the roots than where the averaged stress is read";
  const degrees = Math.abs((angle * 180) / Math.PI);
  const off = degrees < 0.5 ? "along" : `${degrees.toFixed(0)}° off`;
  return `worst path ${off} the ${sharp ? "corner's bisector" : "normal to the root"}`;
}

/** Over a path whose mean has come down to nothing no crack runs. */
const torqueOf = ({ stress }: WorstPath, strength: number): number =>
  stress > 0 ? strength / stress : Number.POSITIVE_INFINITY;

/** Above this many times the plastic limit the two-criteria rule takes 3 parts in 10,000 off it, and the limit itself is what is told. */
const FAR_ABOVE = 2.5;

/** A torque of linear fracture, lowered for yielding before `plastic`. */
export const bounded = (linear: number, plastic: number): number =>
  linear < FAR_ABOVE * plastic ? twoCriteria(linear, plastic) : plastic;

function fractureWords(steel: SteelState, cased: boolean) {
  return {
    id: "root fracture" as const,
    title: cased ? "case cracks at the root" : "brittle fracture from the root",
    formula:
      "T_K = σ0 / s̄, s̄ the worst path's opening stress per torque, mean over 0 … 2L (line) or at L/2 (point), L = (1/π)(K_Ic/σ0)²; T = T_p (2/π) acos exp(−π²/8 (T_K/T_p)²)",
    source: `critical distances (Taylor 2007); strip yield (Dowling & Townley 1975, from memory); K_Ic: ${sources(steel.toughness)}; σ0: ${sources(steel.inherent)}`,
    memory: true,
  };
}
