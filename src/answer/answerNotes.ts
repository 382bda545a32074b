import { type Design, lengthWords } from "../design/index.ts";
import type { Growth, VariantResult } from "./result.ts";
import { LEAST_TOLD } from "./ringGrowth.ts";

/** Where the flank that is loaded besides has much less of the contact given than the design's own. */
export function lessContact({ profile, units }: Design, { profile: other }: Design): string[] {
  if (profile.kind !== "face tooth" || other.kind !== "face tooth" || !profile.contactGiven) return [];
  const height = ([from, to]: readonly [number, number]) => to - from;
  if (height(other.contact) > MUCH_LESS * height(profile.contact)) return [];
  const say = lengthWords(units);
  return [
    `of the contact given, ${say.range(...profile.contact)}, its flank has only ${say.range(...other.contact)}: the fillet of its root takes the rest`,
  ];
}

const MUCH_LESS = 0.8;

/** The most of several. */
export const mostGrowth = (of: readonly (Growth | null | undefined)[]): Growth => ({
  share: Math.max(0, ...of.map((one) => one?.share ?? 0)),
  dished: Math.max(0, ...of.map((one) => one?.dished ?? 0)),
});

/** With fewer teeth the curvature of the ring, which is not counted, has more than 2 % on top (a three-dimensional model of 4 to 30 teeth). */
const ENOUGH_TEETH = 8;

/** What a ring that changes its shape adds to the stress at its roots, where that is worth telling; in coarse steps, so that variants share notes. */
export function growthNotes({ profile }: Design, { share, dished }: Growth): string[] {
  if (profile.kind !== "face tooth" || !(Math.max(share, dished) > 0)) return [];
  const free = profile.keptFlat !== true;
  const upTo = (more: number) => {
    const step = more > 0.3 ? 25 : more > 0.1 ? 10 : 5;
    const percent = step * Math.ceil((100 * more) / step);
    return `up to ${percent} % more stress at its roots`;
  };
  return [
    ...(share > 0
      ? [
          `the strip of teeth that is solved keeps its pitch: a ring that is free to grow ${free ? "and to dish" : "but kept flat"} has ${upTo(share)}; what they stand counts that, the stresses told do not${free ? "; profile.ring: kept flat, where a hub, flange or seat keeps it so" : ""}`,
        ]
      : []),
    ...(dished - share > LEAST_TOLD && !free
      ? [
          `a ring that neither hub, flange nor seat keeps flat dishes like a cone spring, and has ${upTo(dished)}, and a base that may give sooner: not counted, since profile.ring says kept flat`,
        ]
      : []),
    ...(profile.teeth < ENOUGH_TEETH
      ? [
          "with so few teeth the curvature of the ring, which is not counted, has some 10 % more stress at its roots",
        ]
      : []),
  ];
}

/** A ring of 17 teeth with its rim held had 0.6 of the root stress that even shear brings behind a wall of 9.5 mm, a ninth behind one of 0.75 mm. */
export const HELD =
  "the back is held fast, as if nothing behind it gave: where the mounting gives, roots and wall see more, behind a thin wall several times as much; " +
  "reaction: uniform shear tells the other end";

export const BOTH_FRICTIONS =
  "no friction is told, and a span of it may hold on the loaded flank: what the part stands is the worse of both its ends, the stresses told are those at the high one";

/** That the accuracy was not met; none where it was. */
export function notMet({
  passes,
  accuracy: { target, stoppedBy },
}: Pick<VariantResult, "passes" | "accuracy">): string[] {
  const { estimate, unknowns } = passes.at(-1)!;
  return stoppedBy
    ? [
        `the estimated error of the root stress is ${percent(estimate)}, above the ${percent(target)} asked for: stopped at ${unknowns} unknowns`,
      ]
    : [];
}

/** That a root could not be read, and why; none where it was. */
export const noCapacity = ({ rootUnread }: Pick<VariantResult, "rootUnread">): string[] =>
  rootUnread === null ? [] : [`no capacity is given: ${rootUnread}`];

function percent(fraction: number): string {
  const text = (100 * fraction).toPrecision(2);
  return `${text.includes("e+") ? Number(text) : text} %`;
}
