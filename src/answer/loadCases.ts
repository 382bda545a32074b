import { type Design, DesignError } from "../design/index.ts";
import {
  atFriction,
  hasOverRunCase,
  overRunCases,
  overRunField,
  type RootField,
  reverseCase,
  withPushed,
  withReverse,
} from "../strength/index.ts";
import { lessContact, mostGrowth, noCapacity, notMet } from "./answerNotes.ts";
import { MemoryError } from "./memoryNeeded.ts";
import { NumericalError } from "./numericalError.ts";
import type { Growth, VariantResult } from "./result.ts";

/** Solves another load case of the same part. `beside`: as one of the cases of a design whose torque may reverse, it knows no reverse itself. */
export type SolveCase = (design: Design, beside: boolean) => VariantResult;

/** The root of a design with what its cases solved so far have brought. */
export interface CasesSolved {
  /** Null where any of them cannot be solved or read. */
  readonly rootField: RootField | null;
  /** Why; null where it was. */
  readonly unread: string | null;
  readonly growth: Growth;
  readonly notes: readonly string[];
}

/** The root of one case beside the design's own, or why there is none. */
type Beside = { readonly rootField: RootField; readonly growth: Growth } | { readonly unread: string };

/** Over-running, where it is another load case than drive. */
export interface OverRunSolved {
  /** The root field of over-running, given the design's own; null where any of its cases has none. */
  readonly field: (own: RootField | null) => RootField | null;
  /** Of its cases that of the lowest friction, where the design's own is that of the highest. */
  readonly low: Beside | null;
  readonly growth: Growth;
  readonly notes: readonly string[];
}

const NO_GROWTH: Growth = { share: 0, dished: 0 };

/** The roots of the flank that over-running loads; one that cannot be solved leaves the rest standing. */
export function solveOverRunCases(design: Design, solve: SolveCase): OverRunSolved {
  if (!hasOverRunCase(design)) return { field: () => null, low: null, growth: NO_GROWTH, notes: [] };
  const cases = overRunCases(design);
  const solved = cases.map((one) => (one === design ? null : tried(() => solve(one, false))));
  const notes = solved.flatMap((one, k) => {
    if (!one) return [];
    const where = cases.length > 1 ? [", highest friction", ", lowest friction"][k] : "";
    const told = "why" in one ? [one.why] : [...notMet(one), ...noCapacity(one)];
    return told.map((text) => `over-run flank loaded${where}: ${text}`);
  });
  const rootOf = (one: Tried) => ("why" in one ? null : one.rootField);
  const low = cases[0] === design && cases.length > 1 ? solved[1]! : null;
  return {
    field: (own) => overRunField(solved.map((one) => (one ? rootOf(one) : own))),
    low: low && besideOf(low),
    growth: mostGrowth(solved.map((one) => (one && !("why" in one) ? one.growth : null))),
    notes: [...lessContact(design, cases[0]).map((text) => `over-run flank loaded: ${text}`), ...notes],
  };
}

/** With the push of other teeth, which the torque turned round pulls. @param pushing the share of each tooth of the ring. */
export function withPushOf(
  so: CasesSolved,
  { overRun: _overRun, ...design }: Design,
  pushing: readonly number[],
  solve: SolveCase,
): CasesSolved {
  const load = { ...design.load, sharing: { mode: "teeth" as const, weights: pushing } };
  return joined(
    so,
    () => solveBeside({ ...design, load }, solve),
    (own, found) => withPushed(own, found, design.averagingDistance),
    "the teeth that push a root hardest",
  );
}

/** With the root at the lowest friction, where the loaded flank has a span of it. @param known that root, where over-running has solved it. */
export function withLowFriction(
  so: CasesSolved,
  { overRun: _overRun, ...design }: Design,
  known: Beside | null,
  solve: SolveCase,
): CasesSolved {
  const { frictionLow } = design.load;
  if (frictionLow === undefined) return so;
  return joined(
    so,
    () =>
      known && "rootField" in known
        ? known
        : solveBeside({ ...design, load: atFriction(design.load, frictionLow) }, solve),
    (own, lowFriction) => ({ ...own, lowFriction }),
    "the lowest friction of the loaded flank",
  );
}

/** With what a torque turned round does, where that is a load case of its own. */
export function withTurned(so: CasesSolved, design: Design, solve: SolveCase): CasesSolved {
  const turned = reverseCase(design);
  if (!turned || !so.rootField) return so;
  const less = lessContact(design, turned).map((text) => `torque turned round: ${text}`);
  return joined(
    { ...so, notes: [...so.notes, ...less] },
    () => solveBeside(turned, solve),
    withReverse,
    "the torque reverses, and the other flank loaded",
  );
}

/** A root joined with that of a case beside it, which is solved only where there is one to join it to; none where that has none. */
function joined(
  so: CasesSolved,
  solve: () => Beside,
  join: (own: RootField, found: RootField) => RootField,
  what: string,
): CasesSolved {
  if (!so.rootField) return so;
  const found = solve();
  return "unread" in found
    ? { ...so, rootField: null, unread: `${what}: ${found.unread}` }
    : {
        ...so,
        rootField: join(so.rootField, found.rootField),
        growth: mostGrowth([so.growth, found.growth]),
      };
}

type Tried = VariantResult | { readonly why: string };

/** What a case beside the design's own gives, or why its numbers cannot be had; no memory is no answer of a case. */
function tried(solve: () => VariantResult): Tried {
  try {
    return solve();
  } catch (error) {
    if (!(error instanceof NumericalError || error instanceof DesignError) || error instanceof MemoryError)
      throw error;
    return { why: error.message };
  }
}

const solveBeside = (design: Design, solve: SolveCase): Beside => besideOf(tried(() => solve(design, true)));

function besideOf(one: Tried): Beside {
  if ("why" in one) return { unread: one.why };
  const { rootField, growth, rootUnread } = one;
  return rootField ? { rootField, growth } : { unread: rootUnread ?? "its root could not be read" };
}
