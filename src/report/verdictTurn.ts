import type { Design } from "../design/index.ts";
import type { Change, Holding, RingOutcome } from "../strength/index.ts";
import { capitalised } from "./capitalised.ts";
import { driveHolding } from "./driveHoldText.ts";
import { wordList } from "./wordList.ts";

/** A question whose verdict a set of changes may turn. */
export interface Question<Verdict extends string> {
  readonly asked: string;
  /** The higher the better; verdicts of one rank differ in kind only. */
  readonly rank: Readonly<Record<Verdict, number>>;
}

export const LETS_GO: Question<RingOutcome> = {
  asked: "Does the ring let go?",
  rank: {
    "lets go": 3,
    "lets go if root holds": 2,
    "depends on μ": 2,
    "pins first at high μ": 2,
    "root first at high μ": 2,
    "not at its torque": 1,
    "pins first": 0,
    "root first": 0,
    "self-holding": 0,
  },
};

const HOLDS = {
  together: "they do",
  "at high friction": "at high friction only",
  "not told": "nothing told holds them",
  parts: "they part",
} as const satisfies Readonly<Record<Holding, string>>;

/** Answers to {@link STAYS_TOGETHER}. */
export type HoldsWords = (typeof HOLDS)[Holding];

/** Whether face teeth stay together, for {@link STAYS_TOGETHER}. */
export const holdsWords = (design: Design): HoldsWords => HOLDS[driveHolding(design)];

export const STAYS_TOGETHER: Question<HoldsWords> = {
  asked: "Do the teeth stay together in drive?",
  rank: { "they do": 3, "at high friction only": 2, "nothing told holds them": 1, "they part": 0 },
};

/** A verdict before and after a set of changes and with some of them made. */
export interface VerdictTurn<Verdict extends string> {
  readonly before: Verdict;
  readonly after: Verdict;
  /** Each change: the verdict with it alone made, and with all others made but it. */
  readonly changes: readonly (Change & { readonly alone: Verdict; readonly without: Verdict })[];
}

/** Judges the sets of changes that tell which of them turns the verdict. */
export function verdictTurn<Verdict extends string>(
  changes: readonly Change[],
  verdict: (made: ReadonlySet<string>) => Verdict,
): VerdictTurn<Verdict> {
  const ids = changes.map(({ id }) => id);
  return {
    before: verdict(new Set()),
    after: verdict(new Set(ids)),
    changes: changes.map((change) => ({
      ...change,
      alone: verdict(new Set([change.id])),
      without: verdict(new Set(ids.filter((id) => id !== change.id))),
    })),
  };
}

/** What turned the verdict, in one or two sentences. */
export function verdictTurnText<Verdict extends string>(
  { asked, rank }: Question<Verdict>,
  from: string,
  to: string,
  { before, after, changes }: VerdictTurn<Verdict>,
): string {
  if (before === after) return `${asked} ${from} and ${to} alike: ${before}.`;
  const told = `${asked} ${from}: ${before}; ${to}: ${after}.`;
  // nothing that could be told apart did it
  if (changes.length === 0) return told;
  if (changes.length === 1) return `${told} ${named(changes)} did it.`;
  const way = Math.sign(rank[after] - rank[before]);
  // a change that goes further the same way than all together is enough for what they come to
  const reaches = (verdict: Verdict): boolean =>
    way === 0 ? verdict === after : way * (rank[verdict] - rank[after]) >= 0;
  const enough = changes.filter(({ alone }) => reaches(alone));
  // without it the others leave the verdict short of what it comes to
  const needed = changes.filter(({ without }) => !reaches(without));
  const both = enough.filter((one) => needed.includes(one));
  if (both.length > 0)
    return `${told} ${named(both)} did it: enough alone, and without it the others are not.`;
  if (enough.length > 0) return `${told} ${named(enough, "or")} alone is enough for it.`;
  if (needed.length > 1) return `${told} It takes ${listed(needed, "and")} together.`;
  if (needed.length === 1) return `${told} It takes ${needed[0]!.title}, and one more of the changes.`;
  return `${told} No single change is needed for it, and none is enough alone.`;
}

const listed = (changes: readonly Change[], joint: string): string =>
  wordList(
    changes.map(({ title }) => title),
    joint,
  );

const named = (changes: readonly Change[], joint = "and"): string => capitalised(listed(changes, joint));
