import type { Brought, Gain, Lever } from "../variants/levers.ts";

/** What each lever was found to bring, and those that bring the most together, where none is enough alone. */
export interface Levers {
  readonly gains: readonly Gain[];
  readonly together: Together | null;
}

export interface Together extends Brought {
  readonly of: readonly Pick<Gain, "words" | "at">[];
}

/** What brings less than this share is no lever, and no help to others. */
const LEAST_GAIN = 0.01;
/** What is left out takes nothing away where it takes less than this. */
const NOTHING = 1e-3;

export const isEnough = ({ order, atAny }: Brought): boolean => order !== null || atAny;
export const helps = (one: Brought): boolean => isEnough(one) || one.gain >= LEAST_GAIN;

/** Tries levers one by one, and together where none is enough alone. @param bring what some of them made together bring; null where they cannot be made. */
export function tryLevers(
  levers: readonly Lever[],
  bring: (made: readonly Lever[]) => Brought | null,
): Levers {
  const tried = levers.flatMap((lever) => {
    const found = bring([lever]);
    return found ? [{ lever, gain: { words: lever.words, at: lever.at, ...found } }] : [];
  });
  const gains = tried.map(({ gain }) => gain);
  // what does by itself needs nothing besides
  if (gains.some(isEnough)) return { gains, together: null };
  const together = bestOf(
    tried.map(({ lever }) => lever),
    bring,
  );
  const most = Math.max(0, ...gains.map(({ gain }) => gain));
  return {
    gains,
    together: together && (isEnough(together) || together.gain > most + LEAST_GAIN) ? together : null,
  };
}

/** Those that bring the most: of all of them, one after another is left out as long as that takes nothing away. */
function bestOf(
  levers: readonly Lever[],
  bring: (made: readonly Lever[]) => Brought | null,
): Together | null {
  let made = levers;
  let found = bring(made);
  while (made.length > 2) {
    const fewer = made.flatMap((one) => {
      const left = made.filter((other) => other !== one);
      const brought = bring(left);
      return brought && (!found || noLess(brought, found)) ? [{ left, brought }] : [];
    });
    const [best] = fewer.sort(
      ({ brought: a }, { brought: b }) => Number(isEnough(b)) - Number(isEnough(a)) || b.gain - a.gain,
    );
    if (!best) break;
    ({ left: made, brought: found } = best);
  }
  return found && made.length > 1 ? { ...found, of: made } : null;
}

const noLess = (a: Brought, b: Brought): boolean =>
  isEnough(a) || (!isEnough(b) && a.gain >= b.gain - NOTHING);
