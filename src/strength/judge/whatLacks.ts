import type { Capacity } from "./capacity.ts";
import type { Lacking } from "./firstChange.ts";

/** Low ends at one hardness, N·mm: of a shaft's twist, which its diameter alone carries, and of all else. */
interface Lows {
  readonly twist: number;
  readonly rest: number;
}

/** What is not counted stands no torque; of twist that is not counted the published allowable is known. */
function lowsOf({ modes, uncounted }: Capacity): Lows {
  const low = (id: string) => modes.find((mode) => mode.id === id)?.torque?.low ?? Number.POSITIVE_INFINITY;
  const rest = modes.filter(({ id, governs, torque }) => governs && torque !== null && id !== "shaft twist");
  return {
    twist: Math.min(
      low("shaft twist"),
      uncounted.includes("twist") ? low("published twist") : Number.POSITIVE_INFINITY,
    ),
    rest: uncounted.some((one) => one !== "twist") ? 0 : Math.min(...rest.map(({ torque }) => torque!.low)),
  };
}

/**
 * How much wider the face and how much thicker the shaft must be for some hardness, held within the tolerance, to stand the required torque;
 * for a single hardness where the sweep has no room for the tolerance. All but twist grows with the face width, twist with the cube of the
 * shaft's diameter. N·mm, HRC.
 */
export function whatLacks(
  hardness: readonly number[],
  capacities: readonly Capacity[],
  required: number,
  tolerance: number,
): Lacking {
  const lows = capacities.map(lowsOf);
  const first = hardness[0]! - 1e-9;
  const last = hardness[hardness.length - 1]! + 1e-9;
  const held = hardness.flatMap((aim): Lows[] => {
    const [from, to] = [aim - tolerance, aim + tolerance];
    if (from < first || to > last) return [];
    const within = lows.filter((_, k) => hardness[k]! >= from - 1e-9 && hardness[k]! <= to + 1e-9);
    return [
      {
        twist: Math.min(...within.map(({ twist }) => twist)),
        rest: Math.min(...within.map(({ rest }) => rest)),
      },
    ];
  });
  const every = held.length > 0 ? held : lows;
  const most = (some: readonly Lows[], of: keyof Lows) =>
    some.reduce((best, one) => (one[of] > best[of] ? one : best));
  const thicker = (twist: number) => Math.max(1, Math.cbrt(required / twist));
  // nothing is known of the rest: of that no size can be told
  const all = every.filter(({ rest }) => rest > 0);
  if (all.length === 0) return { width: 1, withShaft: 1, shaft: thicker(most(every, "twist").twist) };
  const untwisted = all.filter(({ twist }) => twist >= required);
  const wide = most(untwisted.length > 0 ? untwisted : all, "rest");
  const enough = all.filter(({ rest }) => rest >= required);
  return {
    width: Math.max(1, required / wide.rest),
    withShaft: thicker(wide.twist),
    shaft: enough.length > 0 ? thicker(most(enough, "twist").twist) : null,
  };
}
