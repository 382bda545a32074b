import type { Fault } from "../../design/index.ts";
import { type Band, leastBand } from "../arithmetic/band.ts";
import type { FractureRegime } from "../field/plasticLimit.ts";
import type { RootField } from "../field/rootField.ts";
import { type Conditions, type Settled, type SteelQuery, settle } from "../modes/conditions.ts";
import { fatigueModes } from "../modes/fatigueModes.ts";
import { fractureValidity, type Validity } from "../modes/fractureValidity.ts";
import { earlier, eitherWay, type Mode } from "../modes/mode.ts";
import { publishedModes } from "../modes/publishedModes.ts";
import { rimBurst } from "../modes/rimBurst.ts";
import { allowedTwist, shaftTwistMode, twistFatigue } from "../modes/shaftTwistMode.ts";
import { staticModes } from "../modes/staticModes.ts";
import { repeated, type Uncounted, untold } from "../modes/uncounted.ts";
import { BUILT_IN, type SteelCatalogue } from "../steel/steelCatalogue.ts";

export interface Capacity {
  /** Lowest low end first; those without a torque last. */
  readonly modes: readonly Mode[];
  /** Lowest low end of the modes that govern. */
  readonly governing: Mode;
  /** The one after it. */
  readonly next: Mode | null;
  /** Torque at which the part breaks, N·mm: least low end, and least high end, of the modes that govern. */
  readonly stands: Band;
  /** The same over the required torque. */
  readonly margin: Band;
  /** What may come first and is not counted; what is left is then no answer to whether the part stands. */
  readonly uncounted: readonly Uncounted[];
  /** True where nothing is `uncounted`. */
  readonly vouched: boolean;
  readonly required: number;
  /** Critical distance of one shock, mm, over all its toughness and strength may be; null where no toughness is known. */
  readonly criticalDistance: Band | null;
  readonly regime: FractureRegime | null;
  readonly validity: readonly Validity[];
  readonly warnings: readonly string[];
  /** True where the low end of a band of friction breaks it first, which is then what all this tells of; absent otherwise. */
  readonly lowFriction?: true;
  /** The hardness it was worked out for, HRC, of what carries. */
  readonly hardness: readonly [number, number];
}

/**
 * All modes of one variant in one steel at one hardness window. Pure arithmetic on a root field: call it as often as a sweep wants.
 * @returns faults, and nothing computed, when steel and conditions make no sense together.
 * @throws TypeError for a root field that has been through JSON, which loses its typed arrays.
 */
export function assess(
  root: RootField,
  query: SteelQuery,
  conditions: Conditions,
  catalogue: SteelCatalogue = BUILT_IN,
): { readonly capacity: Capacity } | { readonly faults: readonly Fault[] } {
  if (!root.paths.every(({ distances }) => ArrayBuffer.isView(distances)))
    throw new TypeError(
      "assess: the root field's paths are no typed arrays; JSON loses them, structuredClone keeps them",
    );
  const read = settle(root.tooth, query, conditions, catalogue);
  if ("faults" in read) return read;
  if (read.settled.ratio < 0 && root.pushed === undefined)
    return {
      faults: [
        {
          key: "strength.torque ratio",
          problem: "the torque reverses, and what it pushes was not read with this root",
          remedy: "read the root of a design whose torque ratio is below 0, or ask for `pushed`",
        },
      ],
    };
  return { capacity: capacityOfAll(root, read.settled) };
}

/** Of whatever the root field holds beside itself the one that gives first. */
function capacityOfAll(root: RootField, how: Settled): Capacity {
  const own = capacity(root, how);
  const shaped = root.keptFlat ? sooner(own, capacity(root.keptFlat, how)) : own;
  return root.lowFriction
    ? sooner(shaped, { ...capacityOfAll(root.lowFriction, how), lowFriction: true })
    : shaped;
}

