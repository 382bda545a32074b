import type { Change } from "../strength/index.ts";
import { wordList } from "./wordList.ts";

/** Whether the ring lets go, before and after a set of changes and with some of them made. Verdicts in words. */
export interface VerdictTurn {
  readonly before: string;
  readonly after: string;
  /** Each change: the verdict with it alone made, and with all others made but it. */
  readonly changes: readonly (Change & { readonly alone: string; readonly without: string })[];
}

/** Judges the sets of changes that tell which of them turns the verdict. */
export function verdictTurn(
  changes: readonly Change[],
  verdict: (made: ReadonlySet<string>) => string,
): VerdictTurn {
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
export function verdictTurnText(from: string, to: string, { before, after, changes }: VerdictTurn): string {
  if (before === after) return `Does the ring let go? ${from} and ${to} alike: ${before}.`;
  const told = `Does the ring let go? ${from}: ${before}; ${to}: ${after}.`;
  if (changes.length === 1) return `${told} ${named(changes)} did it.`;
  const enough = changes.filter(({ alone }) => alone === after);
  // without it the others leave the verdict short of what it comes to
  const needed = changes.filter(({ without }) => without !== after);
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

const named = (changes: readonly Change[], joint = "and"): string => {
  const text = listed(changes, joint);
  return `${text[0]!.toUpperCase()}${text.slice(1)}`;
};
