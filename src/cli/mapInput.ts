import type { VariantResult } from "../answer/index.ts";
import type { MapInput, StressScale } from "../report/index.ts";
import { loadSolved } from "./solvedStore.ts";

/** What a worker is told to draw; the field it draws from is in `store`. */
export interface Drawing {
  readonly store: string;
  readonly result: VariantResult;
  readonly scale: StressScale;
}

/** Fetches the field behind a drawing. @throws Error when the store lost it. */
export function mapInput({ store, result, scale }: Drawing): MapInput {
  const solved = loadSolved(store);
  if (!solved) throw new Error(`the stored field of "${result.design.variant}" is gone`);
  return { result, scale, field: solved.field, profile: solved.profile };
}
