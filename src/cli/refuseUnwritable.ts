import { asFault } from "./outputFolder.ts";
import type { Reply } from "./serve.ts";
import type { Outcome } from "./workerPool.ts";

/** @throws DesignError when a worker found that the folder, `shown` by that name, takes no more: whatever follows would meet the same. */
export function refuseUnwritable(outcome: Outcome<Reply>, shown: string): void {
  if (!("value" in outcome) || outcome.value.kind !== "unwritable") return;
  const { code } = outcome.value;
  throw asFault(Object.assign(new Error(code), { code }), shown);
}
