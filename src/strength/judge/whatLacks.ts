import { tenthUp } from "../arithmetic/tenths.ts";
import type { Capacity } from "./capacity.ts";

/** How much is lacking, so that what fills it can be told with its size. */
export interface Lacking {
  /** How many times as wide the face must be, 1 where that is not what lacks; */
  readonly width: number;
  /** and how many times as thick the shaft inside the teeth with it, 1 where it will do. */
  readonly withShaft: number;
  /** How many times as thick the shaft must be with the teeth as they are; null where that alone does nothing. */
  readonly shaft: number | null;
  /** How many times as much twist it must stand then: what a smaller bore may bring. */
  readonly bore: number;
}

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

/** The least over some hardnesses; null where one of them has no figures. */
function least(some: readonly (Capacity | null)[]): Lows | null {
  const lows: Lows[] = [];
  for (const one of some) {
    if (!one) return null;
    lows.push(lowsOf(one));
  }
  return {
    twist: Math.min(...lows.map(({ twist }) => twist)),
    rest: Math.min(...lows.map(({ rest }) => rest)),
  };
}

/** What a part stands at one hardness, HRC; null where there are no figures. */
export type CapacityAt = (hrc: number) => Capacity | null;

/** The least within the tolerance of each hardness of a sweep, its ends too, that has figures that far on both sides. */
function heldWithin(swept: readonly number[], at: CapacityAt, tolerance: number): Lows[] {
  const [first, last] = [swept[0]! - 1e-9, swept[swept.length - 1]! + 1e-9];
  const whole = swept.map((hrc) => {
    const one = at(hrc);
    return one !== null && isWhole(lowsOf(one));
  });
  // the middle of what just takes the tolerance lies that far from an end of what is told whole
  const ends = swept.filter((_, k) => whole[k] && !(whole[k - 1] && whole[k + 1]));
  const aims = new Set([...swept, ...ends.flatMap((hrc) => [hrc - tolerance, hrc + tolerance])]);
  return [...aims].flatMap((aim) => {
    const [from, to] = [aim - tolerance, aim + tolerance];
    if (from < first || to > last) return [];
    const within = swept.filter((hrc) => hrc > from + 1e-9 && hrc < to - 1e-9);
    return least([from, ...within, to].map(at)) ?? [];
  });
}

/** The least over each stretch of a sweep that has figures all along. */
function stretches(capacities: readonly (Capacity | null)[]): Lows[] {
  const found: Lows[] = [];
  let from = 0;
  for (let k = 0; k <= capacities.length; k++) {
    if (capacities[k]) continue;
    if (k > from) found.push(least(capacities.slice(from, k))!);
    from = k + 1;
  }
  return found;
}

/** True where what is told of all but twist leaves nothing out. */
const isWhole = ({ rest }: Lows): boolean => rest > 0;

/** Less than this share more is none: no part is made so near to what it needs. */
const NEAR = 1e-4;

/**
 * How much wider the face and how much thicker the shaft must be for some hardness, held within the tolerance, to stand the required torque.
 * Where the figures that leave nothing out have no room for the tolerance anywhere (`room`), that is for every hardness of a stretch of them. All
 * but twist grows with the face width, twist with the cube of the shaft's diameter. N·mm, HRC.
 */
export function whatLacks(
  swept: readonly number[],
  at: CapacityAt,
  required: number,
  tolerance: number,
): { readonly lacking: Lacking; readonly room: boolean } {
  const held = heldWithin(swept, at, tolerance);
  const capacities = swept.map(at);
  const narrow = held.some(isWhole)
    ? []
    : stretches(capacities.map((one) => (one && isWhole(lowsOf(one)) ? one : null)));
  const room = held.length > 0 && narrow.length === 0;
  const every = room ? held : narrow.length > 0 ? narrow : stretches(capacities);
  const most = (some: readonly Lows[], of: keyof Lows) =>
    some.reduce((best, one) => (one[of] > best[of] ? one : best));
  const times = (share: number) => (share > 1 + NEAR ? share : 1);
  const shaftFor = ({ twist }: Lows): Pick<Lacking, "shaft" | "bore"> => ({
    shaft: times(Math.cbrt(required / twist)),
    bore: required / twist,
  });
  // nothing is known of the rest: of that no size can be told
  const all = every.filter(isWhole);
  if (all.length === 0)
    return { lacking: { width: 1, withShaft: 1, ...shaftFor(most(every, "twist")) }, room };
  const untwisted = all.filter(({ twist }) => twist >= required);
  const wide = most(untwisted.length > 0 ? untwisted : all, "rest");
  // as wide as is told another may do, of which the shaft stands more
  const widest = Number(tenthUp(required / wide.rest));
  const asWide = most(
    all.filter(({ rest }) => rest * widest >= required),
    "twist",
  );
  const enough = all.filter(({ rest }) => rest >= required);
  return {
    lacking: {
      width: times(required / wide.rest),
      withShaft: times(Math.cbrt(required / asWide.twist)),
      ...(enough.length > 0 ? shaftFor(most(enough, "twist")) : { shaft: null, bore: 1 }),
    },
    room,
  };
}
