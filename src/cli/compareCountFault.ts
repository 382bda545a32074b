import type { Fault } from "../design/index.ts";
import { MOST_COMPARED } from "../report/index.ts";
import type { CheckedVariant } from "./checkDesigns.ts";

/** What is wrong with the number of variants that `--compare` names; null where so many can stand side by side. */
export function compareCountFault(
  variants: readonly Pick<CheckedVariant, "design">[],
  compare: ReadonlySet<string>,
): Fault | null {
  const count = variants.filter(({ design }) => compare.has(design.variant)).length;
  if (count >= 2 && count <= MOST_COMPARED) return null;
  return {
    key: "--compare",
    problem: `${count === 1 ? "one variant is" : `${count} variants are`} named`,
    remedy: `name 2 to ${MOST_COMPARED}`,
  };
}
