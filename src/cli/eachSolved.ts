import { NumericalError } from "../answer/index.ts";
import { DesignError, faultLine } from "../design/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";
import { exitCode } from "./exitCode.ts";
import { sayFault } from "./sayFaults.ts";

/** Does `work` for each of `items`; one that cannot be solved is told by its variants' names and leaves the others alone. */
export function eachSolved<T>(
  items: readonly T[],
  membersOf: (item: T) => readonly Pick<CheckedVariant, "label">[],
  work: (item: T) => void,
): { readonly code: number; readonly done: number } {
  let code: number = exitCode.ok;
  let done = 0;
  for (const item of items) {
    try {
      work(item);
      done++;
    } catch (error) {
      if (!(error instanceof NumericalError || error instanceof DesignError)) throw error;
      const refused = error instanceof DesignError;
      const text = refused ? error.faults.map(faultLine).join("; ") : error.message;
      for (const { label } of membersOf(item)) sayFault(`${label}: ${text}`);
      code = Math.max(code, refused ? exitCode.input : exitCode.numerics);
    }
  }
  return { code, done };
}