/** The one of two that breaks first, with each mode as soon as it comes in either. */
function sooner(a: Capacity, b: Capacity): Capacity {
  const [first, second] = b.stands.low < a.stands.low ? [b, a] : [a, b];
  const ranks = ranked(
    first.modes.map((mode) =>
      earlier(
        mode,
        second.modes.find(({ id }) => id === mode.id),
      ),
    ),
  );
  const { required } = first;
  const { low, high } = ranks.stands;
  // what may come first in either is not vouched for
  const uncounted = [...new Set([...first.uncounted, ...second.uncounted])];
  return {
    ...first,
    ...ranks,
    margin: { low: low / required, high: high / required },
    uncounted,
    vouched: uncounted.length === 0,
    warnings: [...new Set([...first.warnings, ...second.warnings])],
  };
}

/** Modes in their order, and of those that govern the first, the next, and what all together let the part stand. */
function ranked(unsorted: readonly Mode[]): Pick<Capacity, "modes" | "governing" | "next" | "stands"> {
  const lowOf = (mode: Mode) => mode.torque?.low ?? Number.POSITIVE_INFINITY;
  const modes = [...unsorted].sort((a, b) => lowOf(a) - lowOf(b));
  const ruling = modes.filter((mode) => mode.governs && mode.torque !== null);
  return {
    modes,
    governing: ruling[0],
    next: ruling[1] ?? null,
    stands: {
      low: ruling[0].torque!.low,
      // at its best, too, the part stands no more than each of them lets it
      high: Math.min(...ruling.map(({ torque }) => torque!.high)),
    },
  };
}

/** The same for conditions already settled. */
export function capacity(root: RootField, how: Settled): Capacity {
  const { surface, body } = how;
  const { fracture, ...own } = staticModes(root, how);
  const back = root.reverse && how.ratio < 0 ? staticModes(root.reverse, how) : null;
  const share = -how.ratio;
  const modes = own.modes.map((mode) =>
    eitherWay(
      mode,
      back?.modes.find(({ id }) => id === mode.id),
      share,
    ),
  );
  const once = back
    ? leastBand(own.once, { low: back.once.low / share, high: back.once.high / share })
    : own.once;
  modes.push(
    ...fatigueModes(root, how, once),
    ...publishedModes(root, how),
    rimBurst(root, body),
    shaftTwistMode(root, body, how.shocks),
  );

  // a stress that grows with depth can turn a band round
  for (const [k, { torque }] of modes.entries())
    if (torque && torque.low > torque.high)
      modes[k] = { ...modes[k], torque: { low: torque.high, high: torque.low } };
  const ranks = ranked(modes);
  const { stands } = ranks;
  const twist = allowedTwist(root, how, modes);
  const gaps = untold(how);
  const uncounted: Uncounted[] = [
    ...new Set(gaps.map(({ uncounted: part }) => part)),
    ...(twist !== null && twist < how.margin * how.required ? (["twist"] as const) : []),
  ];
  return {
    ...ranks,
    margin: { low: stands.low / how.required, high: stands.high / how.required },
    uncounted,
    vouched: uncounted.length === 0,
    required: how.required,
    criticalDistance: fracture.distance,
    regime: fracture.regime,
    validity: fractureValidity(root, surface, fracture.distance, how.say),
    warnings: [
      ...new Set([
        ...surface.warnings,
        ...body.warnings,
        ...gaps.map(({ words }) => words),
        ...twistFatigue(how, [ranks.governing, ranks.next], twist),
        ...(stands.low > FAR_TOO_STRONG * how.required
          ? [
              `It stands more than ${FAR_TOO_STRONG} times the required torque: look at the units of torque and sizes`,
            ]
          : []),
        ...repeated(how),
      ]),
    ],
    hardness: [body.hardnessLow, body.hardnessHigh],
  };
}

/** No part is made this much stronger than it must be. */
const FAR_TOO_STRONG = 100;
