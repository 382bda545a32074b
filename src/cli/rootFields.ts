import { answerDesign, NumericalError } from "../answer/index.ts";
import { type Design, DesignError } from "../design/index.ts";
import { hasOverRunCase, overRunCases, overRunField, type RootField } from "../strength/index.ts";
import { designKey, type SolveOptions } from "./designKey.ts";
import { programStamp } from "./programStamp.ts";
import { memoryShare } from "./runSettings.ts";
import { loadSolved, solvedFile } from "./solvedStore.ts";

/** Hands out the root field of a design, solving each geometry and load once. */
export interface RootFields {
  /** @throws NumericalError, DesignError */
  readonly of: (design: Design) => RootField;
  /** Likewise, as over-running loads the design. */
  readonly ofOverRun: (design: Design) => RootField;
  /** Likewise; null where it cannot be solved. */
  readonly ifAny: (design: Design) => RootField | null;
  /** Solved here so far; what a results folder already held is not counted. */
  readonly solved: () => number;
}

/** `folder` is where a run of this very program keeps its solved variants, null when there is none. */
export function rootFields(solve: SolveOptions, programUrl: string, folder: string | null): RootFields {
  const stamp = programStamp(programUrl);
  const mostBytes = memoryShare(1);
  const known = new Map<string, RootField>();
  let count = 0;
  const stored = (key: string) => (folder === null ? null : loadSolved(solvedFile(folder, key))?.result);
  const find = (design: Design, key: string): RootField => {
    const kept = stored(key)?.rootField;
    if (kept) return kept;
    count++;
    // one load case at a time: without the section the over-run flank is not solved too
    const { overRun: _overRun, ...one } = design;
    const { rootField, rootUnread } = answerDesign(one, { ...solve, mostBytes }).result;
    if (!rootField)
      throw new NumericalError(
        rootUnread ?? "the root could not be read",
        "run tells the stresses all the same",
      );
    return rootField;
  };
  const of = (design: Design): RootField => {
    const key = designKey(design, solve, stamp);
    const field = known.get(key) ?? find(design, key);
    known.set(key, field);
    return field;
  };
  return {
    of,
    ifAny: (design) => {
      try {
        return of(design);
      } catch (error) {
        if (error instanceof NumericalError || error instanceof DesignError) return null;
        throw error;
      }
    },
    ofOverRun: (design) => {
      if (!hasOverRunCase(design)) return of(design);
      const kept = stored(designKey(design, solve, stamp))?.overRunRootField;
      return kept ?? overRunField(overRunCases(design).map(of))!;
    },
    solved: () => count,
  };
}
